"""Runs inside the shop's own Python: jobs and journals by the thousand, stored as a sync would."""

import copy
import itertools
import random
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import uuid6
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.routes import route_sha
from shopfloor.jobs.services import desk_of, store
from shopfloor.journal.entry import Entry, parse_entry
from shopfloor.workshop import enrolment
from shopfloor.workshop.models import Device, Person, Workshop
from tests.bench.entries import NOTES, make_entries

PERSON = "mira"


@dataclass
class Writer:
    """Numbers entries under one device."""

    device: Device
    by: str

    def write(self, job: Job, kind: str, body: dict[str, Any], at: datetime, *before: str) -> Entry:
        """`before` are the ids of what it replaces."""
        self.device.last_n += 1
        entry = {"v": 1, "id": str(uuid6.uuid7()), "job": str(job.pk), "kind": kind}
        entry |= {"device": str(self.device.pk), "n": self.device.last_n, "by": self.by}
        entry |= {"at": at.isoformat(timespec="milliseconds").replace("+00:00", "Z")}
        return parse_entry(entry | {"body": body, "supersedes": list(before)})


def add_jobs(count: int, *, each: int = 0, over: bool = False) -> list[list[Any]]:
    """
    Open jobs of the demo again under new numbers, with so many entries of the bench in each;
    `over`: all were collected since. Returns pairs of a job's id and the keys of its steps.
    """
    at, shop = timezone.now(), Workshop.objects.get()
    models = list(Job.objects.of(shop).open().order_by("number"))
    opened = StoredEntry.objects.filter(job__in=models, kind="opened")
    begun = {entry.job_id: entry.wire["body"] for entry in opened}
    chosen = list(itertools.islice(itertools.cycle(models), count))
    jobs = [_again(model, n, over=over) for n, model in enumerate(chosen, 1)]
    pairs = [[str(job.pk), [step["key"] for step in job.route]] for job in jobs]
    phone = _phone(at)
    # Another seed each time: ids are made of it.
    work = make_entries(
        device=str(phone.device.pk),
        person=phone.by,
        jobs=pairs,
        count=count * each,
        each=each,
        seed=shop.last_seq,
    )
    with transaction.atomic():
        Job.objects.bulk_create(jobs)
        Workshop.objects.filter(pk=shop.pk).update(last_job_number=F("last_job_number") + count)
        desk = Writer(desk_of(shop, at=at), phone.by)
        entries = []
        for place, (model, job) in enumerate(zip(chosen, jobs, strict=True)):
            entries.append(desk.write(job, "opened", begun[model.pk], job.opened_at))
            entries += map(parse_entry, work[place * each : (place + 1) * each])
            if over:
                entries.append(desk.write(job, "collected", {}, at))
        desk.device.save(update_fields=["last_n"])
        store(workshop=shop, entries=entries, at=at)
        if over:
            ids = {job.pk for job in jobs}
            Job.objects.filter(pk__in=ids).update(folded_seq=F("changed_seq"))
    return pairs


def _phone(at: datetime) -> Writer:
    person = Person.objects.get(username=PERSON)
    device, _token = enrolment.enrol_own(person=person, name="Figures", at=at)
    return Writer(device, str(person.pk))


def _again(model: Job, more: int, *, over: bool) -> Job:
    job = copy.copy(model)
    job._state = copy.copy(model._state)
    job.pk, job.number = uuid.uuid4(), model.workshop.last_job_number + more
    if over:
        job.place, job.collected_at = "collected", model.opened_at
    return job


def add_long_job(*, steps: int, count: int) -> str:
    """
    A new open job of `steps` steps, more than any bike has, gets a journal of `count` entries:
    every step ticked, every ask answered, all of it corrected again and again. Returns its id.
    """
    at, shop = timezone.now(), Workshop.objects.get()
    model = max(Job.objects.of(shop).open(), key=lambda one: len(one.route))
    job = _again(model, 1, over=False)
    job.route = _longer(model.route, steps)
    job.route_sha = route_sha(job.route)
    phone, begun = _phone(at), StoredEntry.objects.get(job=model, kind="opened").wire["body"]
    with transaction.atomic():
        job.save(force_insert=True)
        Workshop.objects.filter(pk=shop.pk).update(last_job_number=job.number)
        desk = Writer(desk_of(shop, at=at), phone.by)
        opened = desk.write(job, "opened", begun, job.opened_at)
        desk.device.save(update_fields=["last_n"])
        writing = _corrections(phone, job, at - timedelta(days=2))
        entries = [opened, *itertools.islice(writing, count - 1)]
        phone.device.save(update_fields=["last_n"])
        store(workshop=shop, entries=entries, at=at)
    return str(job.pk)


def _longer(route: list[dict[str, Any]], count: int) -> list[dict[str, Any]]:
    """The last steps of it once more under other keys."""
    more = route[len(route) - (count - len(route)) :]
    return route + [{**step, "key": f"{step['key']}_again", "after": []} for step in more]


def _corrections(phone: Writer, job: Job, at: datetime) -> Iterator[Entry]:
    dice, last = random.Random(1), dict[str, str]()
    for turn in itertools.count():
        for kind, body in _all_work(job, dice, turn):
            at += timedelta(seconds=dice.uniform(5, 90))
            place = f"{kind} {body.get('step')} {body.get('item')} {body.get('phase')}"
            before = [last[place]] if place in last and kind != "note" else []
            entry = phone.write(job, kind, body, at, *before)
            last[place] = entry.id
            yield entry


def _all_work(job: Job, dice: random.Random, turn: int) -> Iterator[tuple[str, dict[str, Any]]]:
    for step in job.route:
        asks = [(ask, phase) for ask in step["asks"] for phase in ask["phases"]]
        for ask, phase in asks:
            place = {"step": step["key"], "item": ask["item"], "phase": phase}
            if ask["kind"] == "choice":
                yield "choice", place | {"value": dice.choice(ask["choices"])["value"]}
            elif ask["kind"] != "photo":
                low, high = ask["scale"]
                yield (
                    "reading",
                    place | {"value": round(dice.uniform(low, high), 1), "unit": ask["unit"]},
                )
        if not asks and step["kind"] == "work" and dice.random() < 0.5:
            yield "tick", {"step": step["key"], "outcome": "done" if turn % 2 == 0 else "open"}
        if dice.random() < 0.08:
            yield "note", {"text": dice.choice(NOTES), "step": step["key"]}
