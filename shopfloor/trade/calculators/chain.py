"""Calculators of chain wear."""

from collections.abc import Sequence
from typing import Any, Final

from shopfloor.trade import cassette, chain, projection
from shopfloor.trade.asks import chain_row
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Part, Topic
from shopfloor.trade.calculators.reading import number, one_of, several, text, whole
from shopfloor.trade.calculators.sources import GEOMETRY, MARK_FIRST, PRACTICE, row_sources
from shopfloor.trade.calculators.verdicts import VERDICT, judged, uncertainty_field
from shopfloor.words import gettext
from shopfloor.words import gettext_noop as _

PITCHES: Final = Field(
    key="pitches",
    label=_("Half links between the pins"),
    read=whole(least=1, most=400),
    hint=_("24 over twelve inches; more make the reading surer."),
    example="24",
)
ELONGATION: Final = Field(
    key="elongation_pct",
    label=_("Elongation"),
    read=number(least=-1, most=5),
    unit="%",
    example="0.52",
)
SPROCKETS: Final = Field(
    key="sprockets",
    label=_("Sprockets at the rear"),
    read=whole(least=1, most=14),
    example="11",
)


def _chain_limit(given: Given, _result: Any) -> Sequence[tuple[str, str]]:
    return row_sources([chain_row(given["sprockets"])])


def _read_chains(raw: Any) -> int | None:
    """A count of chains, or None for unknown."""
    if isinstance(raw, str) and raw.strip().lower() in {"unknown", "?", ""}:
        return None
    count: int = whole(least=1, most=20)(raw)
    return count


def _read_skip_test(raw: Any) -> str:
    word = text(raw).lower().replace("_", " ")
    same = {
        "skipped": cassette.SKIPS,
        "skip": cassette.SKIPS,
        "failed": cassette.SKIPS,
        "passed": cassette.HOLDS,
        "no skip": cassette.HOLDS,
        "ok": cassette.HOLDS,
        "unknown": cassette.NOT_DONE,
    }
    value: str = one_of(cassette.NOT_DONE, cassette.SKIPS, cassette.HOLDS)(same.get(word, word))
    return value


def _say_of_cassette(given: Given, result: Any) -> list[str]:
    if result == cassette.UNKNOWN:
        return [
            gettext(
                "A barely worn chain suggests a drivetrain that was cared for, but it may as well"
                " be a new chain on worn teeth: only its history or a skip test can say."
            )
        ]
    if result == "watch":
        return [gettext("Worn sprockets are likely, not certain: try a new chain under load.")]
    return []


def _say_of_projection(given: Given, result: projection.Projection) -> list[str]:
    told = [gettext("Wear is no straight line: wet roads and a dry chain hasten it.")]
    if projection.is_far_beyond(result, given["x"]):
        told.insert(
            0,
            gettext(
                "The limit lies more than half as far again as was observed: take this as a guess."
            ),
        )
    if result.crossing <= max(given["x"]):
        told.insert(0, gettext("By this line the limit is reached already."))
    return told


def _say_of_gauge(_given: Given, _result: Any) -> list[str]:
    return [gettext("Take this off the gauge's reading, or measure pin to pin with a ruler.")]


TOPIC: Final = Topic(
    key="chain",
    title=_("Chain"),
    calculators=(
        Calculator(
            name="chain-elongation",
            title=_("Elongation from a length"),
            fields=(
                Field(
                    key="length_mm",
                    label=_("Length, pin centre to pin centre"),
                    read=number(above=0),
                    unit="mm",
                    hint=_("With the chain lightly pulled tight."),
                    example="306.4",
                ),
                PITCHES,
            ),
            work=chain.elongation_percent,
            answer=Answer(unit="%", digits=2),
            formula="e = (L / (n · 12.7 mm) − 1) · 100",
            limits=_("Half-inch chains; from −1 to 5 %, beyond that the links were miscounted."),
            doubt=_(
                "A ruler read to a quarter of a millimetre leaves 0.12 points over 24 half links."
            ),
            source=_("pitch of half an inch, ISO 9633 and ISO 606"),
            source_kind="standard",
        ),
        Calculator(
            name="chain-elongation-by-ruler",
            title=_("Elongation from a ruler in inches"),
            fields=(
                Field(
                    key="excess_in",
                    label=_("Past the mark by"),
                    read=number(least=-1, most=2),
                    unit="in",
                    example="1/16",
                ),
                Field(
                    key="nominal_in",
                    label=_("The mark"),
                    read=number(above=0),
                    unit="in",
                    default=12.0,
                    example="12",
                ),
            ),
            work=chain.elongation_by_ruler,
            answer=Answer(unit="%", digits=2),
            formula=_("e = excess / mark · 100"),
            limits=_("Twelve whole links lie on twelve inches when new."),
            doubt=_("Less than 1/16 inch is hard to read: measure over more links."),
            source=_("Sheldon Brown, Chain Maintenance, as quoted on public pages"),
            source_kind="handbook",
        ),
        Calculator(
            name="chain-elongation-uncertainty",
            title=_("How sure a chain measurement is"),
            fields=(
                Field(
                    key="reading_std_mm",
                    label=_("Each end is read to within"),
                    read=number(least=0),
                    unit="mm",
                    hint=_("As a standard uncertainty: about half of the smallest mark."),
                    example="0.25",
                ),
                PITCHES,
                Field(
                    key="ends",
                    label=_("Ends that are read"),
                    read=whole(least=1, most=20),
                    default=2,
                    example="2",
                ),
            ),
            work=chain.elongation_uncertainty,
            answer=Answer(unit=_("points"), digits=3),
            formula="u(e) = 100 · √ends · u / (n · 12.7 mm)",
            limits=_("Readings of the ends that do not depend on each other."),
            doubt=_(
                "One standard uncertainty: the truth is outside of twice as much in one of twenty."
            ),
            source=_("sum of squares, GUM (JCGM 100)"),
            source_kind="standard",
        ),
        Calculator(
            name="chain-gauge-bias",
            title=_("What a drop-in gauge adds"),
            fields=(
                Field(
                    key="clearance_mm",
                    label=_("Play of the rollers that it takes up"),
                    read=number(least=0, most=3),
                    unit="mm",
                    hint=_("0.2 to 0.6 mm at both ends together; from memory."),
                    example="0.5",
                ),
                Field(
                    key="pitches",
                    label=_("Half links that it spans"),
                    read=number(above=0, most=400),
                    example="10",
                ),
            ),
            work=chain.gauge_bias,
            answer=Answer(unit=_("points"), digits=2),
            formula="b = 100 · c / (n · 12.7 mm)",
            limits=_(
                "Gauges that spread two rollers apart; one that pushes both the same way adds"
                " nothing."
            ),
            doubt=_("Such a gauge can condemn a chain that is half worn."),
            source=GEOMETRY[0],
            source_kind=GEOMETRY[1],
            remarks=_say_of_gauge,
        ),
        Calculator(
            name="chain-verdict",
            title=_("Verdict on a chain"),
            fields=(ELONGATION, SPROCKETS, uncertainty_field("uncertainty_pct", "%")),
            work=judged(chain.judge_chain),
            answer=VERDICT,
            formula=_(
                "Elongation against the limit for this number of sprockets; “measure again” where"
                " twice the uncertainty straddles it."
            ),
            limits=_(
                "Derailleur and hub gear chains of half an inch. Many shops hold e-bikes to 0.5 %"
                " whatever the number."
            ),
            doubt=_("A good chain says nothing about the sprockets under it."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            cautions=(MARK_FIRST,),
            remarks=lambda given, _result: [chain.judge_chain(**given).why],
            rows=_chain_limit,
        ),
        Calculator(
            name="wear-projection",
            title=_("When a chain will be worn"),
            fields=(
                Field(
                    key="x",
                    label=_("Kilometres (or days) at each reading"),
                    read=several(number(least=0)),
                    hint=_("Since this chain was fitted, with spaces between."),
                    example="0 500 1000 1500 2000",
                ),
                Field(
                    key="elongation_pct",
                    label=_("Elongation at each of them"),
                    read=several(number(least=-1, most=5)),
                    unit="%",
                    hint=_("All with the same instrument."),
                    example="0.02 0.10 0.19 0.27 0.36",
                ),
                Field(
                    key="threshold_pct",
                    label=_("Limit"),
                    read=number(above=0, most=5),
                    unit="%",
                    example="0.5",
                ),
                Field(
                    key="confidence",
                    label=_("Confidence of the interval"),
                    read=number(least=0.5, most=0.999),
                    default=0.95,
                    example="0.95",
                ),
            ),
            work=lambda **given: projection.project_wear(**given)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="crossing", label=_("Limit reached at"), digits=0),
                    Part(key="low", label=_("at the earliest"), digits=0),
                    Part(key="high", label=_("at the latest"), digits=0),
                    Part(
                        key="slope", label=_("Wear for each kilometre (or day)"), unit="%", digits=5
                    ),
                )
            ),
            formula=_(
                "Least squares line; crossing = (limit − intercept) / slope; interval by Fieller's"
                " theorem."
            ),
            limits=_(
                "At least three readings that rise by more than they scatter; otherwise there is"
                " no answer."
            ),
            doubt=_(
                "Wear is no straight line; beyond one and a half times the observed way it is a"
                " guess."
            ),
            source=_("least squares and Fieller's theorem, compared with scipy"),
            source_kind="library",
            remarks=lambda given, result: _say_of_projection(
                given, projection.Projection(**result)
            ),
        ),
        Calculator(
            name="cassette-verdict-from-chain",
            title=_("What the chain says about the cassette"),
            fields=(
                ELONGATION,
                Field(
                    key="chains_on_this_cassette",
                    label=_("Chains on this cassette so far"),
                    read=_read_chains,
                    hint=_("This one counted; write unknown where nobody knows."),
                    default=None,
                    example="unknown",
                ),
                Field(
                    key="skip_test",
                    label=_("A new chain under load"),
                    read=_read_skip_test,
                    default=cassette.NOT_DONE,
                    choices=(
                        (cassette.NOT_DONE, _("not tried")),
                        (cassette.HOLDS, _("holds")),
                        (cassette.SKIPS, _("skips")),
                    ),
                    example=cassette.NOT_DONE,
                ),
                Field(
                    key="sprockets",
                    label=SPROCKETS.label,
                    read=SPROCKETS.read,
                    default=11,
                    example="11",
                ),
            ),
            work=cassette.judge_cassette,
            answer=Answer(
                words={
                    "unknown": _("unknown"),
                    "sound": _("sound"),
                    "watch": _("watch: likely worn"),
                    "renew": _("renew"),
                }
            ),
            formula=_(
                "A skip test decides; without one a chain past its limit makes worn sprockets"
                " likely, and a chain that is the cassette's first speaks for it."
            ),
            limits=_("The teeth that are used most wear first: look at each sprocket."),
            doubt=_("A barely worn chain alone says nothing: it may be new on worn teeth."),
            source=PRACTICE[0],
            source_kind=PRACTICE[1],
            remarks=_say_of_cassette,
            rows=_chain_limit,
        ),
    ),
)
