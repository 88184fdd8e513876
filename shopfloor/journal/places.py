"""
Which place of a job does an entry speak about?

A place is one thing that can have one value: a step's tick, an item's found reading, the promise.
Kinds that only ever add to a list (notes, photos, findings, …) have no place.
See also frontend/src/journal/places.ts.
"""

from collections.abc import Callable, Mapping
from typing import Any

from shopfloor.journal.bodies import is_readable, uuid_in


def place_of(kind: str, body: Mapping[str, Any]) -> str | None:
    """The name of the place, or None: a list, an unknown kind, or a body that cannot be read."""
    name = _NAMES.get(kind)
    return name(body) if name and is_readable(kind, body) else None


def ask_place(step: str, item: str, phase: str) -> str:
    return f"ask:{step}:{item}:{phase}"


def tick_place(step: str) -> str:
    return f"tick:{step}"


def check_place(step: str) -> str:
    return f"check:{step}"


def is_of_step(place: str, step: str) -> bool:
    """Whether the place belongs to this step of the route."""
    sort, _, rest = place.partition(":")
    return (sort in ("tick", "check") and rest == step) or (
        sort == "ask" and rest.startswith(f"{step}:")
    )


def _ask(body: Mapping[str, Any]) -> str:
    return ask_place(body["step"], body["item"], body["phase"])


_NAMES: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "tick": lambda body: tick_place(body["step"]),
    "choice": _ask,
    "reading": _ask,
    "hands-off": lambda body: f"hands:{uuid_in(body, 'on')}",
    "check": lambda body: check_place(body["step"]),
    "opened": lambda body: "opened",
    "asked": lambda body: f"offer:{uuid_in(body, 'offer')}",
    "answer": lambda body: f"answer:{uuid_in(body, 'offer')}:{int(body['version'])}",
    "parts-in": lambda body: f"parts:{uuid_in(body, 'finding')}",
    "promise": lambda body: "promise",
    "released": lambda body: "released",
    "collected": lambda body: "collected",
    "cancelled": lambda body: "cancelled",
}
