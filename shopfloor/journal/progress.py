"""
How far is a job along its route, which step is next, and which verdicts still stand?

See also frontend/src/journal/progress.ts: both are held together by
fixtures/cases/journal/progress.json.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple, TypedDict

from shopfloor.journal.again import (
    Reopener,
    Reopeners,
    concerning,
    is_fresh,
    list_reopeners,
    undoing_all,
)
from shopfloor.journal.asks import AskProgress, list_asks
from shopfloor.journal.places import check_place, is_of_step, tick_place
from shopfloor.journal.standing import Standing, list_standing
from shopfloor.journal.state import Head, JobState
from shopfloor.trade import route as trade_route
from shopfloor.words import gettext as _

Step = Mapping[str, Any]
Status = Literal["open", "done", "not-needed", "conflict"]
SETTLED = ("done", "not-needed")


class Reason(TypedDict):
    key: str
    because: str


class StepProgress(TypedDict):
    """
    `early` names the steps that come first and are not done, whatever the status; `again` names
    the added work after which a step that was done is to be done once more.
    """

    status: Status
    early: list[Reason]
    again: list[Reason]
    asks: list[AskProgress]


class Progress(TypedDict):
    """`steps` by key; `done` holds the keys of what is done or not needed, in working order."""

    steps: dict[str, StepProgress]
    done: list[str]
    steps_done: int
    steps_total: int
    minutes_left: int
    minutes_total: int
    stage: str | None
    next_step: str | None
    standing: list[Standing]


def full_route(route: Sequence[Step], state: JobState) -> list[dict[str, Any]]:
    """The frozen route with the steps of added work where they belong."""
    added = [step for one in state["added"] for step in one["steps"]]
    return trade_route.merge(route, added)


def progress(route: Sequence[Step], state: JobState) -> Progress:
    """
    How far the job is along a route that holds the added work already.

    Minutes are the typical ones; a step that is not needed costs none of those left.
    """
    opened = list_reopeners(state)
    asks = {step["key"]: list_asks(step, state, opened.get(step["key"], ())) for step in route}
    look = _Look(state, opened, frozenset(safety_entries(route, state)))
    statuses = {step["key"]: _status(step, asks[step["key"]], look) for step in route}
    done = [key for key, status in statuses.items() if status in SETTLED]
    left = [step for step in route if step["key"] not in done]
    upcoming = next((step for step in left if step["kind"] != "release"), left[0] if left else None)
    return {
        "steps": {
            step["key"]: {
                "status": statuses[step["key"]],
                "early": _early(step, route, statuses),
                "again": _again(step["key"], asks[step["key"]], statuses, look),
                "asks": asks[step["key"]],
            }
            for step in route
        },
        "done": done,
        "steps_done": len(done),
        "steps_total": len(statuses),
        "minutes_left": sum(step["minutes"]["typical"] for step in left),
        "minutes_total": sum(step["minutes"]["typical"] for step in route),
        "stage": upcoming["stage"] if upcoming else None,
        "next_step": upcoming["key"] if upcoming else None,
        "standing": list_standing(route, asks),
    }


def doers_of(step: Step, state: JobState) -> set[str]:
    """
    Who did the steps that a check step looks at, so may not be the one who checks them.

    By ticks, readings and choices; taking a photo is not doing the work.
    """
    return {
        head["by"]
        for place, heads in state["places"].items()
        if not place.startswith("check:")
        and any(is_of_step(place, key) for key in step.get("checks") or ())
        for head in heads
    }


def safety_entries(route: Sequence[Step], state: JobState) -> list[str]:
    """
    The ids of all standing entries on the route's safety work: what a second person looks at.

    The check keeps them as `seen`; work that changes afterwards is not covered by it.
    """
    keys = [step["key"] for step in route if step["kind"] == "work" and step["safety"]]
    return sorted(
        head["id"]
        for place, heads in state["places"].items()
        if any(is_of_step(place, key) for key in keys)
        for head in heads
    )


def is_covered(check: Mapping[str, Any], looked_at: frozenset[str]) -> bool:
    """Whether nothing has changed since a check; one that kept no list covers everything."""
    seen = check.get("seen")
    return seen is None or looked_at <= set(seen)


class _Look(NamedTuple):
    """What the status of every step hangs on."""

    state: JobState
    opened: Reopeners
    looked_at: frozenset[str]


def _status(step: Step, asks: Sequence[AskProgress], look: _Look) -> Status:
    key, state = step["key"], look.state
    if any(is_of_step(place, key) for place in state["conflicts"]):
        return "conflict"
    if step["kind"] == "release":
        return "done" if state["released"] is not None else "open"
    outcome = _outcome(state, tick_place(key), undoing_all(look.opened.get(key, ())))
    passed: Status = "not-needed" if outcome == "not-needed" and _may_pass(step) else "open"
    required = [ask for ask in asks if ask["required"]]
    if not all(ask["settled"] for ask in required):
        return passed
    if step["kind"] == "check":
        return "done" if _is_checked(step, look) else "open"
    return "done" if outcome == "done" or _is_answered(required, key, look) else passed


def _may_pass(step: Step) -> bool:
    """A mechanic may pass over a step, but no safety step and no check."""
    return step["kind"] == "work" and not step["safety"]


def _is_answered(settled: Sequence[AskProgress], key: str, look: _Look) -> bool:
    """Answers make a tick needless; how a part was found does not say that it was done again."""
    is_undone = bool(undoing_all(look.opened.get(key, ())))
    return any(ask["phase"] == "left" or not is_undone for ask in settled)


def _is_checked(step: Step, look: _Look) -> bool:
    """Somebody agreed who did none of the work, and it is still the work that was looked at."""
    place, state = check_place(step["key"]), look.state
    heads = state["places"].get(place, [])
    seconds = {head["by"] for head in heads if is_covered(head["body"], look.looked_at)}
    return _outcome(state, place) == "agreed" and bool(seconds - doers_of(step, state))


def _outcome(state: JobState, place: str, reopeners: Sequence[Reopener] = ()) -> str | None:
    heads = state["places"].get(place, [])
    if not heads or place in state["conflicts"] or not is_fresh(heads, reopeners):
        return None
    return str(heads[0]["body"]["outcome"])


def _again(
    key: str, asks: Sequence[AskProgress], statuses: Mapping[str, Status], look: _Look
) -> list[Reason]:
    """Why a step is open that was done, or left out, before."""
    if key not in look.opened or statuses[key] in SETTLED:
        return []
    ticks = look.state["places"].get(tick_place(key), [])
    done = [head for head in ticks if head["body"]["outcome"] != "open"]
    return [
        {"key": one.step, "because": one.because}
        for one in look.opened[key]
        if any(heads and not is_fresh(heads, [one]) for heads in _undone(one, done, asks))
    ]


def _undone(
    reopener: Reopener, ticks: Sequence[Head], asks: Sequence[AskProgress]
) -> Iterator[Sequence[Head]]:
    """The entries that the work could undo, place by place."""
    if reopener.items is None:
        yield ticks
    for ask in asks:
        if ask["stale"] and concerning(ask["item"], [reopener]):
            yield ask["heads"]


def _early(step: Step, route: Sequence[Step], statuses: Mapping[str, Status]) -> list[Reason]:
    """What should be done first and is not: by the step's own reasons, then by added work."""
    own: list[Reason] = [
        {"key": reason["key"], "because": reason["because"]} for reason in step["after"]
    ]
    added: list[Reason] = [
        {
            "key": other["key"],
            "because": _("it belongs before “{title}”").format(title=step["title"]),
        }
        for other in route
        if step["key"] in (other.get("before") or ())
    ]
    return [one for one in [*own, *added] if statuses.get(one["key"], "done") not in SETTLED]
