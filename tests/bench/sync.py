"""What it costs to send and to fetch 1,000 entries, seen from a phone on the same machine."""

import gzip
import json
import time
import urllib.request
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from tests.e2e.shop import Shop

COUNT, PAGE = 1000, 500
ENROL = """
from django.utils import timezone
from shopfloor.workshop import services
from shopfloor.workshop.models import Person
from shopfloor.jobs.models import Job
person = Person.objects.get(username="mira")
device, token = services.enrol_device(person=person, name="Figures", at=timezone.now())
busy = Job.objects.filter(place="on the stand").order_by("number").first()
jobs = [str(job.id) for job in Job.objects.open().exclude(pk=busy.pk)]
print(json.dumps([str(device.id), token, str(person.id), jobs, busy.workshop.last_seq]))
"""


@dataclass
class Client:
    """A phone's half of the wire, counting what goes over it."""

    url: str
    device: str
    token: str
    requests: int = 0
    sent: int = 0
    received: int = 0

    def exchange(self, entries: list[dict[str, Any]], cursor: int) -> dict[str, Any]:
        """One round trip."""
        asked = {"device": self.device, "cursor": cursor, "sent_at": _now(), "entries": entries}
        body = gzip.compress(json.dumps(asked | {"last_n": COUNT}).encode())
        headers = {
            "Authorization": f"Bearer {self.token}",
            "Content-Type": "application/json",
            "Content-Encoding": "gzip",
            "Accept-Encoding": "gzip",
        }
        request = urllib.request.Request(f"{self.url}/api/sync", body, headers)
        with urllib.request.urlopen(request, timeout=60) as answer:
            packed = answer.read()
            is_packed = answer.headers.get("Content-Encoding") == "gzip"
        self.requests, self.sent = self.requests + 1, self.sent + len(body)
        self.received += len(packed)
        return dict(json.loads(gzip.decompress(packed) if is_packed else packed))


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def make_entries(
    device: str, person: str, jobs: list[str], count: int = COUNT
) -> list[dict[str, Any]]:
    """Notes, the longest kind that a thumb writes, on every open job but the first."""
    return [
        {
            "v": 1,
            "id": str(uuid.uuid4()),
            "job": jobs[n % len(jobs)],
            "kind": "note",
            "device": device,
            "n": n + 1,
            "by": person,
            "at": _now(),
            "body": {"text": f"Cone {n} turned by a quarter, play gone, runs without grinding."},
            "supersedes": [],
        }
        for n in range(count)
    ]


def figures(shop: Shop) -> Iterator[tuple[str, str]]:
    """Push in two requests, then pull the same from where the journal stood before."""
    device, token, person, jobs, before = json.loads(shop.run(ENROL).splitlines()[-1])
    entries = make_entries(device, person, jobs)
    shop.start()
    try:
        yield from _push(Client(shop.url, device, token), entries, before)
        yield from _pull(Client(shop.url, device, token), before)
    finally:
        shop.stop()


def send_elsewhere(shop: Shop, count: int) -> None:
    """Another phone writes so many entries and sends them."""
    device, token, person, jobs, before = json.loads(shop.run(ENROL).splitlines()[-1])
    client, entries = Client(shop.url, device, token), make_entries(device, person, jobs, count)
    for start in range(0, count, PAGE):
        client.exchange(entries[start : start + PAGE], before + count)


def _push(client: Client, entries: list[dict[str, Any]], cursor: int) -> Iterator[tuple[str, str]]:
    started = time.monotonic()
    accepted = 0
    for start in range(0, COUNT, PAGE):
        # The cursor of the far end: the answer then carries no entries back.
        answer = client.exchange(entries[start : start + PAGE], cursor + COUNT)
        accepted += len(answer["accepted"])
    yield "push", _line(client, time.monotonic() - started, accepted)


def _pull(client: Client, cursor: int) -> Iterator[tuple[str, str]]:
    started, pulled, more = time.monotonic(), 0, True
    while more:
        answer = client.exchange([], cursor)
        pulled += len(answer["entries"])
        cursor, more = answer["cursor"], answer["more"]
    yield "pull", _line(client, time.monotonic() - started, pulled)


def _line(client: Client, seconds: float, count: int) -> str:
    bytes_each_way = f"{client.sent / 1000:.1f} kB up, {client.received / 1000:.1f} kB down"
    return f"{count} entries, {seconds:.2f} s, {client.requests} requests, {bytes_each_way}"
