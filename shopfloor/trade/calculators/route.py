"""Calculators of the order and the time of work."""

from typing import Any, Final

from shopfloor.trade import estimate, graph, route
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Part, Topic
from shopfloor.trade.calculators.reading import (
    minutes_by_name,
    one_of,
    pair,
    rows_of,
    several,
    text,
    three_minutes,
)
from shopfloor.trade.calculators.sources import PRACTICE
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

KIND_OF_BIKE: Final = {
    "road": "road",
    "mtb": "mtb",
    "hub": "city",
    "city": "city",
    "ebike": "ebike",
}
EDGES: Final = Field(
    key="edges",
    label=_("What comes before what"),
    read=rows_of(pair),
    lines=True,
    hint=_("One pair a line, the earlier first."),
    example="wash > dry\ndry > grease\ngrease > fit\nwash > tyre\ntyre > fit",
)


def _violations(
    *, order: list[str], bike: str | None, edges: list[tuple[str, str]] | None
) -> list[tuple[str, str]]:
    pairs = (
        edges
        if edges is not None
        else route.catalogue_edges({"kind": KIND_OF_BIKE[bike or "road"]})
    )
    return list(route.order_violations(order, pairs))


def _say_of_estimate(given: Given, _result: Any) -> list[str]:
    spread = estimate.honest_spread(given["steps"])
    return [
        gettext(
            "About seven of eight bikes take {low} to {high} minutes: steps of one bike are slow"
            " together, and the standard deviation takes them for independent."
        ).format(low=round(spread.low), high=round(spread.high))
    ]


TOPIC: Final = Topic(
    key="route",
    title=_("Order and time"),
    calculators=(
        Calculator(
            name="pert",
            title=_("Minutes from three guesses"),
            fields=(
                Field(
                    key="steps",
                    label=_("Low, typical and high minutes of each step"),
                    read=rows_of(three_minutes),
                    lines=True,
                    hint=_("One step a line."),
                    example="6 12 25\n10 15 30",
                ),
            ),
            work=lambda *, steps: estimate.pert(steps)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="mean", label=_("Expected"), unit="min", digits=0),
                    Part(key="sd", label=_("Standard deviation"), unit="min", digits=1),
                )
            ),
            formula="Σ (a + 4 m + b) / 6,  √Σ ((b − a) / 6)²",
            limits=_("Guesses of a person; times of the shop's own are better."),
            doubt=_("Steps of one bike are slow together: the deviation alone is far too small."),
            source=_("three-point estimate of project handbooks"),
            source_kind="handbook",
            remarks=_say_of_estimate,
        ),
        Calculator(
            name="critical-path",
            title=_("Longest chain of waiting"),
            fields=(
                Field(
                    key="minutes",
                    label=_("Minutes of each step"),
                    read=minutes_by_name,
                    lines=True,
                    hint=_("A name and its minutes a line."),
                    example="wash 10\ndry 15\ngrease 8\nfit 12\ntyre 20",
                ),
                EDGES,
            ),
            work=lambda *, minutes, edges: graph.longest_path(minutes, edges)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="length", label=_("At least"), unit="min", digits=0),
                    Part(key="path", label=_("Along")),
                    Part(key="total", label=_("All steps together"), unit="min", digits=0),
                )
            ),
            formula=_("the longest path through the pairs"),
            limits=_("As if there were hands enough for everything else."),
            doubt=_("One person needs the time of all steps together."),
            source=_("graph theory"),
            source_kind="library",
        ),
        Calculator(
            name="route-order-violations",
            title=_("Is this order right?"),
            fields=(
                Field(
                    key="order",
                    label=_("Steps in the order they were done"),
                    read=several(text),
                    hint=_("Keys of the steps, with spaces between."),
                    example="chain_fit bgap limits",
                ),
                Field(
                    key="bike",
                    label=_("Kind of bike"),
                    read=one_of(*KIND_OF_BIKE),
                    default=None,
                    choices=(
                        ("road", _("Road bike")),
                        ("mtb", _("Mountain bike")),
                        ("city", _("City bike")),
                        ("ebike", _("E-bike")),
                    ),
                    example="road",
                ),
                Field(
                    key="edges",
                    label=_("Or pairs of your own"),
                    read=rows_of(pair),
                    lines=True,
                    hint=EDGES.hint,
                    default=None,
                    example="",
                ),
            ),
            work=_violations,
            answer=Answer(item=" → ".join),
            formula=_("pairs of which the later was done first"),
            limits=_(
                "Steps of the catalogue for this kind of bike; names it does not know are let be."
            ),
            doubt=_("The catalogue is trade practice; each pair has its reason in the route."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
        ),
        Calculator(
            name="route-without-step",
            title=_("Leave a step out"),
            fields=(
                EDGES,
                Field(key="remove", label=_("The step to leave out"), read=text, example="grease"),
            ),
            work=lambda *, edges, remove: graph.without(edges, remove),
            answer=Answer(item=" → ".join),
            formula=_("what came before it still comes before what came after"),
            limits=_("One step at a time."),
            doubt=_("Whether the step may be left out is another question."),
            source=_("graph contraction"),
            source_kind="library",
        ),
    ),
)
