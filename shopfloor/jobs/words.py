"""What stages, services, numbers and limits are called wherever a job is shown."""

from collections.abc import Mapping
from typing import Any

from shopfloor.trade.route import SERVICES

STAGES = {
    "intake": "Take in",
    "measure": "Measure",
    "strip": "Strip",
    "clean": "Clean",
    "inspect": "Inspect",
    "bearings": "Bearings",
    "wheels": "Wheels",
    "assemble": "Assemble",
    "drive": "Drive",
    "brakes": "Brakes",
    "shift": "Shifting",
    "final": "Final check",
    "handover": "Hand over",
}


def stage_in_words(stage: str | None) -> str:
    """A stage's title; a stage of a later version under its own name."""
    return STAGES.get(stage, stage.capitalize()) if stage else ""


def service_in_words(service: str) -> str:
    return SERVICES.get(service, service)


def number(value: float) -> str:
    """At most three decimals, no trailing zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def limit_in_words(ask: Mapping[str, Any], *, gap: str = " ") -> str:
    """
    The limits of an ask in a few words; empty where no table has one.

    gap  what stands between number and unit
    """
    rule, unit = ask.get("rule"), ask.get("unit") or ""
    if not rule:
        return ""
    last = f"{gap}{unit}" if unit else ""
    by_mark = ", as marked" if ask.get("marked") else ""
    if rule["type"] == "band":
        return f"{number(rule['min'])} to {number(rule['max'])}{last}{by_mark}"
    lead = "at least" if rule["type"] == "minimum" else "below"
    return f"{lead} {number(rule['renew'])}{last}{by_mark}"
