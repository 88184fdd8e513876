"""Calculators of the cleaning bath."""

from typing import Any, Final

from shopfloor.trade import bath
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Topic
from shopfloor.trade.calculators.reading import number, text
from shopfloor.trade.calculators.sources import PRACTICE
from shopfloor.words import gettext_noop as _

SAFE: Final = _(
    "Safety data sheet at hand; nitrile gloves, goggles, lid and ventilation; no hands in a"
    " running bath; no solvent that burns in a heated tank; waste goes to a contractor."
)
LABEL: Final = _("The label of the cleaner comes first.")


def _say_of_rule(given: Given, _result: Any) -> list[str]:
    return [bath.bath_rule(given["item"])["why"]]


TOPIC: Final = Topic(
    key="bath",
    title=_("Cleaning bath"),
    calculators=(
        Calculator(
            name="bath-allowed",
            title=_("May this go into the bath?"),
            fields=(
                Field(
                    key="item",
                    label=_("The part, and its material"),
                    read=text,
                    hint=_("Name all that is on it, and what was taken off as “without …”."),
                    example="steel cassette sprocket",
                ),
            ),
            work=lambda *, item: bath.bath_rule(item)["answer"],
            answer=Answer(
                words={
                    "accept": _("yes"),
                    "caution": _("with care"),
                    "refuse": _("no, keep it out"),
                }
            ),
            formula=_("the strictest rule that speaks of it"),
            limits=_(
                "Warm water with cleaner, with or without ultrasound; what no rule speaks of stays"
                " out."
            ),
            doubt=_("Words cannot see a crack, a seal or a coat: look at the part."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(
                SAFE,
                _(
                    "Rinse warm at once, drive the water out, dry at 60 to 80 °C, grease or oil"
                    " within the hour."
                ),
            ),
            remarks=_say_of_rule,
        ),
        Calculator(
            name="bath-dilution",
            title=_("Concentrate for a bath"),
            fields=(
                Field(
                    key="total_l",
                    label=_("Bath in all"),
                    read=number(above=0),
                    unit="l",
                    example="10",
                ),
                Field(
                    key="ratio",
                    label=_("Ratio on the label"),
                    read=text,
                    hint=_("1:20 is one part to twenty parts of water."),
                    default=None,
                    example="1:20",
                ),
                Field(
                    key="percent_v",
                    label=_("Or percent of the volume"),
                    read=number(least=0, most=100),
                    unit="%",
                    default=None,
                    example="",
                ),
            ),
            work=bath.concentrate_l,
            answer=Answer(unit="l", digits=3),
            formula=_("total / (1 + R), or total · percent / 100"),
            limits=_("1:10 is 9.09 %, not 10 %."),
            doubt=_("Some labels mean R parts in all: read the label."),
            source=_("definition of a mixing ratio"),
            source_kind="library",
            cautions=(LABEL, SAFE),
        ),
        Calculator(
            name="bath-top-up",
            title=_("Concentrate to add"),
            fields=(
                Field(key="bath_l", label=_("Bath"), read=number(above=0), unit="l", example="10"),
                Field(
                    key="current_pct",
                    label=_("Strength now"),
                    read=number(least=0, most=100),
                    unit="%",
                    example="2",
                ),
                Field(
                    key="target_pct",
                    label=_("Strength wanted"),
                    read=number(least=0, most=100),
                    unit="%",
                    example="4",
                ),
            ),
            work=bath.top_up_l,
            answer=Answer(unit="l", digits=3),
            formula="x = V · (C₂ − C₁) / (100 − C₂)",
            limits=_("Pure concentrate is added, nothing is drained."),
            doubt=_("An old bath is full of grease: strength does not make it clean."),
            source=_("mixing rule"),
            source_kind="library",
            cautions=(LABEL, SAFE),
        ),
        Calculator(
            name="bath-heating-minutes",
            title=_("Time to heat up"),
            fields=(
                Field(key="litres", label=_("Bath"), read=number(above=0), unit="l", example="10"),
                Field(
                    key="rise_c",
                    label=_("Warmer by"),
                    read=number(least=0, most=100),
                    unit="°C",
                    example="30",
                ),
                Field(
                    key="watts", label=_("Heater"), read=number(above=0), unit="W", example="500"
                ),
            ),
            work=bath.heating_minutes,
            answer=Answer(unit="min", digits=0),
            formula="t = m · 4186 · ΔT / P",
            limits=_("40 to 60 °C is usual, 65 at most."),
            doubt=_("Without losses: in a cold shop and without a lid it takes longer."),
            source=_("heat capacity of water"),
            source_kind="handbook",
            cautions=(SAFE,),
        ),
    ),
)
