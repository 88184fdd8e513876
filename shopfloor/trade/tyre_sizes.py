"""
Which rim a tyre belongs on, from the mark on its side or from the name people give it.

The bead seat diameter decides; a name in inches never does. See also frontend/src/trade/tyres.ts.
"""

import math
import re
from collections.abc import Callable
from typing import Final, NamedTuple

from shopfloor.trade.tables import Row, table
from shopfloor.trade.units import KILOPASCALS_PER
from shopfloor.words import gettext as _

_MARK: Final = re.compile(r"(?<![\d.,/])(\d{2,3}(?:[.,]\d)?)\s*[-–]\s*(\d{3})(?!\d)")
_PRESSURE: Final = re.compile(r"(\d+(?:[.,]\d+)?)\s*(kpa|bar|psi)\b", re.IGNORECASE)
_UNITS: Final = {"kpa": "kPa", "bar": "bar", "psi": "psi"}
_WIDEST_MM: Final = 130
_BEAD_SEATS_MM: Final = (100, 800)


class UnknownSize(ValueError):
    """A tyre cannot be told from this mark or name."""


class TyreSize(NamedTuple):
    """Inflated width and bead seat diameter in mm, and the pressure marked beside them in kPa."""

    width_mm: float
    bead_seat_mm: int
    pressure_kpa: float | None = None


def read_mark(marking: str) -> TyreSize:
    """
    The two numbers of an ISO mark such as 37-622; the highest pressure beside it, if any.

    Raises UnknownSize for a name in inches. Source: ISO 5775-1.
    """
    found = _MARK.search(marking)
    if found is None:
        raise UnknownSize(
            _("“{mark}” holds no ISO mark: read the two numbers as in 37-622 on the side.").format(
                mark=marking
            )
        )
    width, bead = float(found[1].replace(",", ".")), int(found[2])
    low, high = _BEAD_SEATS_MM
    if not (width <= _WIDEST_MM and low <= bead <= high):
        raise UnknownSize(
            _(
                "{mark} cannot be a tyre: width comes first, then the bead seat, as in 37-622."
            ).format(mark=found[0])
        )
    pressures = [
        float(value.replace(",", ".")) * KILOPASCALS_PER[_UNITS[unit.lower()]]
        for value, unit in _PRESSURE.findall(marking)
    ]
    return TyreSize(_plain(width), bead, _plain(max(pressures)) if pressures else None)


def overall_diameter_mm(marking: str) -> float:
    """
    Outside diameter without load, the tyre taken as high as it is wide. Raises UnknownSize.

    Source: ISO 5775 as explained in a public encyclopedia.
    """
    size = read_mark(marking)
    return size.bead_seat_mm + 2 * size.width_mm


def circumference_mm(marking: str) -> float:
    """Circumference without load; rolled out under a rider it is 1 to 2 % less."""
    return math.pi * overall_diameter_mm(marking)


def fits_rim(marking: str, *, rim_bead_seat_mm: float) -> bool:
    """Whether the bead seats are equal; a millimetre or two is not near enough. ISO 5775."""
    return read_mark(marking).bead_seat_mm == rim_bead_seat_mm


def bead_seat_candidates(name: str) -> list[int]:
    """
    The bead seats in mm that a name may mean, smallest first.

    name  as people say it: 700x28C, 650B, 26x1.75, 26x1 3/8, 20 inch; or an ISO mark

    One that stands in several countries' systems is listed once for each.
    Raises UnknownSize when it is in no system. Source: tables/bead_seats.json.
    """
    if _MARK.search(name):
        return [read_mark(name).bead_seat_mm]
    plain = plain_name(name)
    for find in (_ambiguous, _exact, _french, _decimal, _qualified, _bare):
        found = find(plain)
        if found:
            return sorted(found)
    raise UnknownSize(
        _(
            "“{name}” is no size known here: read the ISO mark as in 37-622, or measure the rim"
            " where the bead sits."
        ).format(name=name)
    )


def also_called(name: str) -> list[tuple[int, str]]:
    """Other bead seats that went by this name somewhere, with where."""
    plain = plain_name(name)
    return [
        (row["bead_seat_mm"], other["which"])
        for row in table("bead_seats")
        for other in row["also"]
        if other["name"] == plain
    ]


def plain_name(name: str) -> str:
    """A name as the tables write it: small letters, one x, fractions as 1 3/8."""
    text = name.strip().lower()
    for sign, written in (("½", " 1/2"), ("¼", " 1/4"), ("¾", " 3/4"), ("⅛", " 1/8")):
        text = text.replace(sign, written)
    for sign, written in (("⅜", " 3/8"), ("⅝", " 5/8"), ("×", "x"), ("*", "x"), (",", ".")):
        text = text.replace(sign, written)
    text = re.sub(r"(?:\"|″|''|\binch(?:es)?\b|\bin\b|\bzoll\b)", " ", text)
    text = re.sub(r"(\d)-(\d)", r"\1 \2", text)
    return re.sub(r"\s*x\s*", "x", re.sub(r"\s+", " ", text)).strip()


def _ambiguous(plain: str) -> list[int]:
    rows = (row for row in table("ambiguous_sizes") if row["key"] == plain)
    return [seat for row in rows for seat in row["bead_seats_mm"]]


def _exact(plain: str) -> list[int]:
    return _seats(lambda row: plain in map(str.lower, row["names"]))


def _french(plain: str) -> list[int]:
    """700x28c and 700c x 28 are 700c whatever the width."""
    found = re.fullmatch(r"(\d{3})(?:x\d+(?:\.\d+)?)? ?([abcd])(?:x\d+(?:\.\d+)?)?", plain)
    if found:
        return _exact(found[1] + found[2])
    without = re.fullmatch(r"(\d{3})x\d+(?:\.\d+)?", plain)
    if without is None:
        return []
    # Today 700 alone means 700C; 650 means B and C alike.
    return _exact("700c") if without[1] == "700" else _ambiguous(without[1])


def _qualified(plain: str) -> list[int]:
    return _seats(lambda row: any(other["name"] == plain for other in row["also"]))


def _decimal(plain: str) -> list[int]:
    found = re.fullmatch(r"(\d+(?:\.\d+)?)x\d+(?:\.\d+)?", plain)
    return _seats(lambda row: found is not None and found[1] in row["decimal_of"])


def _bare(plain: str) -> list[int]:
    """Only a diameter: every size that begins with it."""
    if not re.fullmatch(r"\d+(?:\.\d+)?", plain):
        return []
    return _seats(
        lambda row: (
            plain in row["decimal_of"]
            or any(name.split("x")[0] == plain for name in row["names"])
            or any(other["name"].split("x")[0] == plain for other in row["also"])
        )
    )


def _seats(wanted: Callable[[Row], bool]) -> list[int]:
    return [row["bead_seat_mm"] for row in table("bead_seats") if wanted(row)]


def rows_of(seats: list[int]) -> list[Row]:
    """The rows of these bead seats, for their sources."""
    return [row for row in table("bead_seats") if row["bead_seat_mm"] in seats]


def _plain(value: float) -> float:
    return int(value) if value == int(value) else value
