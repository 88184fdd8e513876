"""
Makes values of what a question or a form holds: JSON or text, in the units of the field.

Knows no calculator; every refusal says what to write instead.
"""

import re
from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction
from typing import Any, Final

from shopfloor.words import gettext as _

Reader = Callable[[Any], Any]

# Nothing on a bike or its tools is larger, in any unit.
MOST: Final = 1e9

_FRACTION = re.compile(r"([+-]?)(?:(\d+)[ -])?(\d+)/(\d+)")
_YES_NO = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}


class BadInput(ValueError):
    """
    An input that cannot be worked with; the sentence says what to write.

    field  the key of the field, where it is known
    """

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


def number(
    *, above: float | None = None, least: float | None = None, most: float | None = None
) -> Reader:
    """A number: 5, 5.2, 5,2, 1/16 or 1 3/8. Above, at least, at most, in the field's unit."""

    def read(raw: Any) -> float:
        value = _number(raw)
        if above is not None and value <= above:
            raise BadInput(_("must be more than {limit}.").format(limit=f"{above:g}"))
        if least is not None and value < least:
            raise BadInput(_("must be at least {limit}.").format(limit=f"{least:g}"))
        if most is not None and value > most:
            raise BadInput(_("must be at most {limit}.").format(limit=f"{most:g}"))
        return value

    return read


def whole(*, least: int = 0, most: int | None = None) -> Reader:
    """A count."""

    def read(raw: Any) -> int:
        value = number(least=least, most=most)(raw)
        if value != int(value):
            raise BadInput(_("must be a whole number: count again."))
        return int(value)

    return read


def _number(raw: Any) -> float:
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        value = float(raw)
    elif isinstance(raw, str):
        value = _number_of_text(raw)
    else:
        raise BadInput(_("is of the wrong type: write a number, as in 5 or 5.2."))
    if not abs(value) <= MOST:
        raise BadInput(_("must be a number that can be measured."))
    return value


def _number_of_text(raw: str) -> float:
    text = raw.strip().replace("−", "-")
    fraction = _FRACTION.fullmatch(text)
    try:
        if fraction:
            sign, wholes, above, below = fraction.groups()
            value = int(wholes or 0) + Fraction(int(above), int(below))
            return float(-value if sign == "-" else value)
        return float(text.replace(",", "."))
    except (ValueError, ZeroDivisionError) as error:
        raise BadInput(
            _("“{text}” is not a number: write it as in 5, 5.2 or 1/16.").format(text=raw)
        ) from error


def text(raw: Any) -> str:
    """Words, without the spaces around them. A number is taken as it is written."""
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        return f"{raw:g}"
    if not isinstance(raw, str):
        raise BadInput(_("is of the wrong type: write it as text."))
    return raw.strip()


def one_of(*values: str) -> Reader:
    """One of these words, however it is written."""

    def read(raw: Any) -> str:
        word = text(raw).lower().replace("_", " ")
        for value in values:
            if value.lower().replace("_", " ") == word:
                return value
        raise BadInput(
            _("“{value}” is not known: use one of {values}.").format(
                value=raw, values=", ".join(values)
            )
        )

    return read


def yes_no(raw: Any) -> bool:
    """true or false, or yes or no as text."""
    value = _YES_NO.get(raw.strip().lower()) if isinstance(raw, str) else raw
    if not isinstance(value, bool):
        raise BadInput(_("must be yes or no."))
    return value


def day(raw: Any) -> date:
    """A date."""
    if isinstance(raw, date):
        return raw
    try:
        return date.fromisoformat(text(raw))
    except ValueError as error:
        raise BadInput(_("is not a date: write it as in 2026-03-31.")) from error


def several(read_one: Reader, *, least: int = 1) -> Reader:
    """Several values: a list, or text with spaces, semicolons or lines between them."""

    def read(raw: Any) -> list[Any]:
        items: Sequence[Any]
        if isinstance(raw, str):
            items = [item for item in re.split(r"[;\s]+", raw) if item]
        elif isinstance(raw, list | tuple):
            items = raw
        else:
            raise BadInput(_("is of the wrong type: write the values with spaces between them."))
        if len(items) < least:
            raise BadInput(_("needs at least {least} values.").format(least=least))
        return [read_one(item) for item in items]

    return read


def rows_of(read_row: Reader) -> Reader:
    """Several rows: a list, or text with one row a line."""

    def read(raw: Any) -> list[Any]:
        if isinstance(raw, str):
            raw = [line for line in raw.splitlines() if line.strip()]
        if not isinstance(raw, list | tuple):
            raise BadInput(_("is of the wrong type: write one row a line."))
        return [read_row(row) for row in raw]

    return read


def pair(raw: Any) -> tuple[str, str]:
    """Two names, the earlier first: a list of two, or text such as wash > dry."""
    names = re.split(r"\s*(?:>|→|,)\s*", raw.strip()) if isinstance(raw, str) else raw
    if not isinstance(names, list | tuple) or len(names) != 2 or not all(map(_is_name, names)):
        raise BadInput(_("each row needs two names, the earlier first, as in wash > dry."))
    return (names[0], names[1])


def _is_name(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip())


def minutes_by_name(raw: Any) -> dict[str, float]:
    """Minutes of each name: an object, or text with a name and its minutes a line."""
    if isinstance(raw, str):
        raw = dict(_named_line(line) for line in raw.splitlines() if line.strip())
    if not isinstance(raw, dict):
        raise BadInput(_("is of the wrong type: write a name and its minutes a line."))
    return {str(name): number(least=0)(value) for name, value in raw.items()}


def _named_line(line: str) -> tuple[str, str]:
    name, _space, value = line.strip().rpartition(" ")
    if not name:
        raise BadInput(_("each row needs a name and its minutes, as in wash 12."))
    return (name.strip(" :="), value)


def three_minutes(raw: Any) -> tuple[float, float, float]:
    """Low, typical and high minutes: a list of three, or text such as 6 12 25."""
    low, typical, high = _three(raw)
    if not low <= typical <= high:
        raise BadInput(_("each step needs low, typical and high minutes in this order."))
    return (low, typical, high)


def _three(raw: Any) -> list[float]:
    values: list[float] = several(number(least=0))(raw)
    if len(values) != 3:
        raise BadInput(_("each step needs three values: low, typical and high minutes."))
    return values
