"""Jana's disc-braked e-bike: measured, tightened, one thing agreed, one thing declined."""

import io
import json
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import pytest
from PIL import Image

from shopfloor.approvals import answering
from shopfloor.approvals import services as approvals
from shopfloor.approvals.services import Wanted
from shopfloor.jobs import photos
from shopfloor.jobs.models import Job
from shopfloor.outbox import services as outbox
from shopfloor.workshop.models import Instrument, Person
from shopfloor.workshop.templatetags import assets
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone
from tests.routes import make_step, pad_ask, short_route


def ask_of(kind: str, item: str, label: str, **facts: Any) -> dict[str, Any]:
    """An ask that may be answered in both phases and needs neither."""
    return pad_ask(item=item, kind=kind, label=label, required=[], rule=None, scale=None) | facts


STEM = ask_of(
    "torque",
    "stem-faceplate",
    "Stem faceplate bolts",
    unit="N·m",
    rule={"type": "band", "min": 4, "max": 6},
    scale=[0, 9],
    mark="The value marked on the part comes first.",
)
AXLE = ask_of(
    "torque",
    "rear-axle",
    "Rear axle nuts",
    unit="N·m",
    rule={"type": "band", "min": 30, "max": 40},
    scale=[0, 60],
)
CHAIN = ask_of(
    "reading",
    "chain",
    "Chain, longer than new",
    unit="%",
    rule={"type": "maximum", "renew": 0.75, "watch": 0.5},
    scale=[0, 1.2],
    also={"unit": "mm", "pitches": 24},
)
TYRE = ask_of(
    "choice",
    "rear-tyre",
    "Rear tyre",
    choices=[
        {"value": "good", "label": "even, no cuts", "verdict": "sound"},
        {"value": "cracked", "label": "cracked side wall", "verdict": "watch"},
    ],
)


@dataclass
class Bench:
    """Everybody and everything a sheet needs."""

    job: Job
    otto: Person
    phone: Phone
    other: Phone
    wrench: Instrument

    def read(self, step: str, item: str, phase: str, value: Any, unit: str, **more: Any) -> None:
        """One reading from Mira's phone."""
        place = {"step": step, "item": item, "phase": phase}
        self.phone.write(self.job, "reading", place | {"value": value, "unit": unit} | more)

    def send(self) -> None:
        """Everything kept on the phones reaches the server."""
        for phone in (self.phone, self.other):
            phone.sync()
        self.job.refresh_from_db()

    def photograph(self, phase: str, caption: str, size: tuple[int, int] = (320, 240)) -> str:
        """A picture that has arrived; answers its name."""
        buffer = io.BytesIO()
        Image.new("RGB", size, (80, 100, 90)).save(buffer, "PNG")
        data = buffer.getvalue() + caption.encode()
        name = sha256(data).hexdigest()
        photos.store_photo(workshop=self.job.workshop, name=name, data=data, at=NOON)
        body = {"sha256": name, "mime": "image/png", "width": 320, "height": 240}
        self.phone.write(self.job, "photo", body | {"phase": phase, "caption": caption})
        return name

    def answer(
        self, title: str, decision: str, *, safety: bool, minutes: int = 20, **more: Any
    ) -> None:
        """A finding that was offered and decided, or done within the limit that was agreed."""
        body = {"title": title, "reason": f"{title} is worn out.", "minutes": minutes}
        body["safety"] = safety
        entry = self.phone.write(self.job, "finding", body | {"parts": []} | more)
        self.send()
        wanted = Wanted(
            finding=entry["id"],
            title=title,
            reason=body["reason"],
            minutes=minutes,
            parts=more.get("parts", []),
            safety=safety,
        )
        offer = approvals.make_offer(job=self.job, wanted=[wanted], by=self.otto, at=NOON)
        if offer.told:
            self.job.refresh_from_db()
            return
        line = offer.lines.get()
        answering.answer_offer(
            offer=offer,
            version=offer.version,
            decisions={str(line.id): decision},
            channel="telephone",
            words="Jana",
            at=NOON,
        )
        self.job.refresh_from_db()


@pytest.fixture
def bench(db: None) -> Bench:
    shop = make_workshop(phone="01632 960120")
    route = short_route()
    route[1]["asks"] += [CHAIN, TYRE]
    route.insert(2, make_step("torque_run", stage="final", safety=True, asks=[STEM, AXLE]))
    job = make_job(workshop=shop, route=route)
    job.bike.traits = {"kind": "ebike", "brakes": "disc"}
    job.bike.save()
    mira = make_person(workshop=shop, username="mira", role="mechanic")
    wrench = Instrument.objects.create(
        workshop=shop, name="Torque wrench 2 to 24", kind="torque", unit="N·m"
    )
    return Bench(
        job=job,
        otto=make_person(workshop=shop),
        phone=enrol_phone(person=mira),
        other=enrol_phone(
            person=make_person(workshop=shop, username="lene", role="mechanic"), name="Tablet"
        ),
        wrench=wrench,
    )


@pytest.fixture
def measured(bench: Bench) -> Bench:
    """The bench after a morning's measuring."""
    bench.read("measure_brakes", "front-pad", "found", 0.4, "mm")
    bench.read("measure_brakes", "front-pad", "left", 3.1, "mm")
    bench.read("measure_brakes", "chain", "found", 306.6, "mm")
    bench.read("torque_run", "stem-faceplate", "found", None, "N·m", loose=True)
    bench.read("torque_run", "stem-faceplate", "left", 5.5, "N·m", instrument=str(bench.wrench.id))
    bench.read("torque_run", "rear-axle", "left", 310, "lbf·in")
    place = {"step": "measure_brakes", "item": "rear-tyre", "phase": "found"}
    bench.phone.write(bench.job, "choice", place | {"value": "cracked"})
    bench.send()
    return bench


@pytest.fixture
def _built(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages can be drawn without a build of the front-end."""
    names = ("shopfloor.css", "app.svg", "desk.js", "manifest.webmanifest")
    manifest = tmp_path / "manifest.json"
    manifest.write_text(json.dumps({name: f"bench/{name}" for name in names}))
    monkeypatch.setattr(assets, "MANIFEST", manifest)


@pytest.fixture
def link(measured: Bench, noon: Iterator[None]) -> str:
    """What Jana was sent."""
    given = outbox.give_link(job=measured.job, purpose="sheet", subject=None, at=NOON, days=730)
    return f"/s/{outbox.token_of(given)}/"
