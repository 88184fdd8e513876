"""
Entries at random: good, malformed, of unknown kinds and versions, replacing each other.

Few ids and few names, so that they meet. Seeded, so that a failure can be repeated.
"""

from collections.abc import Sequence
from random import Random
from typing import Any

from shopfloor.journal.entry import BENCH_KINDS, DESK_KINDS

KINDS = [*sorted(BENCH_KINDS), *sorted(DESK_KINDS)]
# A job at the stand: mostly work, and never closed.
WORK_KINDS = [*["reading"] * 8, *["tick"] * 5, "choice", "choice", "check", "photo", "opened"]
WORK_KINDS += ["finding", "asked", "answer", "route-added", "void", "redacted"]
WORK_KINDS += ["hands-on", "hands-off"]
STEPS = [
    "check_in",
    "measure_brakes",
    "measure_bearings",
    "measure_chain",
    "front_cable",
    "bolt_stem",
    "second_look",
    "overview",
    "unknown",
    "__proto__",
]
# Most values should meet the ask they answer, and some should not.
ITEMS = {
    "measure_brakes": "front-pad",
    "measure_bearings": "headset",
    "measure_chain": "chain",
    "bolt_stem": "stem-faceplate",
    "overview": "overview",
}
VALUES: dict[str, tuple[list[float], list[str]]] = {
    "measure_brakes": ([0, 0.3, 0.45, 0.5, 0.55, 0.8, 1, 1.0, 3.8], ["mm"]),
    "0001-pads": ([0.3, 0.45, 0.8, 4.0], ["mm"]),
    "measure_chain": ([0.2, 0.5, 0.74, 0.8, 305.5, 306.8, 307.2, 340], ["%", "mm", "mm"]),
    "bolt_stem": ([3.99, 4, 5, 6, 9, 44, 52.22, 60], ["N·m", "lbf·in", "lbf·ft", "kgf·cm"]),
}
ADDED_STEP = {
    "key": "0001-pads",
    "stage": "brakes",
    "title": "Renew the front pads",
    "kind": "work",
    "after": [{"key": "measure_brakes", "because": "it was found there"}],
    "before": ["bolt_stem"],
    "reopens": [
        {"key": "front_cable", "because": "new pads sit elsewhere"},
        {"key": "bolt_stem", "because": "the lever was moved", "items": ["stem-faceplate"]},
        {"key": "measure_chain", "because": "…"},
    ],
    "minutes": {"low": 10, "typical": 15, "high": 25},
    "safety": True,
    "asks": [
        {
            "item": "front-pad",
            "kind": "reading",
            "label": "New front pad",
            "phases": ["left"],
            "required": ["left"],
            "unit": "mm",
            "rule": {"type": "minimum", "renew": 0.5, "watch": 1},
            "safety": True,
            "clears": {"step": "measure_brakes", "item": "front-pad"},
        }
    ],
}
UNTIL = ["2026-03-02T10:20:00Z", "2026-03-02T10:20:00+01:00", "half past ten"]
WORDS = ["", "smooth", "Lässt sich schwer drehen", "\N{BICYCLE}\ufeff", "a:b", "\u2028"]


def uuid_of(group: str, number: int) -> str:
    return f"019c0000-0000-7000-8000-{group}{number:011x}"


def random_entries(rng: Random) -> list[dict[str, Any]]:
    count = rng.randint(0, 40)
    kinds = rng.choice([KINDS, WORK_KINDS])
    return [_entry(rng, number, count, kinds) for number in range(count)]


def random_raw(rng: Random) -> list[Any]:
    """As random_entries, with some that are no entries at all."""
    return [_spoil_envelope(rng, raw) for raw in random_entries(rng)]


def _spoil_envelope(rng: Random, raw: dict[str, Any]) -> Any:
    chance = rng.random()
    if chance < 0.9:
        return raw
    if chance < 0.92:
        return rng.choice([None, [], "entry", 5, [raw]])
    field = rng.choice(sorted(raw))
    if chance < 0.94:
        return {name: value for name, value in raw.items() if name != field}
    odd = [None, True, 0, 1.0, 1.5, -3, 2**31, 2**53, "", "tick\n", "2026-02-30T10:00:00Z", {}, []]
    return {**raw, field: rng.choice([*odd, {"a": "\ud83d"}, {"a": {"b": "\x00"}}, ["x"]])}


def _entry(rng: Random, number: int, count: int, kinds: Sequence[str]) -> dict[str, Any]:
    shared = rng.random() < 0.06  # another entry's id, another content
    own = rng.randrange(count) if shared else number
    kind = rng.choice(kinds) if rng.random() < 0.94 else rng.choice(["wheel-scan", "constructor"])
    person = rng.randrange(3)
    return {
        "v": 1 if rng.random() < 0.96 else 2,
        "id": uuid_of("e", own) if rng.random() < 0.97 else uuid_of("e", own).upper(),
        "job": uuid_of("a", 1),
        "kind": kind,
        "device": uuid_of("c", person),
        "n": number + 1,
        "by": uuid_of("b", person),
        "at": f"2026-03-{rng.randint(1, 28):02d}T{rng.randint(0, 23):02d}:15:04.123Z",
        "body": _spoil(rng, _body(rng, kind, count)),
        "supersedes": [uuid_of("e", rng.randrange(count + 2)) for _ in range(_few(rng))],
    }


def _few(rng: Random) -> int:
    return rng.choice([0, 0, 0, 0, 0, 0, 0, 1, 1, 2])


def _spoil(rng: Random, body: dict[str, Any]) -> dict[str, Any]:
    """Sometimes a field goes missing, is of another type, or a redaction is claimed."""
    chance = rng.random()
    if chance < 0.03:
        return {**body, "redacted": rng.choice([True, True, 1, "yes"])}
    if chance < 0.88 or not body:
        return body
    field = rng.choice(sorted(body))
    if chance < 0.91:
        return {name: value for name, value in body.items() if name != field}
    return {**body, field: rng.choice([None, True, 0, 1, -0.0, 1e-7, 2.5, "", "x", [], {}, [None]])}


def _body(rng: Random, kind: str, count: int) -> dict[str, Any]:
    make = _BODIES.get(kind)
    body = make(rng, count) if make else {"anything": rng.random()}
    if kind in ("tick", "choice", "reading", "check") and rng.random() < 0.4:
        body["seen"] = [uuid_of("e", number) for number in range(count) if rng.random() < 0.8]
    return body


def _some_id(rng: Random, count: int) -> str:
    return uuid_of("e", rng.randrange(count + 1))


def _ask(rng: Random) -> dict[str, Any]:
    step = rng.choice([*STEPS, "0001-pads"])
    return {
        "step": step,
        "item": ITEMS.get(step, "front-pad") if rng.random() < 0.9 else "bell",
        "phase": rng.choice(["found", "left"]),
    }


def _reading(rng: Random, count: int) -> dict[str, Any]:
    ask = _ask(rng)
    values, units = VALUES.get(ask["step"], ([5, 0.000001, -3], ["mm"]))
    body = {
        **ask,
        "value": rng.choice(values),
        "unit": rng.choice(units if rng.random() < 0.9 else ["stone", "bar"]),
    }
    if rng.random() < 0.15:
        body |= {"value": None, "loose": True}
    if rng.random() < 0.3:
        body["u"] = rng.choice([0, 0.01, 0.05, 0.3])
    if rng.random() < 0.3:
        body["instrument"] = uuid_of("f", rng.randrange(2))
    if rng.random() < 0.2:
        limits = [None, 0, 0.5, 1.2, 5, 5.5, 8]
        body["mark"] = rng.choice(
            [None, {}, {"min": rng.choice(limits), "max": rng.choice(limits)}]
        )
    return body


def _photo(rng: Random, count: int) -> dict[str, Any]:
    return {
        "sha256": f"{rng.randrange(2):064x}",
        "mime": "image/jpeg",
        "width": 1600,
        "height": 1200,
        "bytes": 1000,
        "step": rng.choice([*STEPS, *["overview"] * 9]),
        "item": rng.choice([*ITEMS.values(), "overview", "overview"]),
        "phase": rng.choice(["before", "after", "detail"]),
    }


def _finding(rng: Random, count: int) -> dict[str, Any]:
    part = {"name": "Brake pads", "in_stock": rng.choice([True, False, None])}
    return {
        "title": rng.choice(WORDS),
        "reason": "Worn.",
        "minutes": rng.randint(0, 90),
        "parts": [part] * rng.randint(0, 2),
        "safety": rng.random() < 0.5,
    }


def _asked(rng: Random, count: int) -> dict[str, Any]:
    return {
        "offer": uuid_of("d", rng.randrange(2)),
        "version": rng.randint(1, 3),
        "findings": [_some_id(rng, count) for _ in range(rng.randint(1, 3))],
        "told": rng.random() < 0.3,
    }


def _answer(rng: Random, count: int) -> dict[str, Any]:
    decisions = ["yes", "yes", "no", "withdrawn"]
    return {
        "offer": uuid_of("d", rng.randrange(2)),
        "version": rng.randint(1, 3),
        "channel": rng.choice(["link", "phone"]),
        "lines": [
            {
                "finding": _some_id(rng, count),
                "decision": rng.choice(decisions),
                "gross_minor": 1200,
            }
            for _ in range(rng.randint(0, 3))
        ],
    }


def _added(rng: Random, count: int) -> dict[str, Any]:
    steps = rng.choice([[], [ADDED_STEP], [ADDED_STEP], [{**ADDED_STEP, "asks": [1]}]])
    return {"finding": _some_id(rng, count), "title": rng.choice(WORDS), "steps": steps}


_BODIES: dict[str, Any] = {
    "tick": lambda rng, count: {
        "step": rng.choice(STEPS),
        "outcome": rng.choice(["done", "done", "open", "not-needed"]),
    },
    "choice": lambda rng, count: {
        **_ask(rng),
        **({"step": "measure_bearings", "item": "headset"} if rng.random() < 0.8 else {}),
        "value": rng.choice(["smooth", "smooth", "notchy", "odd"]),
    },
    "reading": _reading,
    "photo": _photo,
    "note": lambda rng, count: {"text": rng.choice(WORDS)},
    "finding": _finding,
    "hands-on": lambda rng, count: {},
    "hands-off": lambda rng, count: {
        "on": _some_id(rng, count),
        **({"until": rng.choice(UNTIL)} if rng.random() < 0.3 else {}),
    },
    "check": lambda rng, count: {
        "step": rng.choice([*STEPS, *["second_look"] * 20]),
        "outcome": rng.choice(["agreed", "agreed", "not-agreed"]),
    },
    "void": lambda rng, count: {"reason": rng.choice(WORDS)},
    "opened": lambda rng, count: {
        "number": "J-0042",
        "service": "standard",
        "traits": {"kind": "city"},
        "says": rng.choice(WORDS),
        "go_ahead_minor": rng.choice([None, 0, 2000]),
        "currency": "GBP",
    },
    "asked": _asked,
    "answer": _answer,
    "route-added": _added,
    "parts-in": lambda rng, count: {"finding": _some_id(rng, count)},
    "promise": lambda rng, count: {
        "ready_at": rng.choice(
            ["2026-03-04T17:00:00Z", "2026-03-04T17:30:00+01:00", "2026-03-04T16:30:00.000Z"]
        ),
        "why": rng.choice(WORDS),
    },
    "released": lambda rng, count: {"mode": rng.choice(["safe", "not-to-ride"])},
    "collected": lambda rng, count: {},
    "cancelled": lambda rng, count: {"reason": rng.choice(WORDS)},
    "redacted": lambda rng, count: {"entry": _some_id(rng, count)},
}
