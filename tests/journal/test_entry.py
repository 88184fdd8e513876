"""Is an entry told from what is none, with a code and a sentence?"""

import json
from typing import Any

import pytest

from shopfloor.journal.entry import MalformedEntry, is_count, parse_entry, to_wire
from shopfloor.journal.instants import instant_ms
from tests.journal.cases import load_cases

CASES = load_cases("entries")
GOOD = CASES[0]["raw"]


@pytest.mark.parametrize("case", [c for c in CASES if c["code"]], ids=lambda case: case["name"])
def test_what_is_no_entry_is_refused_with_a_sentence(case: dict[str, Any]) -> None:
    with pytest.raises(MalformedEntry) as refusal:
        parse_entry(case["raw"])

    assert refusal.value.code == case["code"]
    assert refusal.value.message.endswith(".")
    assert str(refusal.value) == refusal.value.message


@pytest.mark.parametrize("case", [c for c in CASES if not c["code"]], ids=lambda case: case["name"])
def test_an_entry_travels_as_it_came(case: dict[str, Any]) -> None:
    known = {name: value for name, value in case["raw"].items() if name in GOOD}
    ids = {name: known[name].lower() for name in ("id", "job", "device", "by")}
    supersedes = [one.lower() for one in known["supersedes"]]

    assert to_wire(parse_entry(case["raw"])) == {**known, **ids, "supersedes": supersedes}


def test_a_body_of_32_kb_is_taken_and_a_byte_more_is_not() -> None:
    room = 32_768 - len('{"text":""}')
    parse_entry({**GOOD, "body": {"text": "é" * (room // 2) + "x" * (room % 2)}})

    with pytest.raises(MalformedEntry) as refusal:
        parse_entry({**GOOD, "body": {"text": "x" * (room + 1)}})

    assert refusal.value.code == "body-too-large"


@pytest.mark.parametrize("text", ["1e999", "-1e999", "NaN", "1" * 400])
def test_a_number_that_is_none_is_refused(text: str) -> None:
    raw = {**GOOD, "body": json.loads(f'{{"x": {text}}}')}

    with pytest.raises(MalformedEntry) as refusal:
        parse_entry(raw)

    assert refusal.value.code == "bad-number"


@pytest.mark.parametrize("value", [{1, 2}, b"x", (1,), object()])
def test_what_is_not_json_is_refused(value: object) -> None:
    with pytest.raises(MalformedEntry) as refusal:
        parse_entry({**GOOD, "body": {"x": value}})

    assert refusal.value.code == "bad-body"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), True, "1", None, 0, 1.5])
def test_what_counts_nothing_is_no_count(value: object) -> None:
    assert not is_count(value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1970-01-01T00:00:00Z", 0),
        ("1970-01-01T01:00:00+01:00", 0),
        ("2026-03-02T10:15:04.123Z", 1_772_446_504_123),
        ("2026-03-02T10:15:04.1239Z", 1_772_446_504_123),
        ("2026-03-02T10:15:04.1Z", 1_772_446_504_100),
        ("2026-03-02T04:30:04-05:45", 1_772_446_504_000),
        ("not a time", None),
        (None, None),
    ],
)
def test_an_instant_is_read_to_the_millisecond(text: object, expected: int | None) -> None:
    """Checked with `date -u -d 2026-03-02T10:15:04Z +%s` of GNU coreutils."""
    assert instant_ms(text) == expected
