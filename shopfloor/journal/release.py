"""
What stands against letting the bike go?

Answers with every reason at once, each with a sentence that says what to do. See also
frontend/src/journal/release.ts: both are held together by fixtures/cases/journal/release.json.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Literal, TypedDict

from shopfloor.journal.places import check_place, is_of_step
from shopfloor.journal.progress import (
    SETTLED,
    Progress,
    doers_of,
    is_covered,
    progress,
    safety_entries,
)
from shopfloor.journal.standing import Standing
from shopfloor.journal.state import JobState
from shopfloor.words import gettext as _

Step = Mapping[str, Any]
Mode = Literal["safe", "not-to-ride"]

# What an owner who takes the bike unridden may leave undone; never what is unknown or unasked.
WAIVED = frozenset({"safety-open", "second-check", "unsafe", "parts"})
# Two promises, or two openings, say nothing about whether the bike is safe.
WORK_PLACES = ("tick:", "ask:", "check:", "offer:", "answer:")


class Missing(TypedDict):
    """Numbers of entries a device has used and the server has not seen."""

    device: str
    device_name: str
    ns: list[int]


class Refusal(TypedDict):
    code: str
    message: str
    step: str | None


def release_refusals(
    route: Sequence[Step],
    state: JobState,
    missing: Sequence[Missing],
    *,
    mode: str = "safe",
    reason: str | None = None,
) -> list[Refusal]:
    """
    Every refusal, in the order in which a person would deal with them; empty: let it go.

    route    with the added work in it, see progress.full_route
    mode     "safe", or "not-to-ride": the owner was warned and takes the bike unridden
    reason   what was told to the owner; checked when it is given, so None asks about the rest
    """
    closed = _closed(state)
    if closed:
        return closed
    where = progress(route, state)
    refusals = [
        *_not_opened(state),
        *_missing(missing),
        *_conflicts(route, state),
        *_asking(state),
        *_safety_open(route, where),
        *_second_check(route, state, where),
        *_unsafe(where["standing"]),
        *_parts(state),
    ]
    if mode != "not-to-ride":
        return refusals
    return [*(one for one in refusals if one["code"] not in WAIVED), *_reason(reason)]


def _refusal(code: str, message: str, step: str | None = None) -> Refusal:
    return {"code": code, "message": message, "step": step}


def _closed(state: JobState) -> list[Refusal]:
    if state["cancelled"]:
        return [_refusal("already", _("This job was cancelled."))]
    if state["collected"]:
        return [_refusal("already", _("The bike has been collected already."))]
    if state["released"] is not None:
        return [_refusal("already", _("The bike has been released already."))]
    return []


def _not_opened(state: JobState) -> list[Refusal]:
    if state["opened"] is not None:
        return []
    return [_refusal("not-opened", _("This job was never opened at the desk; open it first."))]


def _missing(missing: Iterable[Missing]) -> list[Refusal]:
    return [
        _refusal(
            "missing-entries",
            _(
                "{device_name} has written entries that have not arrived ({ranges}); bring "
                "it where it has signal."
            ).format(device_name=one["device_name"], ranges=_ranges(one["ns"])),
        )
        for one in missing
        if one["ns"]
    ]


def _conflicts(route: Sequence[Step], state: JobState) -> list[Refusal]:
    places = [place for place in state["conflicts"] if place.startswith(WORK_PLACES)]
    return [_conflict(place, route) for place in places]


def _conflict(place: str, route: Sequence[Step]) -> Refusal:
    step = next((step for step in route if is_of_step(place, step["key"])), None)
    if step is not None:
        message = _("“{title}” has two different values; settle which one holds.").format(
            title=step["title"]
        )
        return _refusal("conflict", message, step["key"])
    if place.startswith(("offer:", "answer:")):
        return _refusal(
            "conflict", _("Two answers of the customer differ; settle which one holds.")
        )
    return _refusal(
        "conflict",
        _("{place} has two different values; settle which one holds.").format(place=place),
    )


def _asking(state: JobState) -> list[Refusal]:
    if not state["asking"]:
        return []
    return [_refusal("asking", _("The customer has not answered yet; wait, ring or withdraw."))]


def _safety_open(route: Iterable[Step], where: Progress) -> list[Refusal]:
    return [
        _refusal(
            "safety-open",
            _("“{title}” is a safety step and not done.").format(title=step["title"]),
            step["key"],
        )
        for step in route
        if step["kind"] == "work"
        and step["safety"]
        and where["steps"][step["key"]]["status"] not in SETTLED
    ]


def _second_check(route: Sequence[Step], state: JobState, where: Progress) -> list[Refusal]:
    looked_at = frozenset(safety_entries(route, state))
    return [
        _refusal("second-check", _second_check_words(step, state, looked_at), step["key"])
        for step in route
        if step["kind"] == "check" and where["steps"][step["key"]]["status"] not in SETTLED
    ]


def _second_check_words(step: Step, state: JobState, looked_at: frozenset[str]) -> str:
    heads = state["places"].get(check_place(step["key"]), [])
    agreed = {head["by"] for head in heads if head["body"]["outcome"] == "agreed"}
    if agreed and agreed <= doers_of(step, state):
        return _("“{title}” was agreed by somebody who did the work; ask another person.").format(
            title=step["title"]
        )
    if agreed and not any(is_covered(head["body"], looked_at) for head in heads):
        return _("“{title}” was agreed before the work changed; look at it once more.").format(
            title=step["title"]
        )
    return _("“{title}” needs the agreement of a second person.").format(title=step["title"])


def _unsafe(standing: Iterable[Standing]) -> list[Refusal]:
    return [
        _refusal("unsafe", f"{one['label']}: {one['verdict']}. {one['why']}".strip(), one["step"])
        for one in standing
        if one["verdict"] == "unsafe" or one["safety"]
    ]


def _parts(state: JobState) -> list[Refusal]:
    titles = {row["id"]: row["body"].get("title", _("A finding")) for row in state["findings"]}
    return [
        _refusal(
            "parts", _("“{value}” is agreed and waits for parts.").format(value=titles[finding])
        )
        for finding in state["parts"]
    ]


def _reason(reason: str | None) -> list[Refusal]:
    if reason is None or reason.strip():
        return []
    return [
        _refusal("reason", _("Write what the owner was told and why the bike must not be ridden."))
    ]


def _ranges(numbers: Iterable[int]) -> str:
    """12, 14-16"""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
