"""
What did a step ask, what was answered, and what does the answer mean?

See also frontend/src/journal/asks.ts.
"""

from collections.abc import Mapping, Sequence
from typing import Any, TypedDict

from shopfloor.journal.again import Reopener, concerning, is_fresh
from shopfloor.journal.judging import Judged, judge_head, worst
from shopfloor.journal.places import ask_place
from shopfloor.journal.state import Head, JobState


class JudgedHead(Head):
    """One recorded value with what it means."""

    verdict: str
    why: str


class AskProgress(TypedDict):
    """
    One thing asked for in one phase.

    `settled` when it has one value that answers it; the verdict is empty where two values differ.
    `stale` when what was left is told of before work that opened the step again.
    """

    item: str
    phase: str
    place: str
    required: bool
    settled: bool
    stale: bool
    heads: list[JudgedHead]
    verdict: str
    why: str


def list_asks(
    step: Mapping[str, Any], state: JobState, reopeners: Sequence[Reopener] = ()
) -> list[AskProgress]:
    """Every ask of a step in each of its phases."""
    return [
        _answer(step, ask, phase, state, reopeners)
        for ask in step.get("asks") or ()
        for phase in ask["phases"]
    ]


def _answer(
    step: Mapping[str, Any],
    ask: Mapping[str, Any],
    phase: str,
    state: JobState,
    reopeners: Sequence[Reopener],
) -> AskProgress:
    place = ask_place(step["key"], ask["item"], phase)
    heads, judged = _judged(step, ask, phase, state)
    agreed = bool(heads) and (ask["kind"] == "photo" or place not in state["conflicts"])
    undoing = concerning(ask["item"], reopeners) if _can_be_stale(ask, phase) else ()
    stale = bool(heads) and not is_fresh(heads, undoing)
    told = worst(judged) if agreed else Judged("", "", answers=False)
    return {
        "item": ask["item"],
        "phase": phase,
        "place": place,
        "required": phase in ask["required"],
        "settled": agreed and not stale and all(one.answers for one in judged),
        "stale": stale,
        "heads": [
            {**head, "verdict": one.verdict, "why": one.why}
            for head, one in zip(heads, judged, strict=True)
        ],
        "verdict": told.verdict,
        "why": told.why,
    }


def _can_be_stale(ask: Mapping[str, Any], phase: str) -> bool:
    """How a part was found stays true, and a photo shows what it shows."""
    return phase == "left" and ask["kind"] != "photo"


def _judged(
    step: Mapping[str, Any], ask: Mapping[str, Any], phase: str, state: JobState
) -> tuple[Sequence[Head], list[Judged]]:
    if ask["kind"] == "photo":
        photos = _photos(step["key"], ask["item"], state)
        return photos, [Judged("", "", answers=True) for _ in photos]
    heads = state["places"].get(ask_place(step["key"], ask["item"], phase), [])
    return heads, [judge_head(ask, phase, head) for head in heads]


def _photos(step: str, item: str, state: JobState) -> list[Head]:
    """Any photo of the item will do, whatever its phase."""
    return [
        {**photo, "kind": "photo"}
        for photo in state["photos"]
        if photo["body"].get("step") == step and photo["body"].get("item") == item
    ]
