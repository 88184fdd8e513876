"""Calculators of torque wrenches and of the readings taken with them."""

from collections.abc import Callable
from typing import Any, Final

from shopfloor.trade import torque, units
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Topic
from shopfloor.trade.calculators.reading import day, number, several, text, whole, yes_no
from shopfloor.trade.calculators.sources import MARK_FIRST, PRACTICE
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

_UNITS: Final = tuple((unit, unit) for unit in units.NEWTON_METRES_PER)
ISO_6789: Final = _("ISO 6789, adjustable click wrench, as quoted in a public manual")
LEVER_FIELDS: Final = (
    Field(
        key="wrench_length",
        label=_("Middle of the grip to the drive"),
        read=number(above=0),
        hint=_("In any unit of length, the same below."),
        example="300",
    ),
    Field(
        key="extension",
        label=_("Drive to fastener, along the extension"),
        read=number(),
        hint=_("Negative when it points back at the grip."),
        example="50",
    ),
    Field(
        key="angle_deg",
        label=_("Angle between wrench and extension"),
        read=number(least=-180, most=180),
        unit="°",
        default=0.0,
        example="0",
    ),
)


def _lever(*, name: str, title: str, first: Field, work: Callable[..., Any]) -> Calculator:
    return Calculator(
        name=name,
        title=title,
        fields=(first, *LEVER_FIELDS),
        work=work,
        answer=Answer(digits=2),
        formula="T = S · (L + E · cos α) / L",
        limits=_("Crow-foot and ring adapters. A straight socket extension changes nothing."),
        doubt=_(
            "Only with the hand on the marked grip; a head that pivots in its shaft counts from"
            " the drive."
        ),
        source=_("naval aviation training manual 14315 and army manual TM 9-254"),
        source_kind="handbook",
        cautions=(MARK_FIRST,),
    )


def _say_of_calibration(_given: Given, result: Any) -> list[str]:
    if result == "overdue":
        return [gettext("Record no accepting value with it: use another wrench.")]
    return []


TOPIC: Final = Topic(
    key="torque",
    title=_("Torque"),
    calculators=(
        Calculator(
            name="torque-convert",
            title=_("Torque in another unit"),
            fields=(
                Field(key="value", label=_("Torque"), read=number(), example="44"),
                Field(
                    key="from",
                    label=_("Unit"),
                    read=text,
                    choices=_UNITS,
                    example="lbf·in",
                    argument="unit",
                ),
                Field(key="to", label=_("Wanted unit"), read=text, choices=_UNITS, example="N·m"),
            ),
            work=lambda *, value, unit, to: units.convert_torque(value, unit=unit, to=to),
            answer=Answer(digits=3),
            formula=_("by newton metres; 1 lbf·in = 0.112985 N·m, 1 kgf·cm = 0.0980665 N·m"),
            limits=_("Exact."),
            doubt=_("None but that of the reading."),
            source=_("pound and inch of 1959, standard gravity; compared with pint"),
            source_kind="library",
            remarks=lambda given, _result: [
                gettext("In {unit}.").format(unit=units.canonical_unit(given["to"]))
            ],
        ),
        _lever(
            name="torque-wrench-setting",
            title=_("Setting with an extension"),
            first=Field(
                key="wanted",
                label=_("Torque wanted at the fastener"),
                read=number(above=0),
                hint=_("In any unit; the setting is in the same."),
                example="40",
            ),
            work=torque.wrench_setting,
        ),
        _lever(
            name="torque-at-fastener",
            title=_("Torque that reaches the fastener"),
            first=Field(
                key="setting",
                label=_("Setting of the wrench"),
                read=number(above=0),
                hint=_("In any unit; the answer is in the same."),
                example="60",
            ),
            work=torque.torque_at_fastener,
        ),
        Calculator(
            name="torque-wrench-permissible-deviation",
            title=_("How far a wrench may be off"),
            fields=(
                Field(
                    key="setting_nm",
                    label=_("Setting"),
                    read=number(above=0),
                    unit="N·m",
                    example="8",
                ),
            ),
            work=torque.permissible_deviation,
            answer=Answer(unit="N·m", digits=3),
            formula=_("± 6 % up to 10 N·m, ± 4 % above"),
            limits=_("Adjustable click wrenches (type II class A)."),
            doubt=_("Screwdrivers, beam and dial wrenches keep ± 6 %; from memory."),
            source=ISO_6789,
            source_kind="standard",
        ),
        Calculator(
            name="torque-wrench-in-range",
            title=_("Can this wrench be trusted at this torque?"),
            fields=(
                Field(
                    key="needed_nm",
                    label=_("Torque needed"),
                    read=number(above=0),
                    unit="N·m",
                    example="5",
                ),
                Field(
                    key="max_nm",
                    label=_("Top of the scale"),
                    read=number(above=0),
                    unit="N·m",
                    example="25",
                ),
                Field(
                    key="min_nm",
                    label=_("Lowest mark"),
                    read=number(least=0),
                    unit="N·m",
                    hint=_("Left empty: a fifth of the top."),
                    default=None,
                    example="5",
                ),
            ),
            work=torque.is_in_range,
            answer=Answer(words={True: _("yes"), False: _("no: take another wrench")}),
            formula=_("lowest mark ≤ needed ≤ top of the scale; without a mark 20 % of the top"),
            limits=_(
                "Test points lie at 20, 60 and 100 % of the scale; below the first nothing is"
                " known."
            ),
            doubt=_("The 2017 edition begins at the lowest marked value."),
            source=ISO_6789,
            source_kind="standard",
        ),
        Calculator(
            name="torque-wrench-calibration",
            title=_("Is the calibration still good?"),
            fields=(
                Field(
                    key="last_calibrated_on",
                    label=_("Last calibrated on"),
                    read=day,
                    example="2025-01-10",
                ),
                Field(key="on", label=_("Used on"), read=day, example="2025-11-03"),
                Field(
                    key="cycles_since",
                    label=_("Clicks since then"),
                    read=whole(),
                    default=0,
                    example="3000",
                    also=("cycles",),
                ),
                Field(
                    key="dropped",
                    label=_("Dropped, overloaded or repaired since"),
                    read=yes_no,
                    default=False,
                    choices=(("no", _("no")), ("yes", _("yes"))),
                    example="no",
                    also=("overloaded", "repaired"),
                ),
            ),
            work=torque.calibration_state,
            answer=Answer(words={"current": _("current"), "overdue": _("overdue")}),
            formula=_(
                "12 months or 5000 clicks, whichever comes first; a drop, overload or repair at"
                " once"
            ),
            limits=_("Where the shop has no rule of its own."),
            doubt=_("From memory of ISO 6789; a public aviation circular asks for once a year."),
            source=_("ISO 6789, from memory"),
            source_kind="memory",
            remarks=_say_of_calibration,
        ),
        Calculator(
            name="acceptance-limits",
            title=_("Readings that may be accepted"),
            fields=(
                Field(key="lower", label=_("Lower limit"), read=number(), example="4"),
                Field(key="upper", label=_("Upper limit"), read=number(), example="6"),
                Field(
                    key="standard_uncertainty",
                    label=_("Standard uncertainty"),
                    read=number(least=0),
                    hint=_("Class times torque through √3: 0.17 for 6 % of 5 N·m."),
                    example="0.175",
                ),
                Field(
                    key="guard_factor",
                    label=_("Guard factor"),
                    read=number(least=0, most=5),
                    hint=_("2 in the older rule; 1.65 in the one of 2017, from memory."),
                    default=2.0,
                    example="2",
                ),
            ),
            work=torque.acceptance_limits,
            answer=Answer(digits=3),
            formula=_("from lower + k · u to upper − k · u"),
            limits=_("A band narrower than the guard leaves nothing: use a finer tool."),
            doubt=_(
                "Torque is not preload: at equal torque the pull varies by a quarter and more."
            ),
            source="ISO 14253-1",
            source_kind="standard",
        ),
        Calculator(
            name="conformance-probability",
            title=_("How likely a reading is inside its limits"),
            fields=(
                Field(key="reading", label=_("Reading"), read=number(), example="5.7"),
                Field(
                    key="standard_uncertainty",
                    label=_("Standard uncertainty"),
                    read=number(above=0),
                    example="0.2",
                ),
                Field(
                    key="lower", label=_("Lower limit"), read=number(), default=None, example="4"
                ),
                Field(
                    key="upper", label=_("Upper limit"), read=number(), default=None, example="6"
                ),
            ),
            work=torque.conformance_probability,
            answer=Answer(digits=3),
            formula="p = Φ((upper − y) / u) − Φ((lower − y) / u)",
            limits=_("Errors spread like the normal distribution."),
            doubt=_("As good as the uncertainty that was put in."),
            source=_("JCGM 106, normal model; compared with scipy"),
            source_kind="standard",
        ),
        Calculator(
            name="torque-limit-of-clamped-parts",
            title=_("Two clamped parts with two marks"),
            fields=(
                Field(
                    key="limits_nm",
                    label=_("Marks of the parts"),
                    read=several(number(above=0)),
                    unit="N·m",
                    example="6 5",
                ),
            ),
            work=lambda *, limits_nm: torque.limit_of_clamped_parts(limits_nm),
            answer=Answer(unit="N·m", digits=2),
            formula=_("the lower mark, never the average"),
            limits=_("Every part under the clamp counts, the unmarked by its maker's sheet."),
            doubt=_(
                "Carbon: paste on the clamp faces, even gaps, in steps, stop at a cracking sound."
            ),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(MARK_FIRST,),
        ),
    ),
)
