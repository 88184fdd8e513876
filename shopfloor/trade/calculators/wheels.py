"""Calculators of spoked wheels."""

from collections.abc import Mapping
from typing import Any, Final

from shopfloor.trade import wheels
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Part, Topic
from shopfloor.trade.calculators.reading import number, several, whole
from shopfloor.trade.calculators.sources import PRACTICE
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

RIM_FIRST: Final = _("The rim's own limit of tension comes first; check its wall before truing.")
BROKEN: Final = _(
    "A broken spoke or a crack at a nipple: the wheel is not ridden. True only without hub play,"
    " relieve the spokes and measure again."
)
RIM_RADIUS: Final = Field(
    key="effective_rim_radius_mm",
    label=_("Half of the effective rim diameter"),
    read=number(above=0),
    unit="mm",
    hint=_("Measured with two spokes, to the bottom of the nipple's slot."),
    example="297.5",
)
HOLES: Final = Field(
    key="hole_circle_radius_mm",
    label=_("Hub centre to the spoke holes"),
    read=number(above=0),
    unit="mm",
    example="22.5",
)
OFFSET: Final = Field(
    key="flange_offset_mm",
    label=_("Flange to the plane of the rim"),
    read=number(least=0),
    unit="mm",
    example="35",
)
CROSSINGS: Final = Field(
    key="crossings",
    label=_("Crossings"),
    read=number(least=0, most=5),
    hint=_("Other spokes of its side that each one crosses."),
    example="3",
)
_LEFT: Final = (
    (HOLES, _("Left: hub centre to the spoke holes"), "22.5"),
    (OFFSET, _("Left: flange to the plane of the rim"), "35"),
    (CROSSINGS, _("Left: crossings"), "3"),
)
_RIGHT: Final = (
    (HOLES, _("Right: hub centre to the spoke holes"), "22.5"),
    (OFFSET, _("Right: flange to the plane of the rim"), "18.5"),
    (CROSSINGS, _("Right: crossings"), "3"),
)


def _side_fields(
    side: str, told: tuple[tuple[Field, str, str], ...], spokes: str
) -> tuple[Field, ...]:
    fields = tuple(
        Field(key=f"{side}.{one.key}", label=label, read=one.read, unit=one.unit, example=example)
        for one, label, example in told
    )
    count = Field(key=f"{side}.spokes", label=spokes, read=whole(least=2, most=72), example="16")
    return (*fields, count)


def _length(
    *,
    effective_rim_radius_mm: float,
    hole_circle_radius_mm: float,
    flange_offset_mm: float,
    spokes: int,
    crossings: float,
    hole_mm: float,
) -> float:
    if spokes % 2:
        raise wheels.NotAWheel(
            gettext("Give the spokes of the whole wheel, an even number: count again.")
        )
    side = wheels.Side(hole_circle_radius_mm, flange_offset_mm, spokes // 2, crossings)
    return wheels.spoke_length_mm(
        effective_rim_radius_mm=effective_rim_radius_mm, side=side, hole_mm=hole_mm
    )


def _ratio(*, effective_rim_radius_mm: float, **given: Any) -> float:
    return wheels.tension_ratio(
        effective_rim_radius_mm=effective_rim_radius_mm,
        left=_side(given, "left"),
        right=_side(given, "right"),
    )


def _side(given: Mapping[str, Any], name: str) -> wheels.Side:
    return wheels.Side(**{field: given[f"{name}_{field}"] for field in wheels.Side._fields})


def _say_of_evenness(given: Given, result: Any) -> list[str]:
    told = []
    if result["outliers"]:
        places = ", ".join(str(place + 1) for place in result["outliers"])
        told.append(gettext("Counted from 1, these stray: {places}.").format(places=places))
    told.append(
        gettext("From the least to the greatest within the limit: {low} to {high}.").format(
            low=f"{result['mean'] * (1 - given['limit_pct'] / 100):.1f}",
            high=f"{result['mean'] * (1 + given['limit_pct'] / 100):.1f}",
        )
    )
    return told


def _say_of_ratio(_given: Given, result: Any) -> list[str]:
    return [
        gettext("With 1000 N on the right the left has {newton} N, and that is no fault.").format(
            newton=round(1000 * result)
        )
    ]


def _say_of_dish(given: Given, result: Any) -> list[str]:
    if abs(result) <= 0.5:
        return [gettext("Good: within half a millimetre.")]
    side = gettext("left") if result > 0 else gettext("right")
    told = gettext("The larger gap is on the {side}.").format(side=side)
    if abs(result) > 1:
        return [told, gettext("More than 1 mm off: dish the wheel again.")]
    return [told]


TOPIC: Final = Topic(
    key="wheels",
    title=_("Wheels"),
    calculators=(
        Calculator(
            name="spoke-length",
            title=_("Spoke length"),
            fields=(
                RIM_RADIUS,
                HOLES,
                OFFSET,
                Field(
                    key="spokes",
                    label=_("Spokes of the whole wheel"),
                    read=whole(least=4, most=144),
                    example="32",
                ),
                CROSSINGS,
                Field(
                    key="hole_mm",
                    label=_("Diameter of the spoke holes"),
                    read=number(least=0, most=10),
                    unit="mm",
                    default=0.0,
                    example="2.6",
                ),
            ),
            work=_length,
            answer=Answer(unit="mm", digits=1),
            formula="√(R² + r² + w² − 2 R r cos(720° · X / N)) − h / 2",
            limits=_("As many spokes on either side; each side has its own flange and length."),
            doubt=_("Round to a length that is sold, never past the bottom of the nipple's slot."),
            source=_("law of cosines; worked example of tristable.net/bike/spoke_length.txt"),
            source_kind="handbook",
        ),
        Calculator(
            name="spoke-tension-ratio",
            title=_("Left tension against right"),
            fields=(
                RIM_RADIUS,
                *_side_fields("left", _LEFT, _("Left: spokes")),
                *_side_fields("right", _RIGHT, _("Right: spokes")),
            ),
            work=_ratio,
            answer=Answer(digits=3),
            formula="T₁ / T₂ = (n₂ · w₂ / L₂) / (n₁ · w₁ / L₁)",
            limits=_("A rim in the middle of the axle, spokes of one side alike."),
            doubt=_("Judge the evenness of each side alone: a slack side is often geometry."),
            source=_("balance of forces across the wheel; compared with an open wheel calculator"),
            source_kind="library",
            cautions=(RIM_FIRST,),
            remarks=_say_of_ratio,
        ),
        Calculator(
            name="spoke-tension-evenness",
            title=_("Evenness of one side"),
            fields=(
                Field(
                    key="tension_kgf",
                    label=_("Tension of each spoke of one side"),
                    read=several(number(least=0), least=2),
                    hint=_("In order from the valve, with spaces between; any unit."),
                    example="110 104 96 98 120 101 99 92",
                ),
                Field(
                    key="limit_pct",
                    label=_("May differ from the mean by"),
                    read=number(above=0, most=100),
                    unit="%",
                    default=20.0,
                    example="20",
                ),
            ),
            work=lambda **given: wheels.evenness(**given)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="mean", label=_("Mean"), digits=1),
                    Part(key="outliers", label=_("Spokes that stray")),
                )
            ),
            formula="|T − mean| ≤ limit · mean",
            limits=_(
                "One side alone. A good shop keeps 10 %; the tight side has 100 to 120 kgf within"
                " the rim's limit."
            ),
            doubt=_("Tension meters agree with themselves better than with each other."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(RIM_FIRST, BROKEN),
            remarks=_say_of_evenness,
        ),
        Calculator(
            name="wheel-dish",
            title=_("Dish"),
            fields=(
                Field(
                    key="gap_left_mm",
                    label=_("Gap on the left"),
                    read=number(least=0, most=50),
                    unit="mm",
                    hint=_("The gauge is set on one side and turned over to the other."),
                    example="1.6",
                ),
                Field(
                    key="gap_right_mm",
                    label=_("Gap on the right"),
                    read=number(least=0, most=50),
                    unit="mm",
                    example="0",
                ),
            ),
            work=wheels.dish_mm,
            answer=Answer(unit=_("mm off the middle"), digits=2),
            formula=_("(left gap − right gap) / 2"),
            limits=_("1.0 mm at most, 0.5 is good."),
            doubt=_("Turning the gauge over doubles the error, and it is halved here."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            remarks=_say_of_dish,
        ),
    ),
)
