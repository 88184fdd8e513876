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

from shopfloor.jobs.words import limit_in_words, number, said
from shopfloor.journal.bodies import is_readable
from shopfloor.words import day_and_month, gettext_noop, ngettext, weekday
from shopfloor.words import gettext as _
from shopfloor.workshop.templatetags.money import money

NOBODY = gettext_noop("somebody who has left")


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
        return _("The desk") if person_id == self.desk else self.people.get(person_id, _(NOBODY))

    def step(self, key: object) -> str:
        return self.steps.get(str(key), str(key).replace("_", " "))

    def ask(self, body: Mapping[str, Any]) -> str:
        known = self.asks.get((str(body.get("step")), str(body.get("item"))), {})
        return str(known.get("label") or str(body.get("item", "")).replace("-", " "))

    def finding(self, finding_id: object) -> str:
        return self.findings.get(str(finding_id), _("a finding"))


def amount(body: Mapping[str, Any]) -> str:
    """A reading with its unit, or the word for one that could not be turned."""
    if body.get("loose"):
        return _("loose")
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
    return f"{weekday(local)[:3]} {day_and_month(local)}, {local:%H:%M}"


def sentence(kind: str, body: Mapping[str, Any], names: Names) -> str:
    """What an entry says, for somebody who was not there."""
    if body.get("redacted") is True:
        return _("Blanked on request.")
    words = _SENTENCES.get(kind)
    if words is None:
        return _("An entry of a kind this version does not know: {kind}.").format(kind=kind)
    if not is_readable(kind, body):
        return _("An entry that cannot be read; it counts for nothing in the job.")
    return words(body, names)


def _tick(body: Mapping[str, Any], names: Names) -> str:
    outcome = {"done": _("done"), "open": _("open again"), "not-needed": _("not needed")}
    told = outcome.get(str(body.get("outcome")), str(body.get("outcome")))
    return f"{names.step(body.get('step'))}: {told}{_because(body)}."


def _because(body: Mapping[str, Any]) -> str:
    return _(", because {reason}").format(reason=body["reason"]) if body.get("reason") else ""


def _reading(body: Mapping[str, Any], names: Names) -> str:
    tool = names.instruments.get(str(body.get("instrument")), "")
    used = _(", with {tool}").format(tool=tool) if tool else ""
    return f"{names.ask(body)}, {said(body.get('phase'))}: {amount(body)}{used}."


def _choice(body: Mapping[str, Any], names: Names) -> str:
    ask = names.asks.get((str(body.get("step")), str(body.get("item"))), {})
    return f"{names.ask(body)}, {said(body.get('phase'))}: {choice(ask, body.get('value'))}."


def _photo(body: Mapping[str, Any], names: Names) -> str:
    caption = f": {body['caption']}" if body.get("caption") else ""
    step = _(" at “{step}”").format(step=names.step(body["step"])) if body.get("step") else ""
    return _("Photo{step}{caption}.").format(step=step, caption=caption)


def _hands_off(body: Mapping[str, Any], names: Names) -> str:
    """Said when it happened, or later with the time somebody remembers."""
    if body.get("until"):
        return _("Hands off, at {moment}.").format(moment=moment(body["until"]))
    return _("Hands off.")


def _finding(body: Mapping[str, Any], names: Names) -> str:
    parts = ", ".join(str(part.get("name")) for part in body.get("parts") or ())
    minutes = int(body.get("minutes") or 0)
    told = ngettext("{n} minute", "{n} minutes", minutes).format(n=minutes)
    told += f", {parts}" if parts else ""
    return _("Found: {title}. {reason} ({told}).").format(
        title=body.get("title"), reason=body.get("reason"), told=told
    )


def _check(body: Mapping[str, Any], names: Names) -> str:
    agreed = _("agreed") if body.get("outcome") == "agreed" else _("not agreed")
    return _("Second check, {step}: {agreed}{text}.").format(
        step=names.step(body.get("step")), agreed=agreed, text=_text(body)
    )


def _text(body: Mapping[str, Any]) -> str:
    return f", {body['text']}" if body.get("text") else ""


def _opened(body: Mapping[str, Any], names: Names) -> str:
    limit_words = money(int(body.get("go_ahead_minor") or 0), names.currency)
    return _("Taken in as {number}; {limit_words} may be spent without asking.").format(
        number=body.get("number"), limit_words=limit_words
    )


def _asked(body: Mapping[str, Any], names: Names) -> str:
    titles = ", ".join(names.finding(one) for one in body.get("findings") or ())
    start = (
        _("Within the agreed limit, done without asking")
        if body.get("told")
        else _("Asked the customer")
    )
    return f"{start}: {titles}."


def _answer(body: Mapping[str, Any], names: Names) -> str:
    lines: Sequence[Mapping[str, Any]] = body.get("lines") or ()
    answers = "; ".join(
        f"{line.get('title') or names.finding(line.get('finding'))}: {said(line.get('decision'))}"
        for line in lines
    )
    return _("Answered ({how}): {said}.").format(
        how=channel(str(body.get("channel"))), said=answers
    )


_CHANNELS = {
    "link": gettext_noop("by the link"),
    "telephone": gettext_noop("by telephone"),
    "counter": gettext_noop("at the counter"),
    "go-ahead": gettext_noop("within the agreed limit"),
}


def channel(name: str) -> str:
    """How an answer came."""
    return _(_CHANNELS.get(name, name))


def _released(body: Mapping[str, Any], names: Names) -> str:
    if body.get("mode") == "not-to-ride":
        return _("Handed back NOT to be ridden: {reason}").format(reason=body.get("reason"))
    return _("Released: safe to ride.")


_SENTENCES: Mapping[str, Callable[[Mapping[str, Any], Names], str]] = {
    "tick": _tick,
    "choice": _choice,
    "reading": _reading,
    "photo": _photo,
    "note": lambda body, names: _("Note: {text}").format(text=body.get("text")),
    "finding": _finding,
    "hands-on": lambda body, names: _("Hands on."),
    "hands-off": _hands_off,
    "check": _check,
    "void": lambda body, names: _("Took an own entry back{because}.").format(
        because=_because(body)
    ),
    "opened": _opened,
    "asked": _asked,
    "answer": _answer,
    "withdrawn": lambda body, names: _("Taken back: {reason}.").format(
        reason=body.get("reason") or _("no longer true")
    ),
    "route-added": lambda body, names: _("Added to the steps: {title}.").format(
        title=body.get("title")
    ),
    "parts-in": lambda body, names: _("Parts are in for: {finding}.").format(
        finding=names.finding(body.get("finding"))
    ),
    "promise": lambda body, names: _("Promised for {moment}. {why}").format(
        moment=moment(body.get("ready_at")), why=body.get("why") or ""
    ),
    "released": _released,
    "collected": lambda body, names: _("Collected."),
    "cancelled": lambda body, names: _("Cancelled: {reason}.").format(reason=body.get("reason")),
    "redacted": lambda body, names: _("Blanked an entry on request."),
}
