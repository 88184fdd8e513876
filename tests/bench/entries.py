"""What a phone writes in a season without signal: one job after the other, 100 entries each."""

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Any

PER_JOB = 100
# Of a hundred entries: what is tapped, measured, written and photographed.
MIX = {"tick": 70, "reading": 20, "note": 8, "photo": 2}
NOTES = (
    "Cone turned by a quarter, play gone, runs without grinding.",
    "Left pad glazed, sanded.",
    "Customer wants the old bell back.",
    "Cable frayed under the tape, replaced while at it.",
    "Needs another look after the test ride.",
)


def make_entries(
    *,
    device: str,
    person: str,
    jobs: list[list[Any]],
    count: int,
    each: int = PER_JOB,
    seed: int = 1,
) -> list[dict[str, Any]]:
    """
    `jobs` are pairs of a job's id and the keys of its steps. Each gets `each` entries, then the
    next has its turn; at the end they are begun anew.
    """
    dice = random.Random(seed)
    clock = datetime(2026, 3, 2, 8, tzinfo=UTC)
    entries: list[dict[str, Any]] = []
    for job, kind, step in _work(jobs, count, each, dice):
        clock += timedelta(seconds=dice.uniform(5, 90))
        entries.append(
            {
                "v": 1,
                "id": _uuid7(clock, dice),
                "job": job,
                "kind": kind,
                "device": device,
                "n": len(entries) + 1,
                "by": person,
                "at": clock.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
                "body": _body(kind, step, dice),
                "supersedes": [entries[-1]["id"]] if dice.random() < 0.02 and entries else [],
            }
        )
    return entries


def _work(
    jobs: list[list[Any]], count: int, each: int, dice: random.Random
) -> Iterator[tuple[str, str, str]]:
    for start in range(0, count, PER_JOB):
        kinds = [kind for kind, times in MIX.items() for _ in range(times)]
        dice.shuffle(kinds)
        for place, kind in enumerate(kinds[: count - start]):
            job, steps = jobs[(start + place) // each % len(jobs)]
            yield job, kind, steps[place * len(steps) // PER_JOB]


def _body(kind: str, step: str, dice: random.Random) -> dict[str, Any]:
    if kind == "tick":
        return {"step": step, "outcome": "done"}
    if kind == "reading":
        value = round(dice.uniform(0.3, 45), 1)
        phase = dice.choice(["found", "left"])
        return {"step": step, "item": "torque", "phase": phase, "value": value, "unit": "N·m"}
    if kind == "note":
        return {"text": dice.choice(NOTES), "step": step}
    name = sha256(dice.randbytes(32)).hexdigest()
    size = {"width": 1600, "height": 1200, "bytes": dice.randrange(200_000, 400_000)}
    return {"sha256": name, "phase": "detail", "mime": "image/jpeg", **size, "step": step}


def _uuid7(clock: datetime, dice: random.Random) -> str:
    """As RFC 9562 lays it out: 48 bits of milliseconds, then random ones."""
    milliseconds = int(clock.timestamp() * 1000)
    bits = milliseconds << 80 | 7 << 76 | dice.getrandbits(12) << 64
    text = f"{bits | 2 << 62 | dice.getrandbits(62):032x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
