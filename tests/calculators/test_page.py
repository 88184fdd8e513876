"""Does the desk's page answer as the command does, and say the same beside it?"""

import json
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.utils.html import escape

from shopfloor.calculators.forms import CalculatorForm, example
from shopfloor.calculators.shown import show
from shopfloor.trade.calculators.declare import Calculator
from shopfloor.trade.calculators.registry import CALCULATORS, TOPICS

pytestmark = pytest.mark.django_db
CASES = [json.loads(line) for line in Path("fixtures/cases/trade.ndjson").read_text().splitlines()]
EVERY = pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=lambda one: one.name)


def typed(value: Any) -> str:
    """An input of a case as a person would type it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "\n".join(f"{name} {minutes}" for name, minutes in value.items())
    if isinstance(value, list) and value and isinstance(value[0], list):
        sign = " > " if isinstance(value[0][0], str) else " "
        return "\n".join(sign.join(map(str, row)) for row in value)
    return " ".join(map(str, value)) if isinstance(value, list) else str(value)


def form_of(case: dict[str, Any]) -> CalculatorForm:
    told = {}
    for key, value in case["inputs"].items():
        if key in {"left", "right"}:
            told |= {f"{key}.{inner}": str(one) for inner, one in value.items()}
        else:
            told[key] = typed(value)
    return CalculatorForm(told, calculator=CALCULATORS[case["calc"]])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_typed_into_the_form_is_the_case_sent_to_the_command(case: dict[str, Any]) -> None:
    form = form_of(case)

    assert form.is_valid(), form.errors
    assert form.given() == form.calculator.read(case["inputs"])


@EVERY
def test_every_calculator_has_a_page_that_says_it_all(desk: Client, calculator: Calculator) -> None:
    page = desk.get(f"/calculators/{calculator.name}/")

    assert page.status_code == 200
    assert "Answer to the example" in page.text
    told = [calculator.title, calculator.formula, calculator.limits, calculator.doubt]
    for sentence in (*told, calculator.source, *calculator.cautions):
        assert escape(sentence) in page.text


@EVERY
def test_the_page_shows_figures_or_a_verdict(calculator: Calculator) -> None:
    given = calculator.read(example(calculator))

    shown = show(calculator, given, calculator.work(**given))

    assert shown.figures or shown.verdict or shown.items
    assert all(figure.value for figure in shown.figures)


def test_all_calculators_are_listed_under_their_topics(desk: Client) -> None:
    page = desk.get("/calculators/").text

    for topic in TOPICS:
        assert f'<h2 id="topic-{topic.key}">{topic.title}</h2>' in page
    assert page.count('href="/calculators/') == len(CALCULATORS) + 1


def test_what_was_typed_is_answered(desk: Client) -> None:
    page = desk.get("/calculators/hanger-angle/", {"rim_offset_mm": "5", "rim_dia_mm": "622"}).text

    assert "0.46" in page
    assert "straighten or renew the hanger" in page
    assert "Answer to the example" not in page


def test_a_wrong_field_is_told_beside_it_and_nothing_is_answered(desk: Client) -> None:
    page = desk.get("/calculators/hanger-angle/", {"rim_offset_mm": "bent", "rim_dia_mm": ""}).text

    assert "“bent” is not a number: write it as in 5, 5.2 or 1/16." in page
    assert "Fill this in." in page
    assert "There is no answer yet:" in page


def test_what_has_no_answer_is_refused_in_words(desk: Client) -> None:
    told = {"x": "0 500 1000", "elongation_pct": "0.3 0.2 0.1", "threshold_pct": "0.5"}

    page = desk.get("/calculators/wear-projection/", told).text

    assert "these readings do not rise" in page


def test_a_row_from_memory_says_so(desk: Client) -> None:
    listed = desk.get("/calculators/bearing-size/", {"code": "6902"}).text
    remembered = desk.get("/calculators/bearing-size/", {"code": "6807"}).text

    assert "from memory, nobody looked it up" not in listed
    assert "from memory, nobody looked it up" in remembered


def test_a_calculator_that_is_not_there_is_no_page(desk: Client) -> None:
    assert desk.get("/calculators/tea-leaves/").status_code == 404
