"""Does each kind speak of its own place, and a body that cannot be read of none?"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.journal.bodies import is_readable, redact
from shopfloor.journal.entry import BENCH_KINDS, DESK_KINDS
from shopfloor.journal.places import is_of_step, place_of
from shopfloor.journal.shapes import SHAPES

ID = "019c0000-0000-7000-8000-000000000001"
ASK = {"step": "measure_brakes", "item": "front-pad", "phase": "found"}


@pytest.mark.parametrize(
    ("kind", "body", "place"),
    [
        ("tick", {"step": "wash", "outcome": "done"}, "tick:wash"),
        ("choice", {**ASK, "value": "smooth"}, "ask:measure_brakes:front-pad:found"),
        ("reading", {**ASK, "value": 1, "unit": "mm"}, "ask:measure_brakes:front-pad:found"),
        ("hands-off", {"on": ID.upper()}, f"hands:{ID}"),
        ("check", {"step": "second_look", "outcome": "agreed"}, "check:second_look"),
        ("asked", {"offer": ID, "version": 2, "findings": []}, f"offer:{ID}"),
        ("answer", {"offer": ID, "version": 2.0, "lines": []}, f"answer:{ID}:2"),
        ("parts-in", {"finding": ID}, f"parts:{ID}"),
        ("promise", {"ready_at": "2026-03-02T10:15:04Z"}, "promise"),
        ("released", {"mode": "safe"}, "released"),
        ("collected", {}, "collected"),
        ("cancelled", {"reason": "Sold."}, "cancelled"),
        ("note", {"text": "Hello."}, None),
        ("void", {"reason": "Wrong bike."}, None),
        ("redacted", {"entry": ID}, None),
        ("wheel-scan", {"step": "wash"}, None),
        ("tick", {"step": "wash"}, None),
        ("reading", {**ASK, "value": "1", "unit": "mm"}, None),
    ],
)
def test_a_kind_speaks_of_its_place(kind: str, body: dict[str, Any], place: str | None) -> None:
    assert place_of(kind, body) == place


def test_every_kind_has_a_shape() -> None:
    assert set(SHAPES) == BENCH_KINDS | DESK_KINDS
    assert not BENCH_KINDS & DESK_KINDS


def test_what_a_redaction_keeps_is_a_field_of_the_kind() -> None:
    unchecked = {"catalogue"}  # any value is fine, so it has no check

    for kind, shape in SHAPES.items():
        assert set(shape.kept) <= set(shape.must) | set(shape.may) | unchecked, kind


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.floats(-9, 9) | st.text(max_size=3),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=2)
    ),
    max_leaves=5,
)
FIELDS = st.sampled_from(
    sorted({name for shape in SHAPES.values() for name in [*shape.must, *shape.may]})
)


@given(kind=st.sampled_from(sorted(SHAPES)), body=st.dictionaries(FIELDS, JSON, max_size=6))
def test_no_body_breaks_the_reading_of_it(kind: str, body: dict[str, Any]) -> None:
    place = place_of(kind, body)

    assert place is None or is_readable(kind, body)
    assert redact(kind, redact(kind, body)) == redact(kind, body)


def test_a_place_belongs_to_one_step_only() -> None:
    assert is_of_step("ask:true:rim:left", "true")
    assert is_of_step("tick:true", "true")
    assert not is_of_step("ask:true_front:rim:left", "true")
    assert not is_of_step("tick:true_front", "true")
    assert not is_of_step("parts:true", "true")
