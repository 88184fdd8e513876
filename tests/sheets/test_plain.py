"""What was done, in plain words, and when to come again."""

from datetime import date

import pytest

from shopfloor.sheets.next_service import next_services
from shopfloor.sheets.plain import AREAS, NOT_TOLD, SAID, in_plain_words
from shopfloor.sheets.work import with_vat
from shopfloor.trade.route import compose
from tests.routes import make_step


def test_no_step_has_two_fates_and_none_is_told_twice():
    told = [text for _area, text in SAID.values()]

    assert SAID.keys() & NOT_TOLD == set()
    assert len(told) == len(set(told))


@pytest.mark.parametrize("kind", ["road", "mtb", "city", "ebike"])
def test_a_whole_service_is_told_in_every_part_of_the_bike(kind):
    work = in_plain_words(compose({"kind": kind}, "full"))

    assert [part["area"] for part in work] == list(AREAS.values())


def test_a_step_without_words_is_told_by_its_title_under_its_part_of_the_bike():
    steps = [
        make_step("dress_the_rack", title="Dress the rack", stage="brakes"),
        make_step("wash_frame", stage="clean"),
        make_step("strip_wheels", stage="strip"),
    ]

    assert in_plain_words(steps) == [
        {"area": AREAS["clean"], "text": "the bike washed"},
        {"area": AREAS["brakes"], "text": "Dress the rack"},
    ]


# By hand: 6, 12 and 3 months from a day of the year's end.
@pytest.mark.parametrize(
    ("service", "kind", "when"),
    [
        ("safety", "city", "by May 2027"),
        ("full", "road", "by November 2027"),
        ("standard", "ebike", "by May 2027"),
    ],
)
def test_the_next_service_is_named_by_month(service, kind, when):
    (one,) = next_services(
        service=service, traits={"kind": kind}, watch=[], released_on=date(2026, 11, 30)
    )

    assert (one["what"], one["when"]) == ("Next service", when)


def test_what_is_to_be_watched_comes_first():
    worn = [{"what": "Chain", "verdict": "watch"}, {"what": "Rotor", "verdict": "renew"}]

    first, _service = next_services(
        service="standard", traits={}, watch=worn, released_on=date(2026, 11, 30)
    )

    assert (first["what"], first["when"]) == ("Look again at: Chain", "by February 2027")


# 17.5 % of 10.20 is 1.785, half up 1.79; 20 % of 20.00 is 4.00: by hand.
@pytest.mark.parametrize(("net", "rate", "gross"), [(1020, 1750, 1199), (2000, 2000, 2400)])
def test_a_price_with_vat_is_rounded_half_up(net, rate, gross):
    assert with_vat(net, rate) == gross
