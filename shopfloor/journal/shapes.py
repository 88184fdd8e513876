"""
Which fields has the body of each kind, of which type, and which of them survive a redaction?

See also frontend/src/journal/shapes.ts.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeGuard

from shopfloor.journal.entry import find_uuid, is_count
from shopfloor.journal.instants import instant_ms

Check = Callable[[Any], bool]

# Keys are part of a place's name, so a colon in one could make two places look like one.
_KEY = re.compile(r"[!-9;-~]{1,120}")
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Shape:
    """The fields of one kind: those it must have, those it may, those a redaction leaves."""

    must: Mapping[str, Check]
    may: Mapping[str, Check]
    kept: tuple[str, ...]


def fits(shape: Shape, name: str, body: Mapping[str, Any]) -> bool:
    """Whether one field has its type; an optional one may be missing or null."""
    if name in shape.must:
        return name in body and shape.must[name](body[name])
    return body.get(name) is None or shape.may[name](body[name])


def _is_key(value: Any) -> bool:
    return isinstance(value, str) and _KEY.fullmatch(value) is not None


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _is_flag(value: Any) -> bool:
    return isinstance(value, bool)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_number_or_null(value: Any) -> bool:
    return value is None or _is_number(value)


def _is_not_negative(value: Any) -> bool:
    return _is_number(value) and bool(value >= 0)


def _is_whole_not_negative(value: Any) -> bool:
    return is_count(value, least=0)


def _is_uuid(value: Any) -> bool:
    return find_uuid(value) is not None


def _is_instant(value: Any) -> bool:
    return instant_ms(value) is not None


def _is_sha256(value: Any) -> bool:
    return isinstance(value, str) and _SHA256.fullmatch(value) is not None


def _is_object(value: Any) -> bool:
    return isinstance(value, dict)


def _one_of(*words: str) -> Check:
    return lambda value: isinstance(value, str) and value in words


def _list_of(check: Check) -> Check:
    return lambda value: isinstance(value, list) and all(map(check, value))


def _object_of(must: Mapping[str, Check], may: Mapping[str, Check] | None = None) -> Check:
    shape = Shape(must, may or {}, ())
    fields = [*shape.must, *shape.may]
    return lambda value: (
        isinstance(value, dict) and all(fits(shape, name, value) for name in fields)
    )


def _is_rule(value: Any) -> bool:
    sort = value.get("type") if isinstance(value, dict) else None
    return _BAND(value) if sort == "band" else sort in ("minimum", "maximum") and _LIMIT(value)


_PHASE = _one_of("found", "left")
_ASK_PLACE: dict[str, Check] = {"step": _is_key, "item": _is_key, "phase": _PHASE}
# What stood when it was written, where that decides whether it still counts.
_SEEN: dict[str, Check] = {"seen": _list_of(_is_uuid)}
_PART = _object_of(
    {"name": _is_text}, {"price_minor": _is_whole_not_negative, "in_stock": _is_flag}
)
_LINE = _object_of(
    {"finding": _is_uuid, "decision": _one_of("yes", "no", "withdrawn")},
    {"title": _is_text, "gross_minor": _is_number},
)
_LIMIT = _object_of({"renew": _is_number}, {"watch": _is_number})
_BAND = _object_of({"min": _is_number, "max": _is_number})
_MARK = _object_of({}, {"min": _is_not_negative, "max": _is_not_negative})
_VERDICT = _one_of("sound", "watch", "renew", "unsafe", "measure again")
_CHOICE = _object_of({"value": _is_text, "label": _is_text}, {"verdict": _VERDICT})
_ASK = _object_of(
    {
        "item": _is_key,
        "kind": _one_of("reading", "torque", "choice", "photo"),
        "label": _is_text,
        "phases": _list_of(_PHASE),
        "required": _list_of(_PHASE),
    },
    {
        "unit": _is_text,
        "rule": _is_rule,
        "safety": _is_flag,
        "uncertainty": _is_not_negative,
        "also": _object_of({"unit": _is_text, "pitches": is_count}),
        "choices": _list_of(_CHOICE),
        "clears": _object_of({"step": _is_key, "item": _is_key}),
    },
)
_BECAUSE: dict[str, Check] = {"key": _is_key, "because": _is_text}
_REASON = _object_of(_BECAUSE)
_REOPENED = _object_of(_BECAUSE, {"items": _list_of(_is_key)})
_STEP = _object_of(
    {
        "key": _is_key,
        "stage": _is_text,
        "title": _is_text,
        "kind": _one_of("work", "check", "release"),
        "after": _list_of(_REASON),
        "minutes": _object_of({"typical": _is_not_negative}),
        "safety": _is_flag,
        "asks": _list_of(_ASK),
    },
    {"before": _list_of(_is_key), "checks": _list_of(_is_key), "reopens": _list_of(_REOPENED)},
)

_SOURCE = {"source": _is_text, "source_kind": _is_text}
_ASK_AS_SHOWN = _object_of(
    {}, {"scale": _list_of(_is_number), "mark": _is_text, "note": _is_text, **_SOURCE}
)
_STEP_AS_SHOWN = _object_of(
    {
        "how": _is_text,
        "why": _is_text,
        "minutes": _object_of(dict.fromkeys(("low", "typical", "high"), _is_whole_not_negative)),
        "asks": _list_of(_ASK_AS_SHOWN),
    },
    {
        "points": _list_of(_is_text),
        "cautions": _list_of(_is_text),
        "compound": _object_of(dict.fromkeys(("key", "title", "never"), _is_text)),
        "bath": _is_text,
        **_SOURCE,
    },
)


def is_route(value: Any) -> TypeGuard[list[dict[str, Any]]]:
    """Whether these are steps that pages can show and the rules can read, no key twice."""
    if not value or not _list_of(_STEP)(value) or not _list_of(_STEP_AS_SHOWN)(value):
        return False
    return len({step["key"] for step in value}) == len(value)


SHAPES: Mapping[str, Shape] = {
    "tick": Shape(
        {"step": _is_key, "outcome": _one_of("done", "open", "not-needed")},
        {"reason": _is_text, **_SEEN},
        ("step", "outcome", "seen"),
    ),
    "choice": Shape(
        {**_ASK_PLACE, "value": _is_text}, _SEEN, ("step", "item", "phase", "value", "seen")
    ),
    "reading": Shape(
        {**_ASK_PLACE, "value": _is_number_or_null, "unit": _is_text},
        {
            "loose": _is_flag,
            "u": _is_not_negative,
            "instrument": _is_text,
            "mark": _MARK,
            **_SEEN,
        },
        ("step", "item", "phase", "value", "unit", "loose", "u", "instrument", "mark", "seen"),
    ),
    "photo": Shape(
        {"sha256": _is_sha256, "phase": _one_of("before", "after", "detail")},
        {
            "mime": _is_text,
            "width": _is_number,
            "height": _is_number,
            "bytes": _is_number,
            "step": _is_key,
            "item": _is_key,
            "caption": _is_text,
        },
        ("step", "item", "phase"),
    ),
    "note": Shape({"text": _is_text}, {"step": _is_key}, ("step",)),
    "finding": Shape(
        {
            "title": _is_text,
            "reason": _is_text,
            "minutes": _is_whole_not_negative,
            "parts": _list_of(_PART),
            "safety": _is_flag,
        },
        {"step": _is_key, "item": _is_key, "task": _is_text},
        ("step", "item", "task", "minutes", "safety"),
    ),
    "hands-on": Shape({}, {}, ()),
    "hands-off": Shape({"on": _is_uuid}, {"until": _is_instant}, ("on", "until")),
    "check": Shape(
        {"step": _is_key, "outcome": _one_of("agreed", "not-agreed")},
        {"text": _is_text, **_SEEN},
        ("step", "outcome", "seen"),
    ),
    "void": Shape({}, {"reason": _is_text}, ()),
    "opened": Shape(
        {"number": _is_text, "service": _is_text, "traits": _is_object},
        {"says": _is_text, "go_ahead_minor": _is_number, "currency": _is_text},
        ("number", "service", "traits", "go_ahead_minor", "currency", "catalogue"),
    ),
    "asked": Shape(
        {"offer": _is_uuid, "version": is_count, "findings": _list_of(_is_uuid)},
        {"told": _is_flag},
        ("offer", "version", "findings", "told"),
    ),
    "answer": Shape(
        {"offer": _is_uuid, "version": is_count, "lines": _list_of(_LINE)},
        {"channel": _is_text},
        ("offer", "version", "channel", "lines"),
    ),
    "route-added": Shape(
        {"finding": _is_uuid, "title": _is_text, "steps": _list_of(_STEP)},
        {},
        ("finding", "title", "steps"),
    ),
    "parts-in": Shape({"finding": _is_uuid}, {}, ("finding",)),
    "promise": Shape({"ready_at": _is_instant}, {"why": _is_text}, ("ready_at",)),
    "released": Shape({"mode": _one_of("safe", "not-to-ride")}, {"reason": _is_text}, ("mode",)),
    "collected": Shape({}, {}, ()),
    "cancelled": Shape({}, {"reason": _is_text}, ()),
    "redacted": Shape({"entry": _is_uuid}, {}, ("entry",)),
    "withdrawn": Shape({"reason": _is_text}, {}, ()),
}
