"""
Which verdicts against a part still stand?

What was found worn stands until the part was left sound; a later step may clear it by name.
See also frontend/src/journal/standing.ts.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple, TypedDict

from shopfloor.journal.asks import AskProgress

AGAINST = ("unsafe", "renew", "measure again")
CLEARED = ("sound", "watch")


class Standing(TypedDict):
    """A verdict against a part; `safety` when a wrong value here can hurt the rider."""

    step: str
    item: str
    phase: str
    label: str
    verdict: str
    why: str
    safety: bool


class _Told(NamedTuple):
    step: str
    ask: Mapping[str, Any]
    answer: AskProgress

    @property
    def part(self) -> tuple[str, str]:
        return self.step, self.ask["item"]


def list_standing(
    route: Sequence[Mapping[str, Any]], answers: Mapping[str, Iterable[AskProgress]]
) -> list[Standing]:
    """
    The verdicts that stand, in working order.

    answers  by step key, as list_asks gives them

    The verdict on what was left takes the place of the one on what was found. A good one that is
    stale does neither; a bad one stands until the part is told of again.
    """
    told = [one for step in route for one in _tell(step, answers[step["key"]])]
    left = [one for one in told if one.answer["phase"] == "left" and _counts(one.answer)]
    cleared = {part for one in left if _is_good(one) for part in _parts(one)}
    measured = {one.part for one in left}
    return [
        _standing(one)
        for one in told
        if one.answer["verdict"] in AGAINST
        and one.part not in cleared
        and (one.answer["phase"] == "left" or one.part not in measured)
    ]


def _tell(step: Mapping[str, Any], answers: Iterable[AskProgress]) -> list[_Told]:
    asked = {ask["item"]: ask for ask in step.get("asks") or ()}
    return [_Told(step["key"], asked[answer["item"]], answer) for answer in answers]


def _counts(answer: AskProgress) -> bool:
    return bool(answer["verdict"]) and (not answer["stale"] or answer["verdict"] in AGAINST)


def _is_good(one: _Told) -> bool:
    return one.answer["settled"] and one.answer["verdict"] in CLEARED


def _parts(one: _Told) -> list[tuple[str, str]]:
    """The part itself, and the one of another step that it says it clears."""
    clears = one.ask.get("clears")
    return [one.part, *([(clears["step"], clears["item"])] if clears else [])]


def _standing(one: _Told) -> Standing:
    return {
        "step": one.step,
        "item": one.ask["item"],
        "phase": one.answer["phase"],
        "label": one.ask["label"],
        "verdict": one.answer["verdict"],
        "why": one.answer["why"],
        "safety": bool(one.ask.get("safety")),
    }
