"""A morning without signal is sent over a poor connection: 300 ms and 400 kbit/s."""

import json
import time

from playwright.sync_api import Page, sync_playwright

from tests.bench.entries import make_entries
from tests.bench.figures import Figures
from tests.bench.link import Link, link_to
from tests.bench.stage import Stage
from tests.bench.sync import ENROL, Client, line_of
from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

COUNT, ROUND_TRIP, RATE, ROUNDS = 1000, 0.3, 400_000, 3
# What this phone is called in its own database, and how far it has counted.
NAMES = """
async () => {
  const open = indexedDB.open('shopfloor-bench');
  await new Promise((done) => { open.onsuccess = done; });
  const meta = open.result.transaction('meta').objectStore('meta');
  const read = (key) => new Promise((done) => {
    const asked = meta.get(key);
    asked.onsuccess = () => done(asked.result);
  });
  const [device, person, n] = [await read('device'), await read('person'), await read('n')];
  open.result.close();
  return [device.device, person, n ?? 0];
}
"""
# As if they had been tapped: beside the count, in the queue.
KEEP = """
async (entries) => {
  const open = indexedDB.open('shopfloor-bench');
  await new Promise((done) => { open.onsuccess = done; });
  const tx = open.result.transaction(['meta', 'entries'], 'readwrite');
  for (const entry of entries) {
    const { id, job, n } = entry;
    tx.objectStore('entries').put({ id, job, entry, own: true, unsent: n });
  }
  tx.objectStore('meta').put(entries.at(-1).n, 'n');
  await new Promise((done) => { tx.oncomplete = done; });
  open.result.close();
}
"""
SEND = """
async () => {
  const started = performance.now();
  const answer = await fetch('/bench/sync', {
    method: 'POST', headers: { Accept: 'application/json' },
  });
  const { ok, message } = await answer.json();
  if (!ok) throw new Error(message);
  return performance.now() - started;
}
"""
TAKEN = "StoredEntry.objects.count()"


class LinkedShop(Shop):
    """Seen through the link: phones know no other address."""

    def at(self, port: int) -> None:
        """The address from now on."""
        self.url = f"http://localhost:{port}"


def figures(stage: Stage) -> Figures:
    """On the wire by a client of ours, then by the phone in Chromium, its database included."""
    shop = LinkedShop(stage.shop().var)
    shop.start()
    try:
        with link_to(shop.port) as link:
            shop.at(link.port)
            for turn in range(ROUNDS):
                yield "a client on a kept connection", _by_client(shop, link, turn)
            yield from _by_phone(shop, stage, link)
    finally:
        shop.stop()


def _slow(link: Link, *, down: bool = True) -> None:
    link.round_trip, link.rate = (ROUND_TRIP, RATE) if down else (0.0, float("inf"))


def _by_client(shop: Shop, link: Link, turn: int) -> str:
    device, token, person, jobs, before = json.loads(shop.run(ENROL).splitlines()[-1])
    entries = make_entries(device=device, person=person, jobs=jobs, count=COUNT, seed=turn)
    client = Client(shop.url, device, token)
    try:
        # So that the connection is there already.
        client.exchange(client.pack([], before))
        _slow(link)
        body = client.pack(entries, before)
        started = time.monotonic()
        taken = sum(run["count"] for run in client.exchange(body)["taken"])
        return line_of(client, time.monotonic() - started, taken)
    finally:
        _slow(link, down=False)
        client.close()


def _by_phone(shop: Shop, stage: Stage, link: Link) -> Figures:
    with sync_playwright() as driver:
        phone = Phone(driver, stage.profile(), shop)
        try:
            page = open_bench(phone.open(), "mira")
            for turn in range(ROUNDS):
                yield "the phone in Chromium", f"{_keep_and_send(page, shop, link, turn):.2f} s"
        finally:
            phone.close()


def _keep_and_send(page: Page, shop: Shop, link: Link, turn: int) -> float:
    *_names, jobs, _before = json.loads(shop.run(ENROL).splitlines()[-1])
    device, person, n = page.evaluate(NAMES)
    entries = make_entries(device=device, person=person, jobs=jobs, count=COUNT, seed=100 + turn)
    for entry in entries:
        entry["n"] += n
    page.evaluate(KEEP, entries)
    before = int(shop.ask(TAKEN))
    _slow(link)
    try:
        seconds = float(page.evaluate(SEND)) / 1000
    finally:
        _slow(link, down=False)
    if int(shop.ask(TAKEN)) != before + COUNT:
        raise RuntimeError("not everything arrived")
    return seconds
