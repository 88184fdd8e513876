"""
Which work does the sheet list: done in which stage and by whom, added with agreement, left open?

Takes route, progress, state and rows; reads no database.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from shopfloor.approvals.models import OfferLine
from shopfloor.jobs.words import stage_in_words
from shopfloor.journal.places import is_of_step, tick_place
from shopfloor.journal.progress import Progress
from shopfloor.journal.state import JobState
from shopfloor.sheets.readings import Names
from shopfloor.workshop.templatetags.money import money


def done_work(
    route: Sequence[Mapping[str, Any]], state: JobState, done: Progress, names: Names
) -> list[dict[str, Any]]:
    """Done steps by stage, in working order, with the names of those who did them."""
    stages: dict[str, dict[str, Any]] = {}
    for step in route:
        if step["kind"] == "release" or done["steps"][step["key"]]["status"] != "done":
            continue
        words = stage_in_words(step["stage"])
        part = stages.setdefault(step["stage"], {"stage": words, "steps": [], "by": []})
        part["steps"].append(step["title"])
        part["by"] += [name for name in _doers(step, state, names) if name not in part["by"]]
    return list(stages.values())


def _doers(step: Mapping[str, Any], state: JobState, names: Names) -> list[str]:
    people = {
        head["by"]: None
        for place, heads in state["places"].items()
        if is_of_step(place, step["key"])
        for head in heads
    }
    return [names.people[person] for person in people if person in names.people]


def open_work(route: Sequence[Mapping[str, Any]], done: Progress) -> list[str]:
    """Steps of the route that were not done, by title; handing over is the desk's own."""
    return [
        step["title"]
        for step in route
        if step["kind"] != "release" and done["steps"][step["key"]]["status"] != "done"
    ]


def added_work(
    state: JobState, done: Progress, lines: Iterable[OfferLine], currency: str
) -> list[dict[str, Any]]:
    """What was agreed on the way, with its parts and price."""
    keys = {added["finding"]: [step["key"] for step in added["steps"]] for added in state["added"]}
    return [
        {
            "title": line.title,
            "reason": line.reason,
            "parts": [str(part.get("name", "")) for part in line.parts],
            "price": money(line.gross_minor, currency),
            "done": set(keys.get(str(line.finding), [])) <= set(done["done"]),
        }
        for line in lines
        if line.decision == "yes"
    ]


def is_ticked(state: JobState, step: str) -> bool:
    """Whether a step without readings is settled as done."""
    outcomes = {head["body"]["outcome"] for head in state["places"].get(tick_place(step), [])}
    return outcomes == {"done"}
