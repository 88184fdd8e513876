"""A phone of a test: numbers its entries and speaks the wire."""

import gzip
import json
import uuid
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import uuid6
from django.http import HttpResponse
from django.test import Client

from shopfloor.jobs.models import Job
from shopfloor.workshop import enrolment
from shopfloor.workshop.models import Device, Person
from tests.factories import NOON


@dataclass
class Phone:
    """One enrolled device with its token."""

    device: Device
    token: str
    person: Person
    n: int = 0
    cursor: int = 0
    kept: list[dict[str, Any]] = field(default_factory=list)

    def write(
        self, job: Job | uuid.UUID, kind: str, body: dict[str, Any], **facts: Any
    ) -> dict[str, Any]:
        """Keep one entry, to be pushed later."""
        self.n += 1
        entry = {
            "v": 1,
            "id": str(uuid6.uuid7()),
            "job": str(job.id if isinstance(job, Job) else job),
            "kind": kind,
            "device": str(self.device.id),
            "n": self.n,
            "by": str(self.person.id),
            "at": "2026-03-02T10:15:04.123Z",
            "body": body,
            "supersedes": [],
        } | facts
        self.kept.append(entry)
        return entry

    def tick(self, job: Job, step: str, **facts: Any) -> dict[str, Any]:
        """Tick a step."""
        return self.write(job, "tick", {"step": step, "outcome": "done"}, **facts)

    def ask(self, entries: list[Any] | None = None, **facts: Any) -> dict[str, Any]:
        """The body of a sync request with what is kept, or with the given entries."""
        return {
            "device": str(self.device.id),
            "cursor": self.cursor,
            "sent_at": NOON.isoformat(),
            "last_n": self.n,
            "epoch": None,
            "app": "test",
            "entries": self.kept if entries is None else entries,
        } | facts

    def post(self, body: Any, *, token: str | None = None, zipped: bool = True) -> HttpResponse:
        """Send a request as the phone would."""
        raw = body if isinstance(body, bytes) else json.dumps(body).encode()
        headers = {"Authorization": f"Bearer {token or self.token}"}
        if zipped:
            raw, headers["Content-Encoding"] = gzip.compress(raw), "gzip"
        return Client().post("/api/sync", raw, content_type="application/json", headers=headers)

    def sync(self, entries: list[Any] | None = None, **facts: Any) -> dict[str, Any]:
        """One good round trip; moves the cursor."""
        response = self.post(self.ask(entries, **facts))
        assert response.status_code == 200, response.content
        answer: dict[str, Any] = response.json()
        self.cursor = answer["cursor"]
        return answer


def numbers(answer: dict[str, Any]) -> dict[int, int]:
    """The workshop's number of each position that was taken."""
    return {
        run["at"] + step: run["seq"] + step
        for run in answer["taken"]
        for step in range(run["count"])
    }


def enrol_phone(*, person: Person, name: str = "Phone", at: datetime = NOON) -> Phone:
    """Make a phone of this person's known to the workshop."""
    device, token = enrolment.enrol_own(person=person, name=name, at=at)
    return Phone(device=device, token=token, person=person)
