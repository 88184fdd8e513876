"""What stages, services, numbers and limits are called wherever a job is shown."""

from collections.abc import Mapping
from typing import Any

from shopfloor.trade.route import SERVICES
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

STAGES = {
    "intake": gettext_noop("Take in"),
    "measure": gettext_noop("Measure"),
    "strip": gettext_noop("Strip"),
    "clean": gettext_noop("Clean"),
    "inspect": gettext_noop("Inspect"),
    "bearings": gettext_noop("Bearings"),
    "wheels": gettext_noop("Wheels"),
    "assemble": gettext_noop("Assemble"),
    "drive": gettext_noop("Drive"),
    "brakes": gettext_noop("Brakes"),
    "shift": gettext_noop("Shifting"),
    "final": gettext_noop("Final check"),
    "handover": gettext_noop("Hand over"),
}


def stage_in_words(stage: str | None) -> str:
    """A stage's title; a stage of a later version under its own name."""
    return _(STAGES.get(stage, stage.capitalize())) if stage else ""


def service_in_words(service: str) -> str:
    return _(SERVICES.get(service, service))


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
    by_mark = _(", as marked") if ask.get("marked") else ""
    if rule["type"] == "band":
        return _("{min} to {max}{last}{by_mark}").format(
            min=number(rule["min"]), max=number(rule["max"]), last=last, by_mark=by_mark
        )
    lead = _("at least") if rule["type"] == "minimum" else _("below")
    return f"{lead} {number(rule['renew'])}{last}{by_mark}"


_SAID = {
    gettext_noop("found"),
    gettext_noop("left"),
    gettext_noop("before"),
    gettext_noop("after"),
    gettext_noop("yes"),
    gettext_noop("no"),
    gettext_noop("withdrawn"),
    gettext_noop("done"),
    gettext_noop("open"),
    gettext_noop("not needed"),
    gettext_noop("agreed"),
    gettext_noop("not agreed"),
}


def said(value: object) -> str:
    """A phase, an outcome or a decision, which the data names by an English word."""
    word = str(value).replace("-", " ")
    return _(word) if word in _SAID else word
