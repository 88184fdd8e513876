"""Does every calculator say all that must be known, and refuse clearly what it cannot use?"""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopfloor.trade import tables
from shopfloor.trade.calculators import reading
from shopfloor.trade.calculators.declare import Calculator, Field
from shopfloor.trade.calculators.reading import BadInput
from shopfloor.trade.calculators.registry import CALCULATORS, TOPICS
from shopfloor.trade.calculators.sources import KINDS

EVERY = pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=lambda one: one.name)
CASES = [json.loads(line) for line in Path("fixtures/cases/trade.ndjson").read_text().splitlines()]
TABLES = sorted(path.stem for path in Path("shopfloor/trade/tables").glob("*.json"))


def example_of(calculator: Calculator) -> dict[str, str]:
    return {field.key: field.example for field in calculator.fields}


def test_every_calculation_of_a_case_is_declared() -> None:
    assert {case["calc"] for case in CASES} <= CALCULATORS.keys()
    assert len(CALCULATORS) == sum(len(topic.calculators) for topic in TOPICS)


@EVERY
def test_the_example_on_the_page_is_answered(calculator: Calculator) -> None:
    given = calculator.read(example_of(calculator))
    result = calculator.work(**given)

    assert json.dumps(result, allow_nan=False)
    assert calculator.sources(given, result)
    assert all(kind in KINDS and source for source, kind in calculator.sources(given, result))
    assert all(sentence.strip() for sentence in calculator.say(given, result))
    assert calculator.unknown(example_of(calculator)) == []


@EVERY
def test_formula_limits_doubt_and_source_are_told(calculator: Calculator) -> None:
    assert calculator.title
    assert calculator.formula
    assert calculator.limits.endswith(".")
    assert calculator.doubt.endswith(".")
    assert calculator.source
    assert calculator.source_kind in tables.SOURCE_KINDS


@EVERY
def test_a_missing_input_is_named(calculator: Calculator) -> None:
    for field in calculator.fields:
        if field.required:
            told = {**example_of(calculator), field.key: ""}
            with pytest.raises(BadInput, match="missing") as refused:
                calculator.read(told)
            assert refused.value.field == field.key


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=5,
)


@EVERY
@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_whatever_is_put_in_is_answered_or_refused_in_words(
    calculator: Calculator, data: st.DataObject
) -> None:
    field: Field = data.draw(st.sampled_from(calculator.fields))
    told: dict[str, Any] = {**example_of(calculator), field.key: data.draw(ANYTHING)}

    try:
        given = calculator.read(told)
        result = calculator.work(**given)
        calculator.say(given, result)
        calculator.sources(given, result)
    except ValueError as refused:
        said = str(refused)
    else:
        said = json.dumps(result)
    assert said


@pytest.mark.parametrize("name", TABLES)
def test_every_row_of_every_table_says_where_it_is_from(name: str) -> None:
    rows = tables.table(name)

    assert rows
    for row in rows:
        assert (row["source_kind"] == "memory") == row["source"].endswith("memory") or (
            "memory" in row["source"]
        ), row["key"]


@pytest.mark.parametrize(
    ("raw", "value"),
    [
        ("5", 5),
        ("5,2", 5.2),
        ("1/16", 0.0625),
        ("1 3/8", 1.375),
        ("-1/2", -0.5),
        (7, 7),
        ("−3", -3),
    ],
)
def test_numbers_are_read_as_people_write_them(raw: Any, value: float) -> None:
    assert reading.number()(raw) == value


@pytest.mark.parametrize(
    "raw", ["", "1/0", "five", "nan", float("inf"), 1e300, True, None, [1], "1 2"]
)
def test_what_is_no_number_is_refused(raw: Any) -> None:
    with pytest.raises(BadInput, match=r"number"):
        reading.number()(raw)


@given(value=st.floats(-reading.MOST, reading.MOST))
def test_a_number_typed_is_the_number_sent(value: float) -> None:
    assert reading.number()(repr(value)) == reading.number()(value)


def test_rows_typed_are_the_rows_sent() -> None:
    assert reading.rows_of(reading.pair)("a > b\n b → c ") == [("a", "b"), ("b", "c")]
    assert reading.minutes_by_name("wash 10\ndry: 5,5") == {"wash": 10, "dry": 5.5}
    assert reading.rows_of(reading.three_minutes)("1 2 3") == [(1, 2, 3)]


@pytest.mark.parametrize("raw", ["3 2 1", [1, 2], [[1], 2, 3], "a b c"])
def test_three_guesses_must_be_three_and_rise(raw: Any) -> None:
    with pytest.raises(BadInput):
        reading.three_minutes(raw)
