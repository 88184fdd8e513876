"""
Which steps does work that was agreed later open again, and which entries come after that work?

A set of entries has no order, so an entry on such a step keeps as `seen` what stood when it was
written. See also frontend/src/journal/again.ts: fixtures/cases/journal/progress.json holds both.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from shopfloor.journal.places import is_of_step
from shopfloor.journal.state import Head, JobState


class Reopener(NamedTuple):
    """
    A step of added work that undoes what was done on another step.

    items   what of the other step it undoes; None: all of it
    groups  ids of the entry that added it, then of what stands at each of its places: an entry
            that comes after the work has seen one of each. Equal values at one place agree, so
            one of them is enough.
    """

    step: str
    because: str
    items: frozenset[str] | None
    groups: tuple[frozenset[str], ...]


Reopeners = Mapping[str, Sequence[Reopener]]


def list_reopeners(state: JobState) -> dict[str, list[Reopener]]:
    """By the key of the step that is open again."""
    found: dict[str, list[Reopener]] = {}
    for added in state["added"]:
        for step in added["steps"]:
            named = step.get("reopens") or ()
            groups = (frozenset([added["id"]]), *_standing_on(step["key"], state)) if named else ()
            for one in named:
                items = frozenset(one["items"]) if one.get("items") else None
                reopener = Reopener(step["key"], one["because"], items, groups)
                found.setdefault(one["key"], []).append(reopener)
    return found


def concerning(item: str, reopeners: Iterable[Reopener]) -> list[Reopener]:
    """Those that undo what was left at this item of their step."""
    return [one for one in reopeners if one.items is None or item in one.items]


def undoing_all(reopeners: Iterable[Reopener]) -> list[Reopener]:
    """Those that undo the whole step, whatever it asks."""
    return [one for one in reopeners if one.items is None]


def _standing_on(step: str, state: JobState) -> Iterable[frozenset[str]]:
    return (
        frozenset(head["id"] for head in heads)
        for place, heads in state["places"].items()
        if is_of_step(place, step)
    )


def is_after(head: Mapping[str, Any], reopener: Reopener) -> bool:
    """Whether who wrote the entry knew of the work and of all that stands on it by now."""
    seen = head["body"].get("seen") or ()
    return all(not group.isdisjoint(seen) for group in reopener.groups)


def is_fresh(heads: Sequence[Head], reopeners: Sequence[Reopener]) -> bool:
    """Whether one of the entries comes after all the work that opens their step again."""
    return any(all(is_after(head, one) for one in reopeners) for head in heads)


def ids_to_see(step: str, state: JobState) -> list[str]:
    """What an entry on this step keeps as `seen`; empty where nothing opens the step again."""
    reopeners = list_reopeners(state).get(step, ())
    return sorted({each for one in reopeners for group in one.groups for each in group})
