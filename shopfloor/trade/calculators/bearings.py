"""Calculators of bearings, bottom brackets and balls."""

from typing import Any, Final

from shopfloor.trade import bearings
from shopfloor.trade.calculators.declare import Answer, Calculator, Field, Given, Part, Topic
from shopfloor.trade.calculators.reading import number, one_of, text, yes_no
from shopfloor.trade.calculators.sources import row_sources
from shopfloor.trade.tables import get_row, table
from shopfloor.words import gettext_noop as _

PRESS: Final = _(
    "Press only on the ring that sits tight; a bearing pressed on the other is spoilt."
)
_PLACES: Final = tuple((row["key"], row["key"]) for row in table("ball_counts"))


def _read_hand(raw: Any) -> str:
    word = text(raw).lower().removesuffix("-hand").removesuffix(" hand")
    hand: str = one_of("left", "right")(word)
    return hand


def _say_of_size(given: Given, _result: Any) -> list[str]:
    note = bearings.bearing_row(given["code"]).get("note")
    return [note] if note else []


def _say_of_candidates(_given: Given, result: Any) -> list[str]:
    step = bearings.next_measurement(result)
    return [step] if step else []


def _say_shell(key: str) -> str:
    row = get_row("bottom_brackets", key)
    return f"{row['name']}, {row.get('thread') or row.get('bearing') or ''}".rstrip(", ")


TOPIC: Final = Topic(
    key="bearings",
    title=_("Bearings"),
    calculators=(
        Calculator(
            name="bearing-size",
            title=_("Size of a cartridge bearing"),
            fields=(
                Field(
                    key="code",
                    label=_("Number on the seal"),
                    read=text,
                    hint=_("6902, 608, 61902-2RS; letters for seals are left out."),
                    example="6902",
                ),
            ),
            work=lambda *, code: bearings.bearing_size(code)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="bore_mm", label=_("Bore"), unit="mm", digits=1),
                    Part(key="outside_mm", label=_("Outside"), unit="mm", digits=1),
                    Part(key="width_mm", label=_("Width"), unit="mm", digits=1),
                )
            ),
            formula=_("looked up"),
            limits=_("29 sizes of ISO 15 and 10 that only bicycles have."),
            doubt=_(
                "Angular contact, double row and full complement are not told by the size: read"
                " the whole mark."
            ),
            source=_("ISO 15 boundary dimensions, compared with two public lists"),
            source_kind="dataset",
            cautions=(PRESS,),
            remarks=_say_of_size,
            rows=lambda given, _result: row_sources([bearings.bearing_row(given["code"])]),
        ),
        Calculator(
            name="bottom-bracket-candidates",
            title=_("Which bottom bracket?"),
            fields=(
                Field(
                    key="width_mm",
                    label=_("Width of the shell"),
                    read=number(above=0, most=200),
                    unit="mm",
                    hint=_("Across the bare faces, without paint."),
                    example="68",
                ),
                Field(
                    key="bore_mm",
                    label=_("Bore"),
                    read=number(above=0, most=100),
                    unit="mm",
                    hint=_("At three angles and both ends; over the crests of a thread."),
                    example="33.7",
                ),
                Field(
                    key="threaded",
                    label=_("Threaded"),
                    read=yes_no,
                    choices=(("yes", _("yes")), ("no", _("no"))),
                    example="yes",
                ),
                Field(
                    key="drive_side_thread",
                    label=_("Thread of the drive side"),
                    read=_read_hand,
                    default=None,
                    choices=(
                        ("", _("not known yet")),
                        ("left", _("left hand")),
                        ("right", _("right hand")),
                    ),
                    example="",
                ),
                Field(
                    key="pitch_mm",
                    label=_("Pitch of the thread"),
                    read=number(above=0, most=5),
                    unit="mm",
                    hint=_("24 to the inch is 1.058, 26 is 0.977; left empty when not measured."),
                    default=None,
                    example="",
                ),
            ),
            work=bearings.bottom_bracket_candidates,
            answer=Answer(item=_say_shell),
            formula=_("width ± 0.5 mm, smooth bore ± 0.15, threaded bore ± 0.2"),
            limits=_(
                "18 shells are listed. A threaded bore of 33.6 to 33.9 mm alone does not decide."
            ),
            doubt=_(
                "The allowances are from memory; a smooth bore more than 0.05 mm out of round is"
                " no seat."
            ),
            source=_("table of bottom brackets, each row with its source"),
            source_kind="handbook",
            cautions=(PRESS, _("Never force a cup: a crossed thread ruins the frame.")),
            remarks=_say_of_candidates,
            rows=lambda _given, result: row_sources(
                get_row("bottom_brackets", key) for key in result
            ),
        ),
        Calculator(
            name="ball-count",
            title=_("How many balls?"),
            fields=(
                Field(
                    key="place",
                    label=_("Place"),
                    read=text,
                    choices=_PLACES,
                    example="front hub, each side",
                ),
            ),
            work=lambda *, place: bearings.ball_count(place)._asdict(),
            answer=Answer(
                parts=(
                    Part(key="n", label=_("Balls"), digits=0),
                    Part(key="size", label=_("Diameter"), unit="in"),
                )
            ),
            formula=_("looked up; a full ring less about half a ball"),
            limits=_("What was usual: count what came out on both sides."),
            doubt=_("Headsets, pedals and freewheels vary."),
            source=_("table of balls, each row with its source"),
            source_kind="handbook",
            cautions=(_("Replace all balls of a race together, never one alone."),),
            rows=lambda given, _result: row_sources([bearings.ball_row(given["place"])]),
        ),
    ),
)
