"""
Where can a job stand, how does it get from there to where, and who owns the next move?

The place itself is folded from the entries (fold.py); this table says which moves the workshop's
own pages can cause, and DEVELOPERS.md shows it as a drawing.
"""

from typing import NamedTuple

from shopfloor.journal.state import PlaceName

WORKSHOP, CUSTOMER, SUPPLIER, NOBODY = "workshop", "customer", "supplier", "nobody"


class Move(NamedTuple):
    """A job goes `start` to `end` when an entry of one of the kinds arrives."""

    start: PlaceName
    end: PlaceName
    kinds: str


OWNERS: dict[PlaceName, str] = {
    "booked": WORKSHOP,
    "on the stand": WORKSHOP,
    "asking": CUSTOMER,
    "parts": SUPPLIER,
    "ready": CUSTOMER,
    "collected": NOBODY,
    "cancelled": NOBODY,
}

MOVES: tuple[Move, ...] = (
    Move("booked", "on the stand", "work at the bench"),
    Move("booked", "ready", "released (not to ride)"),
    Move("booked", "cancelled", "cancelled"),
    Move("on the stand", "booked", "void"),
    Move("on the stand", "asking", "asked"),
    Move("on the stand", "parts", "answer, route-added"),
    Move("on the stand", "ready", "released"),
    Move("on the stand", "cancelled", "cancelled"),
    Move("asking", "on the stand", "answer, withdrawn"),
    Move("asking", "parts", "answer, withdrawn"),
    Move("asking", "cancelled", "cancelled"),
    Move("parts", "on the stand", "parts-in, void"),
    Move("parts", "asking", "asked"),
    Move("parts", "ready", "released (not to ride)"),
    Move("parts", "cancelled", "cancelled"),
    Move("ready", "collected", "collected"),
    Move("ready", "on the stand", "withdrawn"),
    Move("ready", "asking", "withdrawn"),
    Move("ready", "parts", "withdrawn"),
    Move("ready", "cancelled", "cancelled"),
)


def moves_from(place: PlaceName) -> list[PlaceName]:
    """Where a job can go from a place."""
    return [move.end for move in MOVES if move.start == place]


def diagram() -> str:
    """The table as a Mermaid state diagram."""
    names = {place: place.replace(" ", "_") for place in OWNERS}
    lines = ["stateDiagram-v2", "    [*] --> booked: opened"]
    lines += [
        f"    {names[place]}: {place} (next move: {owner})" for place, owner in OWNERS.items()
    ]
    lines += [f"    {names[move.start]} --> {names[move.end]}: {move.kinds}" for move in MOVES]
    lines += [f"    {names[place]} --> [*]" for place in OWNERS if not moves_from(place)]
    return "\n".join(lines)
