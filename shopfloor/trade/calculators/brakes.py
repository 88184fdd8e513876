"""Calculators of brakes."""

from typing import Any, Final

from shopfloor.trade import braking, fluids
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Topic
from shopfloor.trade.calculators.reading import number, one_of, text
from shopfloor.trade.calculators.sources import MARK_FIRST, PRACTICE, row_sources
from shopfloor.trade.calculators.verdicts import VERDICT, judged, uncertainty_field
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

UNCERTAINTY: Final = uncertainty_field("uncertainty_mm", "mm")
BEDDING: Final = _(
    "New pads or rotor: 20 to 30 firm slowdowns from about 25 km/h to walking pace, then ten"
    " harder ones, never locking; before hand-over, or told to the rider in writing."
)


def _say_of_fluid(given: Given, result: Any) -> list[str]:
    if result:
        return [gettext("Use a fresh bottle, and the syringes of this colour only.")]
    marked, poured = fluids.fluid(given["system"]), fluids.fluid(given["bottle"])
    if marked["family"] == poured["family"] == "glycol":
        return [gettext("The same family, but it boils below what the mark asks for.")]
    return [
        gettext(
            "If it has met the seals already: every seal and hose, and calliper and lever, are"
            " replaced before anybody rides."
        )
    ]


TOPIC: Final = Topic(
    key="brakes",
    title=_("Brakes"),
    calculators=(
        Calculator(
            name="rotor-verdict",
            title=_("Rotor"),
            fields=(
                Field(
                    key="thickness_mm",
                    label=_("Thickness at its thinnest"),
                    read=number(above=0, most=10),
                    unit="mm",
                    example="1.55",
                ),
                Field(
                    key="minimum_mm",
                    label=_("Stamped minimum"),
                    read=number(above=0, most=10),
                    unit="mm",
                    hint=_("Left empty: 1.5 mm, common practice."),
                    default=None,
                    example="1.5",
                ),
                UNCERTAINTY,
            ),
            work=judged(braking.judge_rotor),
            answer=VERDICT,
            formula=_(
                "Thickness against the stamped minimum; “measure again” where twice the"
                " uncertainty straddles it."
            ),
            limits=_("1.5 mm from 1.8 new, 1.7 mm from 2.0 new, where nothing is stamped."),
            doubt=_("Run-out of more than 0.3 mm and cracks condemn a rotor of any thickness."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(MARK_FIRST, BEDDING),
            remarks=lambda given, _result: [braking.judge_rotor(**given).why],
        ),
        Calculator(
            name="brake-pad-verdict",
            title=_("Brake pad"),
            fields=(
                Field(
                    key="friction_mm",
                    label=_("Friction material at its thinnest"),
                    read=number(least=0, most=30),
                    unit="mm",
                    hint=_("Without the backing plate."),
                    example="0.8",
                ),
                Field(
                    key="kind",
                    label=_("Kind"),
                    read=one_of("disc", "rim", "drum"),
                    default="disc",
                    choices=(
                        ("disc", _("Disc")),
                        ("rim", _("Rim block")),
                        ("drum", _("Drum lining")),
                    ),
                    example="disc",
                ),
                UNCERTAINTY,
            ),
            work=judged(braking.judge_pad),
            answer=VERDICT,
            formula=_("Thickness against the limit of its kind."),
            limits=_("Disc 0.5 mm, plan at 1.0; rim block and drum lining 1 mm."),
            doubt=_("Oil, glaze and uneven wear condemn a pad of any thickness."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(MARK_FIRST, BEDDING),
            remarks=lambda given, _result: [braking.judge_pad(**given).why],
        ),
        Calculator(
            name="rim-wall-verdict",
            title=_("Rim wall"),
            fields=(
                Field(
                    key="wall_mm",
                    label=_("Wall at its thinnest"),
                    read=number(least=0, most=10),
                    unit="mm",
                    example="1.4",
                ),
                UNCERTAINTY,
            ),
            work=judged(braking.judge_rim_wall),
            answer=VERDICT,
            formula=_("Wall against 1.0 mm."),
            limits=_(
                "Rims for rim brakes; a wear line that is gone or a hollow of 0.3 mm also condemns."
            ),
            doubt=_("A calliper cannot reach the thinnest place of every rim."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(_("A worn rim bursts under pressure: let the air out before measuring."),),
            remarks=lambda given, _result: [braking.judge_rim_wall(**given).why],
        ),
        Calculator(
            name="brake-fluid-allowed",
            title=_("May this fluid go into this brake?"),
            fields=(
                Field(
                    key="system",
                    label=_("Marked on lever or cap"),
                    read=text,
                    hint=_("DOT4, DOT5.1, mineral …"),
                    example="mineral",
                ),
                Field(key="bottle", label=_("On the bottle"), read=text, example="DOT4"),
            ),
            work=fluids.is_fluid_allowed,
            answer=Answer(words={True: _("yes"), False: _("no, never")}),
            formula=_(
                "The same family, and a boiling point not below the marked one; silicone (DOT 5)"
                " never."
            ),
            limits=_(
                "Mineral oils have no common standard: use the one that the brake's maker names."
            ),
            doubt=_("Boiling points are least values; an old bottle boils sooner."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(
                _("DOT and mineral oil never meet: the seals fail and with them the brake."),
                _("DOT strips paint and takes up water: date the bottle, wear gloves."),
            ),
            remarks=_say_of_fluid,
            rows=lambda given, _result: row_sources(
                [fluids.fluid(given["system"]), fluids.fluid(given["bottle"])]
            ),
        ),
    ),
)
