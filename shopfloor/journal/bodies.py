"""
Which bodies can be read, and what is left of one after a redaction?

A body of the wrong shape is not an error: the entry is kept and takes no part in the job's state.
See also frontend/src/journal/bodies.ts.
"""

from collections.abc import Mapping
from typing import Any

from shopfloor.journal.entry import find_uuid
from shopfloor.journal.shapes import SHAPES, fits
from shopfloor.journal.values import same_value

# How and with what a value was taken; two mechanics who agree on the value agree. Of two ends of
# the same work the earlier counts, so they are none either.
_NOT_THE_VALUE = frozenset({"instrument", "u", "seen", "redacted", "until"})


def is_readable(kind: str, body: Mapping[str, Any]) -> bool:
    """Whether the kind is known here and every field it needs has the right type."""
    shape = SHAPES.get(kind)
    if shape is None:
        return False
    fields = set(shape.must) | set(shape.may)
    if is_redacted(body):
        fields &= set(shape.kept)
    return all(fits(shape, name, body) for name in fields) and not _lacks_value(kind, body)


def is_redacted(body: Mapping[str, Any]) -> bool:
    return body.get("redacted") is True


def redact(kind: str, body: Mapping[str, Any]) -> dict[str, Any]:
    """
    The body without what a person wrote or photographed.

    Redacting twice changes nothing more, so a phone that still has the text and one that was only
    ever given the rest come to the same state. An unknown kind keeps nothing.
    """
    shape = SHAPES.get(kind)
    kept = {name: body[name] for name in (shape.kept if shape else ()) if name in body}
    return {**kept, "redacted": True}


def agree(left: Mapping[str, Any], right: Mapping[str, Any]) -> bool:
    """Whether two bodies say the same, whatever instrument said it."""
    return same_value(_said(left), _said(right))


def uuid_in(body: Mapping[str, Any], field: str) -> str:
    """The id in a field that is_readable has checked, in lower case."""
    return find_uuid(body[field]) or ""


def _said(body: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: value
        for name, value in body.items()
        if value is not None and name not in _NOT_THE_VALUE
    }


def _lacks_value(kind: str, body: Mapping[str, Any]) -> bool:
    """A reading without a number says something only when it says: loose."""
    return kind == "reading" and body["value"] is None and body.get("loose") is not True
