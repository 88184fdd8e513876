"""
What does one recorded value mean for what its step asked?

Brings the value into the unit of the ask's limits and lets trade/verdict.py judge it.
See also frontend/src/journal/judging.ts.
"""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from shopfloor.journal.state import Head
from shopfloor.trade.chain import PITCH_MM, ReadingOutOfRange, elongation_percent
from shopfloor.trade.mark import with_mark
from shopfloor.trade.units import is_torque_unit, to_newton_metres
from shopfloor.trade.verdict import judge
from shopfloor.words import gettext as _

Ask = Mapping[str, Any]

# From the worst down; where equal values were judged differently, the worse verdict is told.
SEVERITY = ("unsafe", "renew", "measure again", "watch", "sound", "")
TORQUE_UNIT = "N·m"


class Judged(NamedTuple):
    """
    A verdict (empty where no limit is known) with its sentence.

    `answers` is false where the value does not answer the ask: another unit, a choice that is not
    offered, a fastener that is still loose when it should be left tight.
    """

    verdict: str
    why: str
    answers: bool


class _NotComparable(Exception):
    """The value cannot be held against the limits; the message says why."""


class _Measured(NamedTuple):
    value: float | None
    uncertainty: float


def marked(ask: Ask, heads: Sequence[Head]) -> Ask:
    """The ask with the limits that were read off the part, where a reading carries them."""
    mark = next((head["body"]["mark"] for head in heads if head["body"].get("mark")), None)
    rule = ask.get("rule")
    held = with_mark(rule, mark)
    return ask if held == rule else {**ask, "rule": held, "marked": True}


def judge_head(ask: Ask, phase: str, head: Head) -> Judged:
    """The verdict on one entry of the ask's place."""
    if ask["kind"] == "choice":
        return _judge_choice(ask, head)
    if head["kind"] != "reading":
        return Judged("", _("This asks for a number."), answers=False)
    return _judge_reading(ask, phase, head["body"])


def worst(judged: Sequence[Judged]) -> Judged:
    """The worst of the verdicts on values that agree."""
    return min(judged, key=lambda one: SEVERITY.index(one.verdict))


def _judge_choice(ask: Ask, head: Head) -> Judged:
    offered = {choice["value"]: choice for choice in ask.get("choices") or ()}
    choice = offered.get(head["body"]["value"]) if head["kind"] == "choice" else None
    if choice is None:
        return Judged("", _("This is none of the choices that the step offers."), answers=False)
    return Judged(choice.get("verdict") or "", f"{choice['label']}.", answers=True)


def _judge_reading(ask: Ask, phase: str, body: Mapping[str, Any]) -> Judged:
    loose = body.get("loose") is True
    try:
        measured = _in_unit_of_ask(ask, body)
    except _NotComparable as problem:
        return Judged("", str(problem), answers=False)
    found = judge(
        with_mark(_rule(ask), body.get("mark")),
        None if loose else measured.value,
        uncertainty=measured.uncertainty,
        phase=phase,
        safety=bool(ask.get("safety")),
        unit=TORQUE_UNIT if ask["kind"] == "torque" else ask.get("unit") or "",
    )
    return Judged(found.verdict, found.why, answers=not (loose and phase == "left"))


def _in_unit_of_ask(ask: Ask, body: Mapping[str, Any]) -> _Measured:
    """Value and standard uncertainty in the unit of the limits. Raises _NotComparable."""
    value, own, also = body["value"], body.get("u"), ask.get("also")
    kept = ask.get("uncertainty") or 0.0
    if ask["kind"] == "torque":
        return _torque(value, own, kept, unit=body["unit"], ask_unit=_torque_unit(ask))
    if ask.get("unit") in (None, "", body["unit"]):
        return _Measured(value, kept if own is None else own)
    if also and body["unit"] == also["unit"]:
        return _chain(value, own, kept, pitches=also["pitches"])
    raise _NotComparable(
        _("It was measured in {unit}; the limits are in {other}.").format(
            unit=body["unit"], other=ask["unit"]
        )
    )


def _torque(
    value: float | None, own: float | None, kept: float, *, unit: str, ask_unit: str
) -> _Measured:
    if not is_torque_unit(unit):
        raise _NotComparable(
            _("It was measured in {unit}, which is no unit of torque here.").format(unit=unit)
        )
    return _Measured(
        None if value is None else to_newton_metres(value, unit),
        to_newton_metres(kept, ask_unit) if own is None else to_newton_metres(own, unit),
    )


def _chain(value: float | None, own: float | None, kept: float, *, pitches: int) -> _Measured:
    """A length over so many half links as elongation in percent."""
    uncertainty = kept if own is None else own / (pitches * PITCH_MM) * 100
    if value is None:
        return _Measured(None, uncertainty)
    try:
        return _Measured(elongation_percent(length_mm=value, pitches=pitches), uncertainty)
    except ReadingOutOfRange:
        words = _("No chain is that long: count the links and read the ruler again.")
        raise _NotComparable(words) from None


def _rule(ask: Ask) -> Mapping[str, Any] | None:
    """The limits; those of a torque in newton metres."""
    rule: Mapping[str, Any] | None = ask.get("rule")
    unit = _torque_unit(ask)
    if rule is None or ask["kind"] != "torque" or unit == TORQUE_UNIT:
        return rule
    return {
        name: to_newton_metres(value, unit) if isinstance(value, int | float) else value
        for name, value in rule.items()
    }


def _torque_unit(ask: Ask) -> str:
    return ask.get("unit") or TORQUE_UNIT
