"""Calculators of tyres: sizes and what may go on which rim."""

from typing import Any, Final

from shopfloor.trade import tyre_pressures, tyre_sizes, units
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Part, Topic
from shopfloor.trade.calculators.reading import number, one_of, text, yes_no
from shopfloor.trade.calculators.sources import DEFINITION, PRACTICE, row_sources
from shopfloor.trade.tables import get_row, table
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

ISO_5775: Final = _("ISO 5775-1")
MARKING: Final = Field(
    key="marking",
    label=_("Mark on the side of the tyre"),
    read=text,
    hint=_("The two numbers as in 37-622."),
    example="37-622",
)
SEATED: Final = _(
    "Arrow in the direction of travel, bead even all round, valve straight, 1.6 mm clear of frame"
    " and fork everywhere (16 CFR 1512.11), no cut down to the cords."
)
NEVER_ABOVE: Final = _(
    "Never above the lower mark of tyre and rim, not even to seat a bead; eyes protected."
)
HOOKLESS: Final = Field(
    key="hookless",
    label=_("Rim without hooks"),
    read=yes_no,
    default=False,
    choices=(("no", _("no")), ("yes", _("yes"))),
    example="no",
)
_PRESSURE_UNITS: Final = tuple((unit, unit) for unit in units.KILOPASCALS_PER)


def _read_use(raw: Any) -> str:
    """road or off-road; true or false where it is asked for as off_road."""
    if isinstance(raw, bool):
        return tyre_pressures.OFF_ROAD if raw else tyre_pressures.ROAD
    use: str = one_of(tyre_pressures.ROAD, tyre_pressures.OFF_ROAD)(text(raw).replace("_", "-"))
    return use


def _say_of_name(given: Given, result: Any) -> list[str]:
    told = []
    if len(result) > 1:
        told.append(
            gettext("The name does not decide: read the ISO mark, or measure where the bead sits.")
        )
    for seat, which in tyre_sizes.also_called(given["name"]):
        told.append(gettext("{which}: {seat} mm went by this name.").format(which=which, seat=seat))
    return told


def _say_of_mark(_given: Given, result: Any) -> list[str]:
    known = {row["bead_seat_mm"] for row in table("bead_seats")}
    if result["bead_seat_mm"] in known:
        return []
    return [gettext("No rim of this diameter is listed here: read the mark once more.")]


def _say_of_width(given: Given, result: Any) -> list[str]:
    told = []
    least = tyre_pressures.least_hookless_mm(given["rim_internal_mm"])
    if given["hookless"] and given["tyre_mm"] < least:
        told.append(
            gettext(
                "A rim without hooks needs at least {least} mm, and a tyre marked for it."
            ).format(least=f"{least:g}")
        )
    usual = _usual_widths(given["tyre_mm"])
    if usual and (given["rim_internal_mm"] in usual) != bool(result):
        told.append(
            gettext(
                "A table from memory says otherwise ({widths} mm inside): ask the tyre's maker."
            ).format(widths=", ".join(map(str, usual)))
        )
    return told


def _usual_widths(tyre_mm: float) -> list[int]:
    return next(
        (row["rim_internal_mm"] for row in table("rim_widths") if row["tyre_mm"] == tyre_mm), []
    )


def _as_answer(*, marking: str) -> dict[str, Any]:
    size = tyre_sizes.read_mark(marking)._asdict()
    return {key: value for key, value in size.items() if value is not None}


TOPIC: Final = Topic(
    key="tyres",
    title=_("Tyres"),
    calculators=(
        Calculator(
            name="tyre-size",
            title=_("What a tyre's mark says"),
            fields=(MARKING,),
            work=_as_answer,
            answer=Answer(
                parts=(
                    Part(key="width_mm", label=_("Width"), unit="mm", digits=1),
                    Part(key="bead_seat_mm", label=_("Bead seat"), unit="mm", digits=0),
                    Part(
                        key="pressure_kpa", label=_("Highest pressure marked"), unit="kPa", digits=0
                    ),
                )
            ),
            formula=_("width, hyphen, bead seat diameter"),
            limits=_("ISO marks; a name in inches is looked up below."),
            doubt=_("The true width depends on the rim: measure it once the tyre is on."),
            source=ISO_5775,
            source_kind="standard",
            cautions=(SEATED,),
            remarks=_say_of_mark,
        ),
        Calculator(
            name="bead-seat-candidates",
            title=_("Bead seat from a name"),
            fields=(
                Field(
                    key="name",
                    label=_("The name"),
                    read=text,
                    hint=_("26x1 3/8, 700x28C, 650B, 20 inch …"),
                    example="26x1 3/8",
                ),
            ),
            work=tyre_sizes.bead_seat_candidates,
            answer=Answer(unit="mm", digits=0),
            formula=_("looked up; a fraction and a decimal are different sizes"),
            limits=_("37 bead seats are listed; others by their ISO mark."),
            doubt=_("One name can mean several sizes, and one size has several names."),
            source=_("table of bead seats, each row with its source"),
            source_kind="handbook",
            cautions=(_("The bead seat must be equal on tyre and rim, not nearly equal."),),
            remarks=_say_of_name,
            rows=lambda _given, result: row_sources(tyre_sizes.rows_of(result)),
        ),
        Calculator(
            name="tyre-overall-diameter",
            title=_("Outside diameter"),
            fields=(MARKING,),
            work=tyre_sizes.overall_diameter_mm,
            answer=Answer(unit="mm", digits=0),
            formula=_("bead seat + 2 · width"),
            limits=_("A tyre about as high as it is wide."),
            doubt=_("Some add 2.5 mm of height below 28 mm of width."),
            source=_("ISO 5775, as explained in a public encyclopedia"),
            source_kind="handbook",
        ),
        Calculator(
            name="tyre-circumference",
            title=_("Circumference"),
            fields=(MARKING,),
            work=tyre_sizes.circumference_mm,
            answer=Answer(unit="mm", digits=0),
            formula="π · (bead seat + 2 · width)",
            limits=_("Without load."),
            doubt=_("Rolled out under the rider it is 1 to 2 % less, and that counts."),
            source=DEFINITION[0],
            source_kind=DEFINITION[1],
        ),
        Calculator(
            name="tyre-fits-rim",
            title=_("Does this tyre fit this rim?"),
            fields=(
                Field(
                    key="tyre",
                    label=_("Mark of the tyre"),
                    read=text,
                    example="37-590",
                    argument="marking",
                ),
                Field(
                    key="rim_bead_seat_mm",
                    label=_("Bead seat of the rim"),
                    read=number(above=0),
                    unit="mm",
                    example="559",
                ),
            ),
            work=tyre_sizes.fits_rim,
            answer=Answer(words={True: _("yes"), False: _("no: do not force it")}),
            formula=_("equal bead seats"),
            limits=_("Width is another question: see below."),
            doubt=_("Rims of old bikes vary; a bead that climbs does not belong there."),
            source=ISO_5775,
            source_kind="standard",
            cautions=(SEATED,),
        ),
        Calculator(
            name="tyre-width-suits-rim",
            title=_("Does this width suit this rim?"),
            fields=(
                Field(
                    key="tyre_mm", label=_("Tyre"), read=number(above=0), unit="mm", example="28"
                ),
                Field(
                    key="rim_internal_mm",
                    label=_("Rim inside, between its walls"),
                    read=number(above=0),
                    unit="mm",
                    example="17",
                ),
                HOOKLESS,
            ),
            work=tyre_pressures.width_suits_rim,
            answer=Answer(words={True: _("yes"), False: _("no")}),
            formula=_("tyre / rim from 1.4 to 2.4; without hooks at least 28 mm, 29 on 25 inside"),
            limits=_("The table of the tyre's or rim's maker comes first."),
            doubt=_("Near the ends makers differ."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(_("Without hooks only tyres marked for it: others blow off."),),
            remarks=_say_of_width,
            rows=lambda given, _result: row_sources(
                [get_row("tyre_limits", "hookless"), get_row("tyre_limits", "hookless:wide")]
                if given["hookless"]
                else []
            ),
        ),
        Calculator(
            name="tyre-pressure-limit",
            title=_("Highest pressure"),
            fields=(
                Field(
                    key="tyre_max_bar",
                    label=_("Marked on the tyre"),
                    read=number(above=0),
                    unit="bar",
                    default=None,
                    example="6",
                ),
                Field(
                    key="rim_max_bar",
                    label=_("Marked on the rim"),
                    read=number(above=0),
                    unit="bar",
                    default=None,
                    example="7",
                ),
                HOOKLESS,
            ),
            work=tyre_pressures.pressure_limit_bar,
            answer=Answer(unit="bar", digits=1),
            formula=_("the lowest of the marks; without hooks 5 bar at most"),
            limits=_("A rim without a mark may bear less than its tyre."),
            doubt=_("A pump's gauge is off by 5 % and more."),
            source=_(
                "the lower mark counts; European Tyre and Rim Technical Organisation, limit as"
                " reported on two public news pages"
            ),
            source_kind="handbook",
            cautions=(NEVER_ABOVE,),
        ),
        Calculator(
            name="tyre-pressure-for-load",
            title=_("Pressure for a load"),
            fields=(
                Field(
                    key="load_kg",
                    label=_("Load on this wheel"),
                    read=number(above=0),
                    unit="kg",
                    hint=_(
                        "Rider and bike: about 45 % front, 55 % rear; two bathroom scales know"
                        " better."
                    ),
                    example="45",
                ),
                Field(
                    key="width_mm",
                    label=_("Measured width"),
                    read=number(above=0),
                    unit="mm",
                    example="28",
                ),
            ),
            work=tyre_pressures.pressure_for_load_bar,
            answer=Answer(unit="bar", digits=1),
            formula=_("P = 600 · L / W² + 0.75 · W − 25, in psi, lb and mm"),
            limits=_("9 to 100 kg and 18 to 40 mm; tyres with a tube that sink in by 15 %."),
            doubt=_(
                "± 2 psi within the chart; other fits part by 10 psi at 50 mm. Take it as ± 10 %."
            ),
            source=_("white paper with DOI 10.5281/zenodo.20671797, fit to a chart of tyre drop"),
            source_kind="handbook",
            cautions=(NEVER_ABOVE,),
        ),
        Calculator(
            name="tyre-minimum-pressure",
            title=_("Lowest pressure"),
            fields=(
                Field(
                    key="width_mm", label=_("Width"), read=number(above=0), unit="mm", example="23"
                ),
                Field(
                    key="use",
                    label=_("Used"),
                    read=_read_use,
                    default=tyre_pressures.ROAD,
                    choices=(
                        (tyre_pressures.ROAD, _("on roads")),
                        (tyre_pressures.OFF_ROAD, _("off the road")),
                    ),
                    example=tyre_pressures.ROAD,
                    also=("off_road",),
                ),
            ),
            work=tyre_pressures.minimum_pressure_kpa,
            answer=Answer(unit="kPa", digits=0),
            formula=_("300 kPa up to 25 mm, 200 on roads, 150 off the road"),
            limits=_("An older edition; a mark on the tyre counts before it."),
            doubt=_("Tubeless tyres are ridden lower, by their maker's table."),
            source=_("ISO 5775-1, an older edition as quoted by a public encyclopedia"),
            source_kind="standard",
        ),
        Calculator(
            name="pressure-convert",
            title=_("Pressure in another unit"),
            fields=(
                Field(key="value", label=_("Pressure"), read=number(least=0), example="100"),
                Field(
                    key="from",
                    label=_("Unit"),
                    read=text,
                    choices=_PRESSURE_UNITS,
                    example="psi",
                    argument="unit",
                ),
                Field(
                    key="to",
                    label=_("Wanted unit"),
                    read=text,
                    choices=_PRESSURE_UNITS,
                    example="bar",
                ),
            ),
            work=lambda *, value, unit, to: units.convert_pressure(value, unit=unit, to=to),
            answer=Answer(digits=3),
            formula=_("1 bar = 100 kPa = 14.5038 psi"),
            limits=_("Exact."),
            doubt=_("None but that of the gauge."),
            source=_("pound and inch of 1959, standard gravity; compared with pint"),
            source_kind="library",
            remarks=lambda given, _result: [
                gettext("In {unit}.").format(unit=units.canonical_unit(given["to"]))
            ],
        ),
    ),
)
