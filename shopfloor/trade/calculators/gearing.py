"""Calculators of gears and chain length."""

from typing import Any, Final

from shopfloor.trade import gearing
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Topic
from shopfloor.trade.calculators.reading import number, several, whole
from shopfloor.trade.calculators.sources import DEFINITION, GEOMETRY, PRACTICE
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

TEETH: Final = whole(least=1, most=200)
FRONT: Final = Field(key="front", label=_("Teeth of the ring"), read=TEETH, example="50")
REAR: Final = Field(key="rear", label=_("Teeth of the sprocket"), read=TEETH, example="11")
LARGEST: Final = (
    Field(
        key="front",
        label=_("Teeth of the largest ring"),
        read=TEETH,
        example="52",
    ),
    Field(
        key="rear",
        label=_("Teeth of the largest sprocket"),
        read=TEETH,
        example="28",
    ),
)


def _say_of_length(_given: Given, result: Any) -> list[str]:
    return [
        gettext("With a derailleur: {links} half links.").format(
            links=gearing.even_chain_length(pitches=result)
        ),
        gettext("Lay it around the largest ring and sprocket before cutting."),
    ]


def _say_of_hanger(given: Given, _result: Any) -> list[str]:
    if given["rim_offset_mm"] > 4:
        return [gettext("More than 4 mm at the rim: straighten or renew the hanger.")]
    if given["rim_offset_mm"] > 2:
        return [gettext("Good enough up to ten sprockets; 11 to 13 want 2 mm or less.")]
    return [gettext("Straight enough.")]


TOPIC: Final = Topic(
    key="gearing",
    title=_("Gears"),
    calculators=(
        Calculator(
            name="gear-inches",
            title=_("Gear inches"),
            fields=(
                Field(
                    key="wheel_in", label=_("Wheel"), read=number(above=0), unit="in", example="27"
                ),
                FRONT,
                REAR,
            ),
            work=gearing.gear_inches,
            answer=Answer(unit="in", digits=1),
            formula="D · F / R",
            limits=_("Outside diameter of the tyre, not its name."),
            doubt=_("Tyres differ from their names."),
            source=DEFINITION[0],
            source_kind=DEFINITION[1],
        ),
        Calculator(
            name="gear-development",
            title=_("Development"),
            fields=(
                Field(
                    key="circumference_m",
                    label=_("Circumference"),
                    read=number(above=0),
                    unit="m",
                    example="2.096",
                ),
                FRONT,
                REAR,
                Field(
                    key="hub_ratio",
                    label=_("Ratio of the hub gear"),
                    read=number(above=0, most=10),
                    hint=_("1 without one."),
                    default=1.0,
                    example="1",
                ),
            ),
            work=gearing.development_m,
            answer=Answer(unit="m", digits=2),
            formula="C · F / R · hub",
            limits=_("One turn of the cranks."),
            doubt=_("The rolled-out circumference is 1 to 2 % less than that of the mark."),
            source=DEFINITION[0],
            source_kind=DEFINITION[1],
        ),
        Calculator(
            name="chain-length",
            title=_("Chain length"),
            fields=(
                Field(
                    key="chainstay_mm",
                    label=_("Axle to axle"),
                    read=number(above=0),
                    unit="mm",
                    hint=_("With rear suspension at its longest."),
                    example="438.15",
                ),
                *LARGEST,
            ),
            work=gearing.chain_length_pitches,
            answer=Answer(unit=_("half links"), digits=2),
            formula="2 C + (F + R) / 2 + ((F − R) / 2π)² / C",
            limits=_("Half-inch chains; within 0.02 half links of trigonometry."),
            doubt=_("A formula in circulation with 0.01275 counts the last term twice."),
            source=_("handbooks of roller chains"),
            source_kind="handbook",
            cautions=(_("Too short a chain tears the derailleur off on the largest gears."),),
            remarks=_say_of_length,
        ),
        Calculator(
            name="chain-length-even",
            title=_("Half links to cut to"),
            fields=(
                Field(
                    key="pitches",
                    label=_("Worked out length"),
                    read=number(above=0),
                    example="109.42",
                ),
                Field(
                    key="derailleur_pitches",
                    label=_("For the derailleur"),
                    read=number(least=0, most=20),
                    hint=_("2 with one, 0 without."),
                    default=2.0,
                    example="2",
                ),
            ),
            work=gearing.even_chain_length,
            answer=Answer(unit=_("half links"), digits=0),
            formula=_("rounded up to an even number"),
            limits=_("A chain closes only on a whole link."),
            doubt=_("Lay it around the largest ring and sprocket before cutting."),
            source=DEFINITION[0],
            source_kind=DEFINITION[1],
        ),
        Calculator(
            name="derailleur-capacity",
            title=_("Capacity of a rear derailleur"),
            fields=(
                Field(
                    key="rings",
                    label=_("Teeth of the rings"),
                    read=several(TEETH),
                    example="50 34",
                ),
                Field(
                    key="cassette",
                    label=_("Teeth of the largest and smallest sprocket"),
                    read=several(TEETH),
                    example="11 34",
                ),
            ),
            work=gearing.derailleur_capacity,
            answer=Answer(unit=_("teeth"), digits=0),
            formula=_("(largest − smallest ring) + (largest − smallest sprocket)"),
            limits=_("Compare with the capacity of the derailleur, and its largest sprocket."),
            doubt=_("Many bear some teeth more; their makers do not promise it."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
        ),
        Calculator(
            name="hanger-angle",
            title=_("Bent hanger"),
            fields=(
                Field(
                    key="rim_offset_mm",
                    label=_("Difference at the rim"),
                    read=number(least=0, most=100),
                    unit="mm",
                    hint=_("Between opposite places of the rim."),
                    example="4",
                ),
                Field(
                    key="rim_dia_mm",
                    label=_("Diameter across them"),
                    read=number(above=0),
                    unit="mm",
                    example="622",
                ),
            ),
            work=gearing.hanger_angle_deg,
            answer=Answer(unit="°", digits=2),
            formula="arctan(offset / diameter)",
            limits=_("4 mm at most, 2 mm for 11 to 13 sprockets; common practice."),
            doubt=_(
                "Measure at one place of the rim turned round, so that a bent rim does not count."
            ),
            source=GEOMETRY[0],
            source_kind=GEOMETRY[1],
            cautions=(
                _("Limits are set before anybody rides: they keep the cage out of the spokes."),
            ),
            remarks=_say_of_hanger,
        ),
    ),
)
