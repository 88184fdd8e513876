"""Calculators of bolts: what they bear, and what a lubricant changes."""

from typing import Any, Final

from shopfloor.trade import bolts
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Part, Topic
from shopfloor.trade.calculators.reading import number, text
from shopfloor.trade.calculators.sources import MARK_FIRST, row_sources
from shopfloor.trade.tables import table
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

SHIGLEY: Final = _(
    "T = K F d and three quarters of the proof load, Shigley's Mechanical Engineering Design"
)
VARIES: Final = _(
    "Handbooks differ: dry zinc is 0.20 in one and 0.295 in another. Even so the pull varies by 25"
    " to 35 % at equal torque; from memory."
)
WEAKER: Final = _("This is what the bolt bears; the parts it clamps are often weaker.")
_CONDITIONS: Final = tuple((row["key"], row["title"]) for row in table("torque_factors"))
THREAD: Final = Field(
    key="thread",
    label=_("Thread"),
    read=text,
    hint=_("M5, or M8x1 where the pitch is fine."),
    example="M5",
)
CLASS: Final = Field(
    key="class",
    label=_("Strength class"),
    read=text,
    hint=_("On the bolt's head; 8.8, 10.9, 12.9, A2-70."),
    example="8.8",
    argument="strength_class",
)
K: Final = Field(
    key="k",
    label=_("Torque factor K"),
    read=number(above=0, most=1),
    hint=_("0.20 dry and zinc-plated, 0.15 greased, 0.12 with anti-seize."),
    example="0.15",
)
DIAMETER: Final = Field(
    key="diameter_mm",
    label=_("Diameter of the thread"),
    read=number(above=0),
    unit="mm",
    example="5",
)


def _class_row(given: Given, _result: Any) -> list[tuple[str, str]]:
    return row_sources([bolts.strength(given["strength_class"])])


def _condition_rows(given: Given, _result: Any) -> list[tuple[str, str]]:
    keys = [given[name] for name in ("told_for", "condition") if name in given]
    return row_sources(map(bolts.lubricant, keys))


def _say_of_ratio(_given: Given, result: Any) -> list[str]:
    if result > 1:
        return [
            gettext(
                "Past its proof load: the bolt stretches for good and may break. Use less torque."
            )
        ]
    if result > 0.9:
        return [gettext("Close to its proof load: no room is left for a wrench that reads low.")]
    return []


def _say_of_change(given: Given, result: Any) -> list[str]:
    share = (given["torque_nm"] / result - 1) * 100
    if share > 1:
        return [
            gettext(
                "At the unchanged torque this bolt is pulled {share} % harder than was meant."
            ).format(share=round(share))
        ]
    if share < -1:
        return [
            gettext(
                "At the unchanged torque this bolt is pulled {share} % less than was meant, but a"
                " dry thread wants a lubricant rather than more torque."
            ).format(share=round(-share))
        ]
    return []


TOPIC: Final = Topic(
    key="bolts",
    title=_("Bolts"),
    calculators=(
        Calculator(
            name="bolt-stress-area",
            title=_("Cross-section that bears"),
            fields=(THREAD,),
            work=bolts.stress_area,
            answer=Answer(unit="mm²", digits=2),
            formula="A = π/4 · (d − 0.938194 · P)²",
            limits=_("Metric threads; without a pitch the coarse one of ISO 261."),
            doubt=_("A cut or rusted thread bears less."),
            source=_("ISO 898-1 and ISO 724"),
            source_kind="standard",
        ),
        Calculator(
            name="bolt-proof-load",
            title=_("Proof load"),
            fields=(THREAD, CLASS),
            work=bolts.proof_load,
            answer=Answer(unit="N", digits=0),
            formula=_(
                "as ISO 898-1 lists it for coarse threads; others: stress area · proof stress"
            ),
            limits=_("M3 to M12 listed for 8.8, 10.9 and 12.9."),
            doubt=_(
                "Only for bolts that bear their class on the head; titanium and aluminium by their"
                " maker."
            ),
            source=_("ISO 898-1, as in a public table"),
            source_kind="standard",
            cautions=(WEAKER,),
            rows=_class_row,
        ),
        Calculator(
            name="bolt-torque-for-preload",
            title=_("Torque for a clamping force"),
            fields=(
                K,
                Field(
                    key="preload_n",
                    label=_("Clamping force"),
                    read=number(above=0),
                    unit="N",
                    example="6172",
                ),
                DIAMETER,
            ),
            work=bolts.torque_for_preload,
            answer=Answer(unit="N·m", digits=2),
            formula="T = K · F · d",
            limits=_("Threads and head as K says; K is an average."),
            doubt=VARIES,
            source=SHIGLEY,
            source_kind="handbook",
            cautions=(MARK_FIRST, WEAKER),
        ),
        Calculator(
            name="bolt-preload-to-proof-ratio",
            title=_("How close a torque comes to the proof load"),
            fields=(
                Field(
                    key="torque_nm",
                    label=_("Torque"),
                    read=number(above=0),
                    unit="N·m",
                    example="6",
                ),
                K,
                DIAMETER,
                Field(
                    key="proof_load_n",
                    label=_("Proof load"),
                    read=number(above=0),
                    unit="N",
                    example="8230",
                    argument="proof_n",
                ),
            ),
            work=bolts.preload_to_proof,
            answer=Answer(digits=2),
            formula="T / (K · d) / F₀",
            limits=_("1 is the proof load; a joint that is opened again is pulled to 0.75."),
            doubt=VARIES,
            source=SHIGLEY,
            source_kind="handbook",
            cautions=(MARK_FIRST, WEAKER),
            remarks=_say_of_ratio,
        ),
        Calculator(
            name="bolt-torque-by-class",
            title=_("Torque by class and lubricant"),
            fields=(
                THREAD,
                CLASS,
                Field(
                    key="condition",
                    label=_("Thread and head are"),
                    read=text,
                    choices=_CONDITIONS,
                    example="greased",
                ),
            ),
            work=lambda **given: bolts.tightening(**given)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="torque_nm", label=_("Torque"), unit="N·m", digits=2),
                    Part(key="preload_n", label=_("Clamping force"), unit="N", digits=0),
                )
            ),
            formula="T = K · 0.75 · F₀ · d",
            limits=_("For a joint that is opened again at a later service."),
            doubt=VARIES,
            source=SHIGLEY,
            source_kind="handbook",
            cautions=(MARK_FIRST, WEAKER),
            rows=lambda given, result: _class_row(given, result) + _condition_rows(given, result),
        ),
        Calculator(
            name="bolt-torque-with-lubricant",
            title=_("When the lubricant is another"),
            fields=(
                Field(
                    key="torque_nm",
                    label=_("Torque told"),
                    read=number(above=0),
                    unit="N·m",
                    example="6",
                ),
                Field(
                    key="told_for",
                    label=_("Told for"),
                    read=text,
                    choices=_CONDITIONS,
                    example="dry",
                ),
                Field(
                    key="condition",
                    label=_("Thread and head are"),
                    read=text,
                    choices=_CONDITIONS,
                    example="antiseize",
                ),
            ),
            work=bolts.torque_with_lubricant,
            answer=Answer(unit="N·m", digits=2),
            formula="T · K₂ / K₁",
            limits=_("Only where it is known for which state of the thread the torque was told."),
            doubt=_(
                "Most marks do not say it: then the mark stays and the thread is made as its maker"
                " wants."
            ),
            source=SHIGLEY,
            source_kind="handbook",
            cautions=(MARK_FIRST,),
            remarks=_say_of_change,
            rows=_condition_rows,
        ),
    ),
)
