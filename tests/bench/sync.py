"""What it costs to send and to fetch 10,000 entries, seen from a phone on the same machine."""

import contextlib
import gzip
import http.client
import json
import socket
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from tests import servers
from tests.bench.entries import make_entries
from tests.bench.figures import Figures
from tests.bench.stage import Stage
from tests.e2e.shop import Shop

COUNT, BATCH, ROUNDS, JOBS = 10_000, 1000, 3, 100
ENROL = """
from django.utils import timezone
from shopfloor.workshop import enrolment
from shopfloor.workshop.models import Person
from shopfloor.jobs.models import Job
person = Person.objects.get(username="mira")
device, token = enrolment.enrol_own(person=person, name="Figures", at=timezone.now())
busy = Job.objects.filter(place="on the stand").order_by("number").first()
jobs = Job.objects.open().exclude(pk=busy.pk).order_by("number")
steps = [[str(job.id), [step["key"] for step in job.route]] for job in jobs]
print(json.dumps([str(device.id), token, str(person.id), steps, busy.workshop.last_seq]))
"""
MORE_JOBS = f"""
from tests.bench.filling import add_jobs
add_jobs({JOBS})
"""


class CountedSocket(socket.socket):
    """Counts what goes over it, headers and all; what is below (TCP, TLS) is not seen."""

    sent = received = 0

    def sendall(self, data: Any, flags: int = 0) -> None:
        self.sent += len(data)
        super().sendall(data, flags)

    def recv_into(self, *arguments: Any) -> int:
        size = super().recv_into(*arguments)
        self.received += size
        return size


@dataclass
class Client:
    """A phone's half of the wire on one kept connection."""

    url: str
    device: str
    token: str
    requests: int = 0
    _line: http.client.HTTPConnection = field(init=False)
    _socket: CountedSocket = field(init=False)

    def __post_init__(self) -> None:
        place = urlsplit(self.url)
        assert place.hostname is not None
        self._line = http.client.HTTPConnection(place.hostname, place.port)
        plain = socket.create_connection((place.hostname, place.port))
        plain.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._socket = CountedSocket(fileno=plain.detach())
        self._socket.settimeout(60)
        self._line.sock = self._socket

    def pack(self, entries: list[dict[str, Any]], cursor: int, **facts: Any) -> bytes:
        """The body of one request, as the phone compresses it."""
        asked = {"device": self.device, "cursor": cursor, "sent_at": _now(), "last_n": 0}
        asked |= {"entries": entries, **facts}
        return gzip.compress(json.dumps(asked, separators=(",", ":")).encode(), 6)

    def exchange(self, body: bytes) -> dict[str, Any]:
        """One round trip."""
        headers = {
            "Authorization": f"Bearer {self.token}",
            "Content-Type": "application/json",
            "Content-Encoding": "gzip",
            "Accept-Encoding": "gzip",
        }
        self._line.request("POST", "/api/sync", body, headers)
        answer = self._line.getresponse()
        packed = answer.read()
        if answer.status != 200:
            raise RuntimeError(packed.decode(errors="replace"))
        self.requests += 1
        is_packed = answer.headers.get("Content-Encoding") == "gzip"
        return dict(json.loads(gzip.decompress(packed) if is_packed else packed))

    @property
    def up(self) -> int:
        return self._socket.sent

    @property
    def down(self) -> int:
        return self._socket.received

    def close(self) -> None:
        self._line.close()


class DatabaseShop(Shop):
    """The demo shop on a database of one's choice."""

    def __init__(self, var: Path, database: str | None) -> None:
        super().__init__(var)
        self.database = database

    def _environment(self) -> dict[str, str]:
        return super()._environment() | ({"DATABASE_URL": self.database} if self.database else {})


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def figures(_stage: Stage) -> Figures:
    """The same on both databases; PostgreSQL with the durability it has by default."""
    yield from _figures("SQLite", None)
    try:
        with servers.postgres(durable=True) as url:
            yield from _figures("PostgreSQL", url)
    except servers.Missing as missing:
        yield "PostgreSQL", str(missing)


def _figures(name: str, database: str | None) -> Figures:
    with tempfile.TemporaryDirectory(prefix="shopfloor-bench-") as folder:
        shop = DatabaseShop(Path(folder), database)
        shop.seed()
        shop.run(MORE_JOBS)
        shop.start()
        try:
            for turn in range(ROUNDS):
                device, token, person, jobs, before = json.loads(shop.run(ENROL).splitlines()[-1])
                entries = make_entries(
                    device=device, person=person, jobs=jobs[:JOBS], count=COUNT, seed=turn
                )
                with _client(shop, device, token) as client:
                    yield f"{name}: push", _push(client, entries, before)
                with _client(shop, device, token) as client:
                    yield f"{name}: pull", _pull(client, before)
            with _client(shop, device, token) as client:
                yield f"{name}: a sync with nothing new", _idle(client, before + COUNT)
        finally:
            shop.stop()


@contextlib.contextmanager
def _client(shop: Shop, device: str, token: str) -> Iterator[Client]:
    client = Client(shop.url, device, token)
    try:
        yield client
    finally:
        client.close()


def _push(client: Client, entries: list[dict[str, Any]], cursor: int) -> str:
    """The phone packs while the server works on what was sent before; here it is packed first."""
    bodies = [
        client.pack(entries[start : start + BATCH], cursor + start, more=start + BATCH < COUNT)
        for start in range(0, COUNT, BATCH)
    ]
    started = time.monotonic()
    taken = sum(run["count"] for body in bodies for run in client.exchange(body)["taken"])
    return line_of(client, time.monotonic() - started, taken)


def _pull(client: Client, cursor: int) -> str:
    started, pulled, more = time.monotonic(), 0, True
    while more:
        answer = client.exchange(client.pack([], cursor))
        pulled += len(answer["entries"])
        cursor, more = answer["cursor"], answer["more"]
    return line_of(client, time.monotonic() - started, pulled)


def _idle(client: Client, cursor: int) -> str:
    digest = client.exchange(client.pack([], cursor))["workshop_digest"]
    up, down, started = client.up, client.down, time.monotonic()
    client.exchange(client.pack([], cursor, workshop_digest=digest))
    seconds = time.monotonic() - started
    return f"{client.up - up} B up, {client.down - down} B down, {seconds * 1000:.0f} ms"


def line_of(client: Client, seconds: float, count: int) -> str:
    """What it took, and what went over the wire."""
    each = f"{client.up / count:.1f} B up, {client.down / count:.1f} B down an entry"
    return f"{count:,} entries, {seconds:.2f} s, {client.requests} requests, {each}"


def send_elsewhere(shop: Shop, count: int) -> None:
    """Another phone writes so many entries and sends them."""
    device, token, person, jobs, before = json.loads(shop.run(ENROL).splitlines()[-1])
    entries = make_entries(device=device, person=person, jobs=jobs, count=count)
    with _client(shop, device, token) as client:
        for start in range(0, count, BATCH):
            body = client.pack(entries[start : start + BATCH], before + count)
            client.exchange(body)
