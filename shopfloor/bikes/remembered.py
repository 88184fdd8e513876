"""
What the visits of a bike add up to: how its parts wore, what came loose again, which marks were
read off its parts, and whose it was.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.utils.dateparse import parse_datetime

from shopfloor.bikes.values import in_unit_of
from shopfloor.bikes.visits import Answer, Visit, answers_of
from shopfloor.bikes.wear import Reading, Wear, wear_of
from shopfloor.customers.models import Bike, Customer
from shopfloor.jobs.models import Job
from shopfloor.jobs.words import limit_in_words
from shopfloor.trade.mark import with_mark


@dataclass
class Loose:
    """A fastener that was found loose, and in which of the visits that looked at it."""

    label: str
    loose: list[Job] = field(default_factory=list)
    looked: int = 0

    @property
    def is_again(self) -> bool:
        return len(self.loose) > 1


@dataclass(frozen=True)
class Mark:
    """What was read off a part: `limit` in words, and when and in which job it was noted."""

    item: str
    label: str
    limit: str
    noted_at: datetime
    job: Job


@dataclass
class Owner:
    """Who brought the bike, from which visit to which."""

    customer: Customer
    since: datetime
    until: datetime
    visits: int = 0


def wear_over_time(visits: Iterable[Visit]) -> list[Wear]:
    """Chain, pads, rotors and rims that were measured at least twice, in the order of the route."""
    found: dict[str, tuple[Mapping[str, Any], list[Reading]]] = {}
    for visit in visits:
        for answer in answers_of(visit):
            if _is_wear(answer.ask):
                _add(found, answer)
    return [
        _wear(item, ask, readings) for item, (ask, readings) in found.items() if len(readings) > 1
    ]


def _is_wear(ask: Mapping[str, Any]) -> bool:
    """A value that only ever goes one way: less and less material, or a chain that grows."""
    rule = ask.get("rule") or {}
    return rule.get("type") == "minimum" or (
        rule.get("type") == "maximum" and bool(ask.get("also"))
    )


def _add(found: dict[str, tuple[Mapping[str, Any], list[Reading]]], answer: Answer) -> None:
    ask, body = answer.ask, answer.head["body"]
    value, at = in_unit_of(ask, body), parse_datetime(answer.head["at"])
    if value is None or at is None:
        return
    is_new = bool(ask.get("clears")) and answer.phase == "left"
    reading = Reading(at, value, answer.visit.job.tag, is_new)
    _first, readings = found.get(ask["item"], (ask, []))
    readings.append(reading)
    # The limit of today: another chain may have another one.
    found[ask["item"]] = ({**ask, "label": _first["label"]}, readings)


def _wear(item: str, ask: Mapping[str, Any], readings: Sequence[Reading]) -> Wear:
    return wear_of(
        item=item,
        label=str(ask["label"]),
        unit=str(ask.get("unit") or ""),
        limit=float(ask["rule"]["renew"]),
        falls=ask["rule"]["type"] == "minimum",
        readings=sorted(readings, key=lambda one: one.at),
    )


def found_loose(visits: Iterable[Visit]) -> list[Loose]:
    """Fasteners that were found loose at least once, the most often first."""
    found: dict[str, Loose] = {}
    for visit in visits:
        for answer in answers_of(visit):
            if answer.ask["kind"] != "torque" or answer.phase != "found":
                continue
            row = found.setdefault(answer.ask["item"], Loose(str(answer.ask["label"])))
            row.looked += 1
            if answer.head["body"].get("loose"):
                row.loose.append(visit.job)
    rows = [row for row in found.values() if row.loose]
    return sorted(rows, key=lambda row: -len(row.loose))


def marks_of(visits: Iterable[Visit]) -> list[Mark]:
    """The latest mark that was read off each part, in the order of the route."""
    found: dict[str, Mark] = {}
    for visit in visits:
        for answer in answers_of(visit):
            mark, at = answer.head["body"].get("mark"), parse_datetime(answer.head["at"])
            if mark and at:
                limit = _mark_in_words(answer.ask, mark)
                label, item = str(answer.ask["label"]), str(answer.ask["item"])
                found[item] = Mark(item, label, limit, at, visit.job)
    return list(found.values())


def _mark_in_words(ask: Mapping[str, Any], mark: Mapping[str, Any]) -> str:
    return limit_in_words({**ask, "rule": with_mark(ask.get("rule"), mark)})


def owners_of(bike: Bike, visits: Sequence[Visit]) -> list[Owner]:
    """Whose it was, in order; the last is whose it is now."""
    owners: list[Owner] = []
    for visit in visits:
        job = visit.job
        if not owners or owners[-1].customer.pk != job.customer_id:
            owners.append(Owner(job.customer, job.opened_at, job.opened_at))
        owners[-1].until = job.opened_at
        owners[-1].visits += 1
    if not owners or owners[-1].customer.pk != bike.customer_id:
        last = owners[-1].until if owners else bike.created_at
        owners.append(Owner(bike.customer, last, last))
    return owners
