"""
Is this text an instant with its zone, and when was it?

Reads the clock of nobody: texts in, milliseconds out. See also frontend/src/journal/instants.ts.
"""

import re
from datetime import UTC, datetime, timedelta

_INSTANT = re.compile(
    r"([0-9]{4})-([0-9]{2})-([0-9]{2})T([0-9]{2}):([0-9]{2}):([0-9]{2})(?:\.([0-9]{1,9}))?"
    r"(?:Z|([+-])([0-9]{2}):([0-9]{2}))"
)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
# A phone whose battery died starts in 1970; later than this, adding a zone leaves the calendar.
FIRST_YEAR, LAST_YEAR = 1970, 9998


def instant_ms(text: object) -> int | None:
    """
    Milliseconds from 1970-01-01 UTC to the instant, cut (not rounded) to the millisecond.

    Returns None for what is not an instant: no zone, no such day, a leap second, another year.
    Source: the internet date and time format, RFC 3339 section 5.6, with `T` and `Z` in capitals.
    """
    match = _INSTANT.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        return None
    year, month, day, hour, minute, second = (int(part) for part in match.groups()[:6])
    shift = _shift_minutes(match[8], match[9], match[10])
    if shift is None or not FIRST_YEAR <= year <= LAST_YEAR:
        return None
    try:
        local = datetime(year, month, day, hour, minute, second, tzinfo=UTC)
    except ValueError:
        return None
    milliseconds = int((match[7] or "0")[:3].ljust(3, "0"))
    return (local - _EPOCH) // timedelta(milliseconds=1) - shift * 60_000 + milliseconds


def _shift_minutes(sign: str | None, hours: str | None, minutes: str | None) -> int | None:
    if sign is None or hours is None or minutes is None:
        return 0
    if int(hours) > 23 or int(minutes) > 59:
        return None
    shift = int(hours) * 60 + int(minutes)
    return -shift if sign == "-" else shift
