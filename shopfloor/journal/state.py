"""
What does a job's state look like once its entries are folded?

The same object in Python, in TypeScript (frontend/src/journal/state.ts) and in the case files.
"""

from typing import Any, Literal, TypedDict

PlaceName = Literal["booked", "on the stand", "asking", "parts", "ready", "collected", "cancelled"]


class Row(TypedDict):
    """A live entry of a list: a note, a photo, a finding."""

    id: str
    by: str
    at: str
    body: dict[str, Any]


class Head(TypedDict):
    """A live entry of a place; two that differ are a conflict."""

    id: str
    by: str
    at: str
    kind: str
    body: dict[str, Any]


class Added(TypedDict):
    """Work that was agreed later, with the steps it brings into the route."""

    id: str
    finding: str
    title: str
    steps: list[dict[str, Any]]


class OpenHands(TypedDict):
    """Somebody has hands on the bike since `at`."""

    id: str
    by: str
    at: str


class JobState(TypedDict):
    place: PlaceName
    opened: dict[str, Any] | None
    places: dict[str, list[Head]]
    conflicts: list[str]
    notes: list[Row]
    photos: list[Row]
    findings: list[Row]
    added: list[Added]
    answers: dict[str, str]
    asking: list[str]
    parts: list[str]
    hands: list[OpenHands]
    ready_at: str | None
    released: dict[str, Any] | None
    collected: bool
    cancelled: bool
