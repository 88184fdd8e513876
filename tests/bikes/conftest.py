"""Jana's bike over the years: several visits, each with its readings."""

import json
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from shopfloor.workshop.templatetags import assets
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone
from tests.routes import make_step, pad_ask

CHAIN = pad_ask(
    item="chain",
    label="Chain, longer than new",
    unit="%",
    rule={"type": "maximum", "renew": 0.75, "watch": 0.5},
    also={"unit": "mm", "pitches": 24},
)
STEM = pad_ask(
    item="stem",
    kind="torque",
    label="Stem faceplate bolts",
    unit="N·m",
    rule={"type": "band", "min": 4, "max": 6},
)
ROUTE = [
    make_step("measure", asks=[pad_ask(), CHAIN]),
    make_step("new_pads", asks=[pad_ask(clears={"step": "measure", "item": "front-pad"})]),
    make_step("torque", asks=[STEM]),
]


@dataclass
class Past:
    """A shop that has known one bike for some time."""

    otto: Person
    phone: Phone
    first: Job

    def visit(self, days: int, *readings: dict[str, Any]) -> Job:
        """One more visit so many days after the first, with these readings taken at noon."""
        at = NOON + timedelta(days=days)
        job = self.first
        if days:
            job = make_job(workshop=self.otto.workshop, route=ROUTE, opened_at=at)
            Job.objects.filter(pk=job.pk).update(bike=self.first.bike, customer=self.first.customer)
            job = Job.objects.get(pk=job.pk)
        for body in readings:
            written = {"phase": "found", "unit": "mm"} | body
            self.phone.write(job, "reading", written, at=at.isoformat().replace("+00:00", "Z"))
        self.phone.sync()
        return Job.objects.get(pk=job.pk)


def chain(mm: float) -> dict[str, Any]:
    """Read with a ruler over 24 half links."""
    return {"step": "measure", "item": "chain", "value": mm}


def stem(**body: Any) -> dict[str, Any]:
    """The stem's bolts as found, unless told otherwise."""
    return {"step": "torque", "item": "stem", "value": None, "unit": "N·m"} | body


@pytest.fixture
def past(db: None) -> Past:
    shop = make_workshop()
    mira = make_person(workshop=shop, username="mira", role="mechanic")
    otto = make_person(workshop=shop)
    return Past(otto, enrol_phone(person=mira), make_job(workshop=shop, route=ROUTE))


@pytest.fixture
def desk_of_otto(past: Past, client: Any, tmp_path: Any, monkeypatch: Any) -> Any:
    """A browser in which Otto is signed in, without a build of the front-end."""
    names = ("shopfloor.css", "app.svg", "desk.js", "manifest.webmanifest", "glyphs.svg")
    manifest = tmp_path / "manifest.json"
    manifest.write_text(json.dumps({name: f"bench/{name}" for name in names}))
    monkeypatch.setattr(assets, "MANIFEST", manifest)
    client.force_login(past.otto)
    return client
