"""
Promise: what the page of a real phone was told is kept arrives, however often the browser and the
server on PostgreSQL are killed while they speak.

KILLS says how often each is killed; `make faults` kills each 50 times.
"""

import json
import os
import random
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import ConsoleMessage, Page, Playwright

from tests import servers
from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop, until
from tests.faults.simulator import build

pytestmark = pytest.mark.browser
KILLS = int(os.environ.get("KILLS") or 8)
PAUSES = random.Random(8)
JOBS = "[str(pk) for pk in Job.objects.filter(place='on the stand').values_list('pk', flat=True)]"

# A page on which somebody writes one note after another, and asks for a sync now and then.
WRITE = """
(jobs) => {
  const write = async (job, id) => {
    const body = new URLSearchParams({ text: `note ${id}`, step: "" });
    const headers = { "X-Entry-Id": id, "HX-Request": "true" };
    const answer = await fetch(`/bench/jobs/${job}/note`, { method: "POST", headers, body });
    if (answer.ok) console.log(`kept ${id}`);
  };
  let count = 0;
  const turn = () => {
    write(jobs[count % jobs.length], crypto.randomUUID()).catch(() => undefined);
    if (count % 4 === 0) fetch("/bench/sync", { method: "POST" }).catch(() => undefined);
    count += 1;
  };
  window.writing = setInterval(turn, 60);
}
"""
STOP = "() => clearInterval(window.writing)"
# Nothing when the bench cannot say: on a busy machine its storage may not answer in time.
UNSENT = """
() => fetch("/bench/kept/export")
  .then((r) => r.json())
  .then((r) => r.unsent.length)
  .catch(() => null)
"""
SYNC = "() => fetch('/bench/sync', { method: 'POST' }).then((r) => r.ok)"
ENTRIES = """
() => new Promise((resolve, reject) => {
  const opening = indexedDB.open("shopfloor-bench");
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const all = opening.result.transaction("entries").objectStore("entries").getAll();
    all.onsuccess = () => resolve(all.result.map((row) => row.entry));
  };
})
"""
FOLD = """
const { readFileSync } = require("node:fs");
const library = new Function(`${readFileSync(process.argv[1], "utf8")}; return library;`)();
const jobs = JSON.parse(readFileSync(0, "utf8"));
const folded = Object.entries(jobs).map(([job, entries]) => [job, library.fold(entries)]);
process.stdout.write(JSON.stringify(Object.fromEntries(folded)));
"""


class OnPostgres(Shop):
    """The embedded server with its rows in PostgreSQL."""

    def __init__(self, var: Path, database: str) -> None:
        super().__init__(var)
        self._database = database

    def _environment(self) -> dict[str, str]:
        return super()._environment() | {"DATABASE_URL": self._database}


class Mechanic:
    """Somebody who writes without a pause, and remembers what the page said is kept."""

    def __init__(self, phone: Phone, jobs: list[str]) -> None:
        self.phone, self.jobs = phone, jobs
        self.told: set[str] = set()
        self.page: Page

    def begin(self) -> None:
        """Open the bench and write."""
        self.page = self.phone.open()
        self.page.on("console", self._hear)
        self.page.goto(f"/bench/jobs/{self.jobs[0]}")
        self.page.evaluate(WRITE, self.jobs)

    def _hear(self, message: ConsoleMessage) -> None:
        if message.text.startswith("kept "):
            self.told.add(message.text.removeprefix("kept "))

    def write_on(self, seconds: float) -> None:
        """The page goes on; what it says is heard."""
        self.page.wait_for_timeout(seconds * 1000)

    def send_all(self) -> int | None:
        """Stop writing, and sync until nothing waits; answers how many do, if it can be said."""
        self.page.evaluate(STOP)
        return until(self._unsent_after_sync, 0, seconds=120)

    def _unsent_after_sync(self) -> int | None:
        self.page.evaluate(SYNC)
        unsent: int | None = self.page.evaluate(UNSENT)
        return unsent


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[OnPostgres]:
    try:
        servers.chromium()
        with servers.postgres() as database:
            var = tmp_path / "var"
            var.mkdir()
            shop = OnPostgres(var, database)
            shop.seed()
            shop.start()
            yield shop
            shop.stop()
    except servers.Missing as missing:
        pytest.skip(str(missing))


@pytest.fixture
def mechanic(playwright: Playwright, shop: OnPostgres, tmp_path: Path) -> Iterator[Mechanic]:
    phone = Phone(playwright, tmp_path / "phone", shop)
    open_bench(phone.open(), "mira")
    phone.close()
    yield Mechanic(phone, json.loads(shop.ask(f"json.dumps({JOBS})")))
    phone.close()


def server_entries(shop: Shop) -> dict[str, dict[str, Any]]:
    rows = "StoredEntry.objects.order_by('seq').values_list('wire', flat=True)"
    return {one["id"]: one for one in json.loads(shop.ask(f"json.dumps(list({rows}))"))}


def server_states(shop: Shop) -> dict[str, Any]:
    code = "from shopfloor.jobs.queries import state_of\n"
    states = "{str(job.pk): state_of(job) for job in Job.objects.all()}"
    return json.loads(shop.run(f"{code}print(json.dumps({states}))"))


def phone_states(entries: dict[str, Any], folder: Path) -> dict[str, Any]:
    """What the phone's own code folds its entries to."""
    jobs: dict[str, list[Any]] = {}
    for entry in entries.values():
        jobs.setdefault(entry["job"], []).append(entry)
    library = build(folder).folder / "library.js"
    command = ["node", "-e", FOLD, str(library)]
    told = subprocess.run(
        command, input=json.dumps(jobs), capture_output=True, text=True, check=True
    )
    return json.loads(told.stdout)


def check_nothing_is_lost(shop: Shop, mechanic: Mechanic, folder: Path) -> None:
    assert mechanic.send_all() == 0
    kept = {one["id"]: one for one in mechanic.page.evaluate(ENTRIES)}
    stored = server_entries(shop)
    numbers = "sorted(StoredEntry.objects.values_list('seq', flat=True))"

    assert len(mechanic.told) > KILLS
    assert mechanic.told - stored.keys() == set()
    assert kept == stored
    assert json.loads(shop.ask(numbers)) == list(range(1, len(stored) + 1))
    assert phone_states(kept, folder / "built") == server_states(shop)


def test_a_browser_that_is_killed_again_and_again_loses_nothing(
    shop: OnPostgres, mechanic: Mechanic, tmp_path: Path
) -> None:
    for _ in range(KILLS):
        mechanic.begin()
        mechanic.write_on(PAUSES.uniform(0.5, 3))
        mechanic.phone.kill()

    mechanic.begin()
    check_nothing_is_lost(shop, mechanic, tmp_path)


def test_a_server_that_is_killed_again_and_again_loses_nothing(
    shop: OnPostgres, mechanic: Mechanic, tmp_path: Path
) -> None:
    mechanic.begin()
    for _ in range(KILLS):
        mechanic.write_on(PAUSES.uniform(0.2, 2))
        shop.kill()
        mechanic.write_on(PAUSES.uniform(0, 0.5))
        shop.start()

    check_nothing_is_lost(shop, mechanic, tmp_path)
    assert "Traceback" not in shop.log()
