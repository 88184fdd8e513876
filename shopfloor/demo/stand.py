"""A phone at the demo's stand: writes entries as a mechanic would, through the sync service."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any

import uuid6

from shopfloor.demo.pictures import picture
from shopfloor.jobs.folding import refold
from shopfloor.jobs.models import Job
from shopfloor.jobs.photos import store_photo
from shopfloor.jobs.queries import progress_of, state_of
from shopfloor.journal.again import ids_to_see, list_reopeners
from shopfloor.journal.progress import full_route
from shopfloor.sync.taking import take_entries
from shopfloor.workshop.models import Device, Person

Step = Mapping[str, Any]


@dataclass
class Stand:
    """One phone with its own count of entries; `by` is who works with it."""

    device: Device
    by: Person
    now: datetime
    n: int = 0
    kept: list[dict[str, Any]] = field(default_factory=list)

    def write(self, job: Job, kind: str, body: Mapping[str, Any], at: datetime) -> str:
        """Keep one entry on the phone; `send` hands them over."""
        self.n += 1
        entry = {
            "v": 1,
            "id": str(uuid6.uuid7()),
            "job": str(job.id),
            "kind": kind,
            "device": str(self.device.id),
            "n": self.n,
            "by": str(self.by.id),
            "at": min(at, self.now).isoformat(timespec="milliseconds").replace("+00:00", "Z"),
            "body": dict(body),
            "supersedes": [],
        }
        self.kept.append(entry)
        return str(entry["id"])

    def send(self, at: datetime) -> None:
        """Push everything kept; the demo's entries are never refused."""
        at = min(at, self.now)
        taken = take_entries(device=self.device, raw_entries=self.kept, at=at)
        if taken.refused:
            raise RuntimeError(f"The demo's entries were refused: {taken.refused}")
        refold(job_ids=taken.jobs)
        self.kept.clear()
        self.device.last_n = self.n
        self.device.seen_at = at
        self.device.save(update_fields=["last_n", "seen_at"])

    def photo(self, job: Job, kind: str, at: datetime, **body: Any) -> str:
        """Take one of the demo's drawings."""
        data = picture(kind, dirty=body.get("phase") != "after")
        kept = store_photo(workshop=job.workshop, name=sha256(data).hexdigest(), data=data, at=at)
        self.write(
            job,
            "photo",
            {
                "sha256": kept.sha256,
                "mime": "image/jpeg",
                "width": kept.width,
                "height": kept.height,
                "bytes": len(data),
                **body,
            },
            at,
        )
        return kept.sha256


def walk(stand: Stand, job: Job, *, steps: int, start: datetime) -> datetime:
    """Do the next `steps` open steps of the job in order; answers when the last was done."""
    state = state_of(job)
    done = progress_of(job, state)["steps"]
    todo = [s for s in full_route(job.route, state) if done[s["key"]]["status"] == "open"]
    opened_again = list_reopeners(state)
    at = start
    on = stand.write(job, "hands-on", {}, at)
    for step in [s for s in todo if s["kind"] == "work"][:steps]:
        at += timedelta(minutes=int(step["minutes"]["low"]))
        seen = _seen(stand, job, step["key"], at) if step["key"] in opened_again else {}
        do_step(stand, job, step, at, seen)
    stand.write(job, "hands-off", {"on": on}, at)
    stand.send(at)
    return at


def do_step(
    stand: Stand, job: Job, step: Step, at: datetime, seen: Mapping[str, list[str]]
) -> None:
    """
    Give every required answer of a step, or tick it where it asks nothing.

    seen  what each entry keeps of the work that opens the step again
    """
    asks = [ask for ask in step["asks"] if ask["required"]]
    for ask in asks:
        for phase in ask["required"]:
            place = {"step": step["key"], "item": ask["item"], "phase": phase, **seen}
            _answer(stand, job, place, ask, at)
    if not asks:
        stand.write(job, "tick", {"step": step["key"], "outcome": "done", **seen}, at)


def _seen(stand: Stand, job: Job, step: str, at: datetime) -> dict[str, list[str]]:
    """What stands of the work that opens the step again, sent beforehand so that it is known."""
    stand.send(at)
    return {"seen": ids_to_see(step, state_of(job))}


def _answer(
    stand: Stand, job: Job, place: dict[str, Any], ask: Mapping[str, Any], at: datetime
) -> None:
    if ask["kind"] == "choice":
        best = next((c for c in ask["choices"] if c.get("verdict") == "sound"), ask["choices"][0])
        stand.write(job, "choice", place | {"value": best["value"]}, at)
    elif ask["kind"] == "photo":
        stand.photo(job, "bike", at, **(place | {"phase": "detail"}))
    else:
        value = good_value(ask.get("rule"), ask.get("scale"))
        stand.write(job, "reading", place | {"value": value, "unit": ask["unit"]}, at)


def good_value(rule: Mapping[str, Any] | None, scale: Sequence[float] | None) -> float:
    """A reading well inside what the rule calls sound."""
    if rule and rule["type"] == "band":
        return round((float(rule["min"]) + float(rule["max"])) / 2, 1)
    if rule and rule["type"] == "minimum":
        limit = float(rule.get("watch") or rule["renew"])
        return round(limit * 1.4 if limit < 1.2 else limit + 0.2, 2)
    if rule and rule["type"] == "maximum":
        return round(float(rule.get("watch") or rule["renew"]) * 0.4, 2)
    low, high = scale or (0.0, 1.0)
    return round((low + high) / 2, 1)


def torques_found(stand: Stand, job: Job, at: datetime) -> None:
    """A few fasteners as they were found, one of them loose."""
    steps: Iterable[Step] = full_route(job.route, state_of(job))
    asks = [
        (step, ask)
        for step in steps
        for ask in step["asks"]
        if ask["kind"] == "torque" and "found" in ask["phases"]
    ]
    for position, (step, ask) in enumerate(asks[:4]):
        place = {"step": step["key"], "item": ask["item"], "phase": "found", "unit": "N·m"}
        if position == 1:
            stand.write(job, "reading", place | {"value": None, "loose": True}, at)
        else:
            stand.write(job, "reading", place | {"value": good_value(ask["rule"], None)}, at)


def second_check(stand: Stand, job: Job, at: datetime) -> None:
    """The other person agrees with the listed points."""
    for step in full_route(job.route, state_of(job)):
        if step["kind"] == "check":
            stand.write(job, "check", {"step": step["key"], "outcome": "agreed"}, at)
    stand.send(at)
