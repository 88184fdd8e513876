"""The calculators of the desk: all by topic, and one with its answer."""

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shopfloor.calculators.forms import CalculatorForm, example
from shopfloor.calculators.shown import Shown, show
from shopfloor.trade.calculators.declare import Calculator, Topic
from shopfloor.trade.calculators.registry import CALCULATORS, TOPICS
from shopfloor.workshop.access import DeskRequest, at_the_desk


@at_the_desk
@require_safe
def calculators(request: DeskRequest) -> HttpResponse:
    return render(request, "calculators/calculators.html", {"topics": TOPICS})


@at_the_desk
@require_safe
def calculator(request: DeskRequest, name: str) -> HttpResponse:
    """One calculator with its example; with what was typed in the address, its answer."""
    found = CALCULATORS.get(name)
    if found is None:
        raise Http404
    typed = any(field.key in request.GET for field in found.fields)
    form = CalculatorForm(request.GET if typed else example(found), calculator=found)
    context = {
        "calculator": found,
        "topic": _topic_of(found),
        "form": form,
        "is_example": not typed,
        **_answer(form),
    }
    return render(request, "calculators/calculator.html", context)


def _answer(form: CalculatorForm) -> dict[str, Any]:
    """The answer, or in words why there is none; neither while a field is wrong."""
    answer: Shown | None = None
    refused = ""
    if form.is_valid():
        given = form.given()
        try:
            answer = show(form.calculator, given, form.calculator.work(**given))
        except (ValueError, ArithmeticError) as error:
            refused = str(error)
    return {"answer": answer, "refused": refused}


def _topic_of(calculator: Calculator) -> Topic:
    return next(topic for topic in TOPICS if calculator in topic.calculators)
