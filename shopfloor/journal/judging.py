"""
What does one recorded value mean for what its step asked?

Brings the value into the unit of the ask's limits and lets trade/verdict.py judge it.
See also frontend/src/journal/judging.ts.
"""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from shopfloor.journal.state import Head
from shopfloor.trade.units import UnknownUnit, to_newton_metres
from shopfloor.trade.verdict import judge

Ask = Mapping[str, Any]

# From the worst down; where equal values were judged differently, the worse verdict is told.
SEVERITY = ("unsafe", "renew", "measure again", "watch", "sound", "")
TORQUE_UNIT = "N·m"
# Source: half-inch pitch of bicycle chains, ISO 9633.
PITCH_MM = 12.7


class Judged(NamedTuple):
    """
    A verdict (empty where no limit is known) with its sentence.

    `answers` is false where the value does not answer the ask: another unit, a choice that is not
    offered, a fastener that is still loose when it should be left tight.
    """

    verdict: str
    why: str
    answers: bool


class _Measured(NamedTuple):
    value: float | None
    uncertainty: float


def judge_head(ask: Ask, phase: str, head: Head) -> Judged:
    """The verdict on one entry of the ask's place."""
    if ask["kind"] == "choice":
        return _judge_choice(ask, head)
    if head["kind"] != "reading":
        return Judged("", "This asks for a number.", answers=False)
    return _judge_reading(ask, phase, head["body"])


def worst(judged: Sequence[Judged]) -> Judged:
    """The worst of the verdicts on values that agree."""
    return min(judged, key=lambda one: SEVERITY.index(one.verdict))


def _judge_choice(ask: Ask, head: Head) -> Judged:
    offered = {choice["value"]: choice for choice in ask.get("choices") or ()}
    choice = offered.get(head["body"]["value"]) if head["kind"] == "choice" else None
    if choice is None:
        return Judged("", "This is none of the choices that the step offers.", answers=False)
    return Judged(choice.get("verdict") or "", f"{choice['label']}.", answers=True)


def _judge_reading(ask: Ask, phase: str, body: Mapping[str, Any]) -> Judged:
    loose = body.get("loose") is True
    measured = _in_unit_of_ask(ask, body)
    if measured is None:
        words = f"It was measured in {body['unit']}; the limits are in {ask.get('unit')}."
        return Judged("", words, answers=False)
    found = judge(
        _rule(ask),
        None if loose else measured.value,
        uncertainty=measured.uncertainty,
        phase=phase,
        safety=bool(ask.get("safety")),
        unit=TORQUE_UNIT if ask["kind"] == "torque" else ask.get("unit") or "",
    )
    return Judged(found.verdict, found.why, answers=not (loose and phase == "left"))


def _in_unit_of_ask(ask: Ask, body: Mapping[str, Any]) -> _Measured | None:
    """Value and standard uncertainty in the unit of the limits; None where units do not match."""
    value, own = body["value"], body.get("u")
    if ask["kind"] == "torque":
        return _torque(ask, body)
    if ask.get("unit") in (None, body["unit"]):
        return _Measured(value, ask.get("uncertainty") or 0.0 if own is None else own)
    also = ask.get("also")
    if also and body["unit"] == also["unit"]:
        return _chain(value, own, span_mm=also["pitches"] * PITCH_MM)
    return None


def _torque(ask: Ask, body: Mapping[str, Any]) -> _Measured | None:
    value, own = body["value"], body.get("u")
    try:
        factor = to_newton_metres(1, body["unit"])
        kept = to_newton_metres(ask.get("uncertainty") or 0.0, _torque_unit(ask))
    except UnknownUnit:
        return None
    return _Measured(
        None if value is None else to_newton_metres(value, body["unit"]),
        kept if own is None else own * factor,
    )


def _chain(value: float | None, own: float | None, *, span_mm: float) -> _Measured:
    """A length over so many pitches as elongation in percent."""
    return _Measured(
        None if value is None else (value / span_mm - 1) * 100,
        0.0 if own is None else own / span_mm * 100,
    )


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
