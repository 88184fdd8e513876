"""
Is this text an instant with its zone, and when was it?

Reads the clock of nobody: texts in, milliseconds out. See also frontend/src/journal/instants.ts.
"""

import re
from datetime import UTC, datetime, timedelta

_INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T(?!24)[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,9})?"
    r"(?:Z|[+-][0-9]{2}:[0-5][0-9])"
)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
# A phone whose battery died starts in 1970; later than this, adding a zone leaves the calendar.
FIRST_YEAR, LAST_YEAR = "1970", "9998"


def instant_ms(text: object) -> int | None:
    """
    Milliseconds from 1970-01-01 UTC to the instant, cut (not rounded) to the millisecond.

    Returns None for what is not an instant: no zone, no such day, a leap second, another year.
    Source: the internet date and time format, RFC 3339 section 5.6, with `T` and `Z` in capitals.
    """
    instant = _read(text) if isinstance(text, str) else None
    return None if instant is None else (instant - _EPOCH) // timedelta(milliseconds=1)


def is_instant(text: str) -> bool:
    """Whether instant_ms would have an answer."""
    return _read(text) is not None


def _read(text: str) -> datetime | None:
    if not _INSTANT.fullmatch(text) or not FIRST_YEAR <= text[:4] <= LAST_YEAR:
        return None
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None
