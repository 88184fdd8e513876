"""
Which bearing, bottom bracket or balls belong here, and what to measure next where two would fit.

What came out of the bike comes first: read the mark, count the balls, measure twice.
"""

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

from shopfloor.trade.tables import Row, get_row, table
from shopfloor.words import gettext as _

# How far a calliper over paint, or inside a bore, may be off; from memory of shop use.
WIDTH_OFF_MM: Final = 0.5
SMOOTH_BORE_OFF_MM: Final = 0.15
THREADED_BORE_OFF_MM: Final = 0.2
# Thread gauges tell 1.058, 1.000 and 0.977 mm apart.
PITCH_OFF_MM: Final = 0.011


class UnknownBearing(ValueError):
    """No such bearing, place or shell is known here."""


class Size(NamedTuple):
    """Boundary dimensions in mm."""

    bore_mm: float
    outside_mm: float
    width_mm: float


class Balls(NamedTuple):
    """How many balls, and their diameter in inches."""

    n: int
    size: str


def bearing_row(code: str) -> Row:
    """
    The row of a cartridge bearing by the number on its seal.

    code  as in 6902, 6902-2RS or 61902 2RS1; letters for seals and play are left out

    Raises UnknownBearing. Source: ISO 15; sizes of bicycle makers from memory.
    """
    rows = {row["key"]: row for row in table("bearings")}
    for key in _spellings(code):
        if key in rows:
            return rows[key]
    raise UnknownBearing(
        _(
            "“{code}” is not listed here: measure bore, outside and width of the old bearing."
        ).format(code=code)
    )


def bearing_size(code: str) -> Size:
    """Bore, outside and width of a cartridge bearing. Raises UnknownBearing."""
    row = bearing_row(code)
    return Size(row["bore_mm"], row["outside_mm"], row["width_mm"])


def _spellings(code: str) -> list[str]:
    plain = code.strip().upper()
    found = re.match(r"(MR)?\s*(\d{3,5}N?)", plain)
    number = (found[1] or "") + found[2] if found else plain
    # 61902 is the long form of 6902: the width series is left out on most seals.
    short = f"6{number[2:]}" if re.fullmatch(r"61[89]0\d", number) else number
    return [plain, number, short]


def bottom_bracket_candidates(
    *,
    width_mm: float,
    bore_mm: float,
    threaded: bool,
    drive_side_thread: str | None = None,
    pitch_mm: float | None = None,
) -> list[str]:
    """
    The keys of tables/bottom_brackets.json that these measures fit, in the table's order.

    width_mm           of the shell, across its faces, without paint
    bore_mm            inside, over the crests of a thread
    drive_side_thread  left or right hand; None when not looked at yet
    pitch_mm           of the thread by a gauge; None when not measured yet
    """
    rows = [row for row in table("bottom_brackets") if row["threaded"] == threaded]
    return [
        row["key"]
        for row in rows
        if any(abs(width_mm - shell) <= WIDTH_OFF_MM for shell in row["shell_mm"])
        and _bore_fits(row, bore_mm)
        and (not threaded or drive_side_thread in (None, row["drive_side"]))
        and (not threaded or pitch_mm is None or abs(pitch_mm - row["pitch_mm"]) <= PITCH_OFF_MM)
    ]


def _bore_fits(row: Row, bore_mm: float) -> bool:
    # Half a hundredth on top, so that what was rounded to hundredths is not lost at an edge.
    if row["threaded"]:
        low, high = row["inside_mm"]
        off = THREADED_BORE_OFF_MM + 0.005
        return bool(low - off <= bore_mm <= high + off)
    return any(abs(bore_mm - bore) <= SMOOTH_BORE_OFF_MM + 0.005 for bore in row["bores_mm"])


def next_measurement(candidates: Sequence[str]) -> str:
    """What to measure or look at so that fewer candidates stay; empty with exactly one."""
    rows = [get_row("bottom_brackets", key) for key in candidates]
    if not rows:
        return _(
            "None fits: measure the width across the bare faces and the bore at three angles and"
            " both ends, then look for a thread again."
        )
    if len(rows) == 1:
        return ""
    if len({row.get("drive_side") for row in rows}) > 1:
        return _("Look next at the drive side: does its cup come out clockwise (left-hand thread)?")
    if len({row.get("pitch_mm") for row in rows}) > 1:
        return _("Measure next the pitch with a thread gauge: 24 or 26 to the inch, or 1 mm.")
    if all(row["threaded"] for row in rows):
        return _("These two differ by a tenth of a millimetre in diameter: try a cup by hand.")
    return _("Measure next the bore at three angles and both ends, to a twentieth of a millimetre.")


def ball_count(place: str) -> Balls:
    """
    How many balls of which size were usual at a place.

    Raises UnknownBearing where the place is not known or its balls vary: count what came out.
    """
    row = ball_row(place)
    if row["n"] is None:
        raise UnknownBearing(
            _("{place}: balls vary ({usual}, {size} in). Count and measure what came out.").format(
                place=row["key"], usual=row["usual"], size=row["size"]
            )
        )
    return Balls(row["n"], row["size"])


def ball_row(place: str) -> Row:
    """The row of a place; “front hub” is enough for “front hub, each side”."""
    wanted = place.strip().lower()
    for row in table("ball_counts"):
        if wanted in (row["key"], row["key"].split(",")[0]):
            return row
    known = "; ".join(row["key"] for row in table("ball_counts"))
    raise UnknownBearing(
        _("“{place}” is not listed: use one of {known}.").format(place=place, known=known)
    )
