"""Does a text say what it must in one segment, in the cheap alphabet, without selling anything?"""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.outbox.phone import decide_phone
from shopfloor.outbox.segments import GSM_BASIC, GSM_EXTENDED, plain_text, sms_segments
from shopfloor.outbox.wording import (
    UnknownPurpose,
    money_words,
    moved_text,
    receipt_text,
    write_text,
)

FACTS = {
    "shop": "Brook Lane Cycles",
    "bike": "moss-green city bike, 8-speed hub",
    "link": "https://shop.example.org/a/7KcQmXv3RtYw9LbHs2NfPzd/",
}
OFFER = {
    "titles": ["Front brake pads renewed", "Chain and sprockets renewed"],
    "total_minor": 8950,
    "currency": "GBP",
    "ready_at": datetime(2026, 3, 6, 17, 0, tzinfo=ZoneInfo("Europe/London")),
}
PURPOSES = {
    "offer": OFFER,
    "told": OFFER,
    "pickup": {"hours": "Open until 17:30"},
    "not-to-ride": {},
    "receipt": OFFER | {"yes": 2, "no": 1},
    "moved": OFFER,
}


@pytest.mark.parametrize("purpose", PURPOSES)
def test_a_text_fits_one_segment_of_the_cheap_alphabet(purpose: str) -> None:
    text = write_text(purpose, **FACTS, **PURPOSES[purpose])

    found = sms_segments(text)
    assert (found.encoding, found.segments) == ("GSM-7", 1), text
    assert FACTS["link"] in text
    assert text.startswith("Brook Lane Cycles: ")


@given(
    titles=st.lists(st.text("abcdefghij klmnop", min_size=1, max_size=60), min_size=1, max_size=9),
    bike=st.text("abcdefg hi", min_size=1, max_size=120),
)
def test_long_names_are_left_out_before_a_second_segment_is_paid(
    titles: list[str], bike: str
) -> None:
    text = write_text("offer", **{**FACTS, "bike": bike}, **{**OFFER, "titles": titles})

    assert sms_segments(text).segments == 1
    assert FACTS["link"] in text


def test_a_short_offer_names_the_work_the_price_and_the_day() -> None:
    facts = {**OFFER, "titles": ["Front pads"]}

    text = write_text("offer", **{**FACTS, "link": "https://example.org/a/x"}, **facts)

    assert "your moss-green city bike also needs front pads, £89.50." in text
    assert "Ready Fri 6 Mar 17:00." in text


def test_an_offer_without_a_day_says_none() -> None:
    assert "Ready" not in write_text("offer", **FACTS, **{**OFFER, "ready_at": None})


def test_a_bike_that_must_not_be_ridden_says_so_plainly() -> None:
    assert "not safe: do not ride" in write_text("not-to-ride", **FACTS).replace("please ", "")


def test_a_receipt_counts_what_was_said() -> None:
    text = receipt_text(
        shop="Brook Lane Cycles", bike="red tandem", yes=2, no=1, total="£10.00", link="x"
    )

    assert "yes to 2, no to 1, £10.00" in text


def test_a_slip_is_told_with_the_new_day() -> None:
    assert "Now ready Mon 9 Mar 12:00." in moved_text(
        shop="Brook Lane Cycles", bike="red tandem", ready="Mon 9 Mar 12:00"
    )


def test_a_message_nobody_has_words_for_is_refused() -> None:
    with pytest.raises(UnknownPurpose, match="newsletter"):
        write_text("newsletter", **FACTS)


@pytest.mark.parametrize(
    ("minor", "currency", "words"),
    [(2499, "GBP", "£24.99"), (4990, "EUR", "49.90 €"), (18000, "DKK", "DKK 180.00"),
     (5, "USD", "$0.05"), (1800, "JPY", "JPY 1800")],
)  # fmt: skip
def test_money_reads_as_in_its_country(minor: int, currency: str, words: str) -> None:
    assert money_words(minor, currency) == words


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("it’s “ready” – now…", 'it\'s "ready" - now...'),
        ("Total £5", "Total £5"),
        ("revisión", "revision"),
        ("Größe für José", "Größe für José"),
        ("Łódź", "Lodz"),
        ("Велосипед", "Велосипед"),
    ],
)
def test_marks_are_exchanged_and_other_scripts_kept(text: str, plain: str) -> None:
    assert plain_text(text) == plain


@given(st.text(max_size=400))
def test_the_segments_hold_every_unit_and_none_is_overfull(text: str) -> None:
    found = sms_segments(text)

    full = 160 if found.encoding == "GSM-7" else 70
    part = 153 if found.encoding == "GSM-7" else 67
    assert sum(found.per_segment) == found.units
    assert len(found.per_segment) == found.segments
    assert max(found.per_segment, default=0) <= (full if found.segments == 1 else part)
    if found.encoding == "GSM-7":
        assert set(text) <= GSM_BASIC | GSM_EXTENDED


def test_the_alphabet_has_as_many_letters_as_the_standard() -> None:
    # Source: 3GPP TS 23.038, 6.2.1: 128 places, one of them the escape; ten extended here.
    assert len(GSM_BASIC) == 127
    assert len(GSM_EXTENDED) == 10


# Numbers for drama by Ofcom, the Irish one the example of the tables; the decision by
# libphonenumber's tables, through phonenumbers.
@pytest.mark.parametrize(
    ("text", "region", "decision", "says"),
    [
        ("07700 900123", "GB", "warn", "read it back"),
        ("+44 20 7946 0018 ext 4", "GB", "warn", "extension"),
        ("020 7946 0018", "GB", "warn", "mobile"),
        ("+353 85 012 3456", "GB", "accept", ""),
        ("12", "GB", "reject", "check the digits"),
        ("", "GB", "reject", "check the digits"),
        ("07700 900123", "nowhere", "reject", "check the digits"),
    ],
)
def test_a_number_is_taken_with_a_word_of_warning_or_refused(
    text: str, region: str, decision: str, says: str
) -> None:
    found = decide_phone(text, region)

    assert found.decision == decision
    assert says in found.sentence
    assert (found.e164 is None) == (decision == "reject")
