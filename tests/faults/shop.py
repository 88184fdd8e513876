"""The database of one run: made anew for each seed, copied, put back, and read at the end."""

import io
import shutil
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.db import connection

from shopfloor.jobs.folding import fold_changed
from shopfloor.jobs.models import Job, Photo, StoredEntry
from shopfloor.jobs.queries import missing_entries, state_of
from shopfloor.jobs.routes import route_sha
from shopfloor.sync.models import RefusedEntry
from shopfloor.workshop.instruments import add_instrument
from shopfloor.workshop.models import Person, Workshop
from tests.factories import make_person, make_workshop, take_in
from tests.routes import make_step, pad_ask

JOBS = (1, 2)
DEVICE_FIELDS = ("id", "kind", "last_n", "refused_ns", "written_off_at")
TORQUE = {
    "item": "stem",
    "kind": "torque",
    "label": "Stem faceplate",
    "unit": "N·m",
    "rule": {"type": "band", "min": 4, "max": 6},
    "scale": [0, 10],
    "required": ["left"],
}
FEEL = {
    "item": "headset",
    "kind": "choice",
    "label": "Headset",
    "unit": None,
    "rule": None,
    "scale": None,
    "choices": [
        {"value": "smooth", "label": "Smooth", "verdict": "sound"},
        {"value": "notchy", "label": "Notchy", "verdict": "renew"},
    ],
}


def route() -> list[dict[str, Any]]:
    """Short, with one step of each sort."""
    return [
        make_step("identify"),
        make_step("wash", stage="clean"),
        make_step("measure_brakes", stage="measure", safety=True, asks=[pad_ask()]),
        make_step("measure_bearings", stage="measure", asks=[pad_ask(**FEEL)]),
        make_step("bolt_stem", stage="assemble", safety=True, asks=[pad_ask(**TORQUE)]),
        make_step("final_check", stage="final", safety=True),
        make_step("second_look", stage="final", kind="check", checks=["final_check"]),
        make_step("release", stage="handover", kind="release"),
    ]


@dataclass
class Copy:
    """A backup: the database and the photos of one moment."""

    database: sqlite3.Connection
    photos: Path


class Shop:
    """Two workshops that must never hear of each other."""

    def __init__(self, file: Path) -> None:
        empty = sqlite3.connect(file)
        connection.ensure_connection()
        self._opened: dict[int, tuple[sqlite3.Connection, dict[str, Any]]] = {}
        for jobs in JOBS:
            empty.backup(connection.connection)
            facts = _open_both(jobs)
            self._opened[jobs] = (self._copied(), facts)
        self._backup: Copy | None = None

    def _copied(self) -> sqlite3.Connection:
        copy = sqlite3.connect(":memory:")
        connection.connection.backup(copy)
        return copy

    def open(self, jobs: int) -> dict[str, Any]:
        """A fresh start: shops, people and jobs, and nothing else."""
        database, facts = self._opened[jobs]
        database.backup(connection.connection)
        shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)
        self._backup = None
        return facts

    def back_up(self) -> None:
        """Keep everything as it is now."""
        photos = settings.MEDIA_ROOT.with_name("backup")
        shutil.rmtree(photos, ignore_errors=True)
        if settings.MEDIA_ROOT.exists():
            shutil.copytree(settings.MEDIA_ROOT, photos)
        self._backup = Copy(self._copied(), photos)

    def restore(self) -> bool:
        """As the handbook says: the backup back in place, then a new epoch."""
        if self._backup is None:
            return False
        self._backup.database.backup(connection.connection)
        shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)
        if self._backup.photos.exists():
            shutil.copytree(self._backup.photos, settings.MEDIA_ROOT)
        call_command("new_epoch", stdout=io.StringIO())
        return True


def _open_both(jobs: int) -> dict[str, Any]:
    ours = _open_workshop("The Repair Room", ["otto", "mira", "ivo"], jobs)
    theirs = _open_workshop("The Other Room", ["sam"], 1)
    return {"shops": [ours, theirs]}


def _open_workshop(name: str, usernames: list[str], jobs: int) -> dict[str, Any]:
    workshop = make_workshop(name=name)
    people = [
        make_person(workshop=workshop, username=username, role="mechanic" if number else "manager")
        for number, username in enumerate(usernames)
    ]
    add_instrument(workshop=workshop, name="Wrench 2-25", kind="torque", unit="N·m", class_pct=4.0)
    made = [_job(people[0], f"07700 9001{number:02}") for number in range(jobs)]
    return {
        "id": str(workshop.id),
        "people": {person.username: str(person.id) for person in people},
        "jobs": [str(job.id) for job in made],
    }


def _job(manager: Person, phone: str) -> Job:
    """Opened as the desk does it, but with little to do."""
    job = take_in(by=manager, phone=phone)
    steps = route()
    Job.objects.filter(pk=job.pk).update(route=steps, route_sha=route_sha(steps))
    return job


def standing() -> dict[str, Any]:
    """How far each workshop has counted, by its id, and in which epoch."""
    return {
        str(row["id"]): {"epoch": str(row["epoch"]), "last_seq": row["last_seq"]}
        for row in Workshop.objects.values("id", "epoch", "last_seq")
    }


def picture() -> dict[str, Any]:
    """Everything the server has, as plain data, with every job folded as a reader finds it."""
    fold_changed()
    return {
        "shops": [_shop_picture(workshop) for workshop in Workshop.objects.order_by("name")],
        "strays": StoredEntry.objects.exclude(workshop_id=_field("job__workshop_id")).count()
        + StoredEntry.objects.exclude(workshop_id=_field("device__workshop_id")).count(),
    }


def _field(name: str) -> Any:
    from django.db.models import F

    return F(name)


def _shop_picture(workshop: Workshop) -> dict[str, Any]:
    rows = StoredEntry.objects.filter(workshop=workshop).order_by("seq")
    jobs = list(Job.objects.filter(workshop=workshop).select_related("bike").order_by("number"))
    refused = RefusedEntry.objects.filter(device__workshop=workshop)
    photos = Photo.objects.filter(workshop=workshop)
    return {
        "id": str(workshop.id),
        "epoch": str(workshop.epoch),
        "last_seq": workshop.last_seq,
        "entries": list(rows.values("seq", "wire", "device_id", "n", "job_id")),
        "jobs": {str(job.id): _job_picture(job) for job in jobs},
        "refused": list(refused.values_list("entry_id", flat=True)),
        "devices": list(workshop.devices.values(*DEVICE_FIELDS)),
        "photos": {
            photo.sha256: [photo.width, photo.height]
            for photo in photos
            if (settings.MEDIA_ROOT / photo.file).exists()
        },
    }


def _job_picture(job: Job) -> dict[str, Any]:
    state = state_of(job)
    return {
        "state": state,
        "place": job.place,
        "bike": job.bike.words,
        "openings": job.entries.filter(kind="opened").count(),
        "missing": {one["device"]: one["ns"] for one in missing_entries(job)},
    }
