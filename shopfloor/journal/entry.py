"""
What is one entry of a job's journal, and is this raw value one?

Only the envelope is judged here. What a body means is asked in bodies.py, and an unknown kind or
version is never refused for being new. See also frontend/src/journal/entry.ts.
"""

import re
from typing import Any, NamedTuple, Never

from shopfloor.journal.instants import is_instant
from shopfloor.journal.values import canonical_json
from shopfloor.words import gettext as _

KNOWN_VERSION = 1
BENCH_KINDS = frozenset(
    {
        "tick",
        "choice",
        "reading",
        "photo",
        "note",
        "finding",
        "hands-on",
        "hands-off",
        "check",
        "void",
    }
)
DESK_KINDS = frozenset(
    {
        "opened",
        "asked",
        "answer",
        "route-added",
        "parts-in",
        "promise",
        "released",
        "collected",
        "cancelled",
        "redacted",
        "withdrawn",
    }
)

MAX_BODY_BYTES = 32_768
# Of each character that Python shows at most four bytes become: such a body is not too large.
SHORT = MAX_BODY_BYTES // 8
MAX_SUPERSEDES = 100
MAX_DEPTH = 20
MAX_COUNT = 2_147_483_647  # what a 32-bit column holds
MAX_NUMBER = 9_007_199_254_740_991  # beyond it the two languages read different numbers

_UUID = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")
_KIND = re.compile(r"[a-z][a-z-]{0,39}")
_TEXT, _PLAIN, _NUMBER = {str}, {str, bool, type(None)}, {int, float}
# A null character has no place in PostgreSQL's jsonb, half a surrogate pair none in UTF-8.
_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")


class MalformedEntry(ValueError):
    """The raw value is no entry; `code` says which part, `message` says it to a person."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code
        self.message = message


class Entry(NamedTuple):
    """One entry; a tuple because thousands are read in one request."""

    v: int
    id: str
    job: str
    kind: str
    device: str
    n: int
    by: str
    at: str
    body: dict[str, Any]
    supersedes: tuple[str, ...] = ()


def parse_entry(raw: object) -> Entry:
    """
    The entry in a value that came from JSON, its ids in lower case.

    Fields that are not known are left out. Raises MalformedEntry.
    """
    if not isinstance(raw, dict):
        _refuse("not-an-object", _("An entry must be a JSON object."))
    # In the order of the fields: by name it would take a tenth longer.
    return Entry(
        _count(raw, "v"),
        _uuid(raw, "id"),
        _uuid(raw, "job"),
        _kind(raw),
        _uuid(raw, "device"),
        _count(raw, "n"),
        _uuid(raw, "by"),
        _at(raw),
        _body(raw),
        _supersedes(raw),
    )


def to_wire(entry: Entry) -> dict[str, Any]:
    """The entry as the JSON object that travels."""
    return {
        "v": entry.v,
        "id": entry.id,
        "job": entry.job,
        "kind": entry.kind,
        "device": entry.device,
        "n": entry.n,
        "by": entry.by,
        "at": entry.at,
        "body": entry.body,
        "supersedes": list(entry.supersedes),
    }


def find_uuid(value: object) -> str | None:
    """The value in lower case if it is written as a UUID."""
    if isinstance(value, str) and _UUID.fullmatch(value):
        return value.lower()
    return None


def is_count(value: object, *, least: int = 1) -> bool:
    """A whole number that is not a boolean; 5.0 counts, as JSON knows one kind of number."""
    if type(value) is int:
        return least <= value <= MAX_COUNT
    return isinstance(value, float) and least <= value <= MAX_COUNT and value == int(value)


def _refuse(code: str, message: str) -> Never:
    raise MalformedEntry(code, message)


def _count(raw: dict[Any, Any], field: str) -> int:
    value = raw.get(field)
    if not is_count(value):
        _refuse(
            f"bad-{field}",
            _("The entry's {field} must be a whole number from 1 up.").format(field=field),
        )
    return int(value)  # type: ignore[arg-type]


def _uuid(raw: dict[Any, Any], field: str) -> str:
    value = raw.get(field)
    if not isinstance(value, str) or not _UUID.fullmatch(value):
        _refuse(f"bad-{field}", _("The entry's {field} must be a UUID.").format(field=field))
    return value.lower()


def _kind(raw: dict[Any, Any]) -> str:
    kind = raw.get("kind")
    if not isinstance(kind, str) or not _KIND.fullmatch(kind):
        _refuse("bad-kind", _("The entry's kind must be 1 to 40 small letters and hyphens."))
    return kind


def _at(raw: dict[Any, Any]) -> str:
    at = raw.get("at")
    if not isinstance(at, str) or not is_instant(at):
        _refuse("bad-at", _("The entry's at must be a date and time with its zone."))
    return at


def _body(raw: dict[Any, Any]) -> dict[str, Any]:
    body = raw.get("body")
    if not isinstance(body, dict):
        _refuse("bad-body", _("The entry's body must be a JSON object."))
    if _is_small(body):
        return body
    check_json(body)
    if len(canonical_json(body).encode()) > MAX_BODY_BYTES:
        _refuse("body-too-large", _("The entry's body is larger than 32 kB; write a shorter text."))
    return body


def _is_small(body: dict[Any, Any]) -> bool:
    """
    Whether a body passes at a glance, as nearly all do: flat, short, and without a backslash where
    Python shows it, for Python escapes what cannot be stored.
    """
    shown = repr(body)
    return (
        len(shown) <= SHORT
        and "\\" not in shown
        and _TEXT.issuperset(map(type, body))
        and all(map(_is_plain, body.values()))
    )


def _is_plain(value: object) -> bool:
    """A text, a flag, nothing, or a number that both languages read alike."""
    sort = type(value)
    return sort in _PLAIN or (sort in _NUMBER and -MAX_NUMBER <= value <= MAX_NUMBER)  # type: ignore[operator]


def check_json(value: object, *, depth: int = 1) -> None:
    """Whether a value out of JSON can be kept and read by everybody. Raises MalformedEntry."""
    if depth > MAX_DEPTH:
        _refuse("body-too-deep", _("The entry's body is nested too deep."))
    if isinstance(value, dict):
        for key, member in value.items():
            _check_text(key)
            check_json(member, depth=depth + 1)
    elif isinstance(value, list):
        for member in value:
            check_json(member, depth=depth + 1)
    elif isinstance(value, int | float):
        _check_number(value)
    elif value is not None:
        _check_text(value)


def _check_text(text: object) -> None:
    if not isinstance(text, str):
        _refuse("bad-body", _("The entry's body holds something that is not JSON."))
    if _UNSTORABLE.search(text):
        _refuse("bad-text", _("The entry holds a character that cannot be stored; write it again."))


def _check_number(number: int | float) -> None:
    if not -MAX_NUMBER <= number <= MAX_NUMBER:
        _refuse("bad-number", _("The entry holds a number that is too large or not a number."))


def _supersedes(raw: dict[Any, Any]) -> tuple[str, ...]:
    listed = raw.get("supersedes")
    if not isinstance(listed, list):
        _refuse("bad-supersedes", _("The entry's supersedes must be a list of ids."))
    if not listed:
        return ()
    if len(listed) > MAX_SUPERSEDES:
        _refuse("too-many-supersedes", _("An entry can replace at most 100 others."))
    ids = tuple(find_uuid(value) for value in listed)
    if None in ids:
        _refuse("bad-supersedes", _("The entry's supersedes must hold UUIDs only."))
    return tuple(found for found in ids if found)
