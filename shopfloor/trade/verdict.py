"""
What a measured value means for the part: sound, watch, renew, unsafe or measure again.

Knows rules and numbers only, not which part they belong to.
See also frontend/src/trade/verdict.ts: both are held together by fixtures/cases/verdict.json.
"""

import math
from collections.abc import Mapping
from typing import Any, Final, Literal, NamedTuple

from shopfloor.words import gettext as _

Phase = Literal["found", "left"]

SOUND: Final = "sound"
WATCH: Final = "watch"
RENEW: Final = "renew"
UNSAFE: Final = "unsafe"
MEASURE_AGAIN: Final = "measure again"

# Two standard uncertainties: about 95 % of readings lie inside (GUM, JCGM 100).
COVERAGE: Final = 2.0


class Judgement(NamedTuple):
    """A verdict and the sentence that explains it; the verdict is empty where no limit is known."""

    verdict: str
    why: str


class _Reading(NamedTuple):
    value: float
    low: float
    high: float
    unit: str

    def words(self) -> str:
        return f"{_number(self.value)}{self.unit}"

    def spread(self) -> str:
        return f"{_number(self.value)} ± {_number((self.high - self.low) / 2)}{self.unit}"


def judge(
    rule: Mapping[str, Any] | None,
    value: float | None,
    *,
    uncertainty: float = 0.0,
    phase: str = "found",
    safety: bool = False,
    unit: str = "",
) -> Judgement:
    """
    The verdict on one reading.

    rule         minimum, maximum or band, in the unit of the value; None where the mark decides
    value        the reading; None means found loose, no number could be read
    uncertainty  standard uncertainty of the reading, in its unit
    phase        found (as it came in) or left (as it goes out)
    safety       a wrong value here can hurt the rider
    unit         only for the words
    """
    suffix = f" {unit}" if unit else ""
    if value is None:
        return _judge_loose(rule, phase=phase, safety=safety, unit=suffix)
    if rule is None:
        return Judgement("", _("No limit is kept for this here: the mark on the part decides."))
    expanded = COVERAGE * abs(uncertainty)
    reading = _Reading(_settle(value), _settle(value - expanded), _settle(value + expanded), suffix)
    if rule["type"] == "minimum":
        return _judge_minimum(rule, reading)
    if rule["type"] == "maximum":
        return _judge_maximum(rule, reading)
    return _judge_band(rule, reading, phase=phase, safety=safety)


def _judge_minimum(rule: Mapping[str, Any], reading: _Reading) -> Judgement:
    renew, watch, unit = rule["renew"], rule.get("watch"), reading.unit
    limit = f"{_number(renew)}{unit}"
    if reading.low < renew <= reading.high:
        return Judgement(
            MEASURE_AGAIN,
            _("{spread} straddles the limit of {limit}.").format(
                spread=reading.spread(), limit=limit
            ),
        )
    if reading.value < renew:
        return Judgement(
            RENEW,
            _("{value} is below the limit of {limit}.").format(value=reading.words(), limit=limit),
        )
    if watch is not None and reading.value < watch:
        return Judgement(
            WATCH,
            _(
                "{value} is above the limit of {limit} but below {watch}{unit}: plan to renew it."
            ).format(value=reading.words(), limit=limit, watch=_number(watch), unit=unit),
        )
    return Judgement(
        SOUND,
        _("{value} is not below the limit of {limit}.").format(value=reading.words(), limit=limit),
    )


def _judge_maximum(rule: Mapping[str, Any], reading: _Reading) -> Judgement:
    renew, watch, unit = rule["renew"], rule.get("watch"), reading.unit
    limit = f"{_number(renew)}{unit}"
    if reading.low < renew <= reading.high:
        return Judgement(
            MEASURE_AGAIN,
            _("{spread} straddles the limit of {limit}.").format(
                spread=reading.spread(), limit=limit
            ),
        )
    if reading.value >= renew:
        return Judgement(
            RENEW,
            _("{value} has reached the limit of {limit}.").format(
                value=reading.words(), limit=limit
            ),
        )
    if watch is not None and reading.value >= watch:
        return Judgement(
            WATCH,
            _(
                "{value} is under the limit of {limit} but has reached {watch}{unit}: plan "
                "to renew it."
            ).format(value=reading.words(), limit=limit, watch=_number(watch), unit=unit),
        )
    return Judgement(
        SOUND,
        _("{value} is under the limit of {limit}.").format(value=reading.words(), limit=limit),
    )


def _judge_band(
    rule: Mapping[str, Any], reading: _Reading, *, phase: str, safety: bool
) -> Judgement:
    low, high = rule["min"], rule["max"]
    band = _("{low} to {high}{unit}").format(
        low=_number(low), high=_number(high), unit=reading.unit
    )
    if phase == "left" and _crosses_an_edge(reading, low, high):
        return Judgement(
            MEASURE_AGAIN,
            _("{spread} straddles the edge of {band}.").format(spread=reading.spread(), band=band),
        )
    if low <= reading.value <= high:
        return Judgement(
            SOUND, _("{value} is inside {band}.").format(value=reading.words(), band=band)
        )
    return Judgement(
        _outside(phase, safety=safety),
        _("{value} is outside {band}.").format(value=reading.words(), band=band),
    )


def _crosses_an_edge(reading: _Reading, low: float, high: float) -> bool:
    return reading.low < low <= reading.high or reading.low <= high < reading.high


def _outside(phase: str, *, safety: bool) -> str:
    return UNSAFE if phase == "left" and safety else WATCH


def _judge_loose(
    rule: Mapping[str, Any] | None, *, phase: str, safety: bool, unit: str
) -> Judgement:
    lead = _("Left loose") if phase == "left" else _("Found loose")
    if rule is not None and rule["type"] == "band":
        band = _("{min} to {max}{unit}").format(
            min=_number(rule["min"]), max=_number(rule["max"]), unit=unit
        )
        return Judgement(
            _outside(phase, safety=safety),
            _("{lead}; it belongs inside {band}.").format(lead=lead, band=band),
        )
    return Judgement(
        _outside(phase, safety=safety), _("{lead}; the mark on the part decides.").format(lead=lead)
    )


def _settle(value: float) -> float:
    """Drop the dust of binary fractions, so that 4.35 - 0.35 is 4 and not a hair below."""
    return math.floor(value * 1e9 + 0.5) / 1e9


def _number(value: float) -> str:
    """At most three decimals, no trailing zeros; rounds the same way in both languages."""
    rounded = math.floor(value * 1000 + 0.5) / 1000
    text = f"{rounded:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
