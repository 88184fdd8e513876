"""
How does the desk say an entry, a number and a limit?

Values in, sentences out. Names come in as maps, because an entry only knows ids; times are told
in the zone that is active.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.utils.dateparse import parse_datetime
from django.utils.timezone import localtime

from shopfloor.jobs.words import limit_in_words, number
from shopfloor.journal.bodies import is_readable
from shopfloor.workshop.templatetags.money import money

NOBODY = "somebody who has left"


@dataclass(frozen=True)
class Names:
    """What ids and keys are called on this job."""

    people: Mapping[str, str]
    desk: str
    steps: Mapping[str, str]
    asks: Mapping[tuple[str, str], Mapping[str, Any]]
    findings: Mapping[str, str]
    currency: str
    instruments: Mapping[str, str] = field(default_factory=dict)

    def person(self, person_id: str) -> str:
        return "The desk" if person_id == self.desk else self.people.get(person_id, NOBODY)

    def step(self, key: object) -> str:
        return self.steps.get(str(key), str(key).replace("_", " "))

    def ask(self, body: Mapping[str, Any]) -> str:
        known = self.asks.get((str(body.get("step")), str(body.get("item"))), {})
        return str(known.get("label") or str(body.get("item", "")).replace("-", " "))

    def finding(self, finding_id: object) -> str:
        return self.findings.get(str(finding_id), "a finding")


def amount(body: Mapping[str, Any]) -> str:
    """A reading with its unit, or the word for one that could not be turned."""
    if body.get("loose"):
        return "loose"
    value = body.get("value")
    return "" if value is None else f"{number(float(value))} {body.get('unit', '')}".strip()


def choice(ask: Mapping[str, Any], value: object) -> str:
    """What a choice was called when it was made."""
    labels = {one["value"]: one["label"] for one in ask.get("choices") or ()}
    return str(labels.get(value, value))


def limit(ask: Mapping[str, Any]) -> str:
    """The rule of an ask in a few words; without one, the mark on the part decides."""
    return limit_in_words(ask) or str(ask.get("mark") or "")


def moment(text: object) -> str:
    """An instant of the journal as the shop's clock shows it."""
    found = parse_datetime(str(text)) if text else None
    return day_and_time(found) if found else ""


def day_and_time(at: datetime) -> str:
    """Thu 26 November, 16:00, in the zone that is active."""
    local = localtime(at)
    return f"{local:%a} {local.day} {local:%B, %H:%M}"


def sentence(kind: str, body: Mapping[str, Any], names: Names) -> str:
    """What an entry says, for somebody who was not there."""
    if body.get("redacted") is True:
        return "Blanked on request."
    words = _SENTENCES.get(kind)
    if words is None:
        return f"An entry of a kind this version does not know: {kind}."
    if not is_readable(kind, body):
        return "An entry that cannot be read; it counts for nothing in the job."
    return words(body, names)


def _tick(body: Mapping[str, Any], names: Names) -> str:
    outcome = {"done": "done", "open": "open again", "not-needed": "not needed"}
    said = outcome.get(str(body.get("outcome")), str(body.get("outcome")))
    return f"{names.step(body.get('step'))}: {said}{_because(body)}."


def _because(body: Mapping[str, Any]) -> str:
    return f", because {body['reason']}" if body.get("reason") else ""


def _reading(body: Mapping[str, Any], names: Names) -> str:
    tool = names.instruments.get(str(body.get("instrument")), "")
    used = f", with {tool}" if tool else ""
    return f"{names.ask(body)}, {body.get('phase')}: {amount(body)}{used}."


def _choice(body: Mapping[str, Any], names: Names) -> str:
    ask = names.asks.get((str(body.get("step")), str(body.get("item"))), {})
    return f"{names.ask(body)}, {body.get('phase')}: {choice(ask, body.get('value'))}."


def _photo(body: Mapping[str, Any], names: Names) -> str:
    caption = f": {body['caption']}" if body.get("caption") else ""
    step = f" at “{names.step(body['step'])}”" if body.get("step") else ""
    return f"Photo{step}{caption}."


def _finding(body: Mapping[str, Any], names: Names) -> str:
    parts = ", ".join(str(part.get("name")) for part in body.get("parts") or ())
    told = f"{body.get('minutes')} minutes" + (f", {parts}" if parts else "")
    return f"Found: {body.get('title')}. {body.get('reason')} ({told})."


def _check(body: Mapping[str, Any], names: Names) -> str:
    agreed = "agreed" if body.get("outcome") == "agreed" else "not agreed"
    return f"Second check, {names.step(body.get('step'))}: {agreed}{_text(body)}."


def _text(body: Mapping[str, Any]) -> str:
    return f", {body['text']}" if body.get("text") else ""


def _opened(body: Mapping[str, Any], names: Names) -> str:
    limit_words = money(int(body.get("go_ahead_minor") or 0), names.currency)
    return f"Taken in as {body.get('number')}; {limit_words} may be spent without asking."


def _asked(body: Mapping[str, Any], names: Names) -> str:
    titles = ", ".join(names.finding(one) for one in body.get("findings") or ())
    start = (
        "Within the agreed limit, done without asking" if body.get("told") else "Asked the customer"
    )
    return f"{start}: {titles}."


def _answer(body: Mapping[str, Any], names: Names) -> str:
    lines: Sequence[Mapping[str, Any]] = body.get("lines") or ()
    said = "; ".join(
        f"{line.get('title') or names.finding(line.get('finding'))}: {line.get('decision')}"
        for line in lines
    )
    return f"Answered ({_CHANNELS.get(str(body.get('channel')), body.get('channel'))}): {said}."


_CHANNELS = {
    "link": "by the link",
    "telephone": "by telephone",
    "counter": "at the counter",
    "go-ahead": "within the agreed limit",
}


def channel(name: str) -> str:
    """How an answer came."""
    return _CHANNELS.get(name, name)


def _released(body: Mapping[str, Any], names: Names) -> str:
    if body.get("mode") == "not-to-ride":
        return f"Handed back NOT to be ridden: {body.get('reason')}"
    return "Released: safe to ride."


_SENTENCES: Mapping[str, Callable[[Mapping[str, Any], Names], str]] = {
    "tick": _tick,
    "choice": _choice,
    "reading": _reading,
    "photo": _photo,
    "note": lambda body, names: f"Note: {body.get('text')}",
    "finding": _finding,
    "hands-on": lambda body, names: "Hands on.",
    "hands-off": lambda body, names: "Hands off.",
    "check": _check,
    "void": lambda body, names: f"Took an own entry back{_because(body)}.",
    "opened": _opened,
    "asked": _asked,
    "answer": _answer,
    "withdrawn": lambda body, names: f"Taken back: {body.get('reason') or 'no longer true'}.",
    "route-added": lambda body, names: f"Added to the steps: {body.get('title')}.",
    "parts-in": lambda body, names: f"Parts are in for: {names.finding(body.get('finding'))}.",
    "promise": lambda body, names: (
        f"Promised for {moment(body.get('ready_at'))}. {body.get('why') or ''}"
    ),
    "released": _released,
    "collected": lambda body, names: "Collected.",
    "cancelled": lambda body, names: f"Cancelled: {body.get('reason')}.",
    "redacted": lambda body, names: "Blanked an entry on request.",
}
