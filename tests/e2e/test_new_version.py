"""Promise: a new version of the bench waits for a person, and loses nothing of the one before."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import ROOT, Shop, until

pytestmark = pytest.mark.browser

OPEN_JOB = "str(Job.objects.filter(place='on the stand').order_by('number').first().pk)"
# What the next version says in place of "All sent".
NEW_WORDS = "Everything has been sent"
LOOK_FOR_NEWER = """
async () => { await (await navigator.serviceWorker.getRegistration('/bench/')).update(); }
"""
BUILT_BESIDE = shutil.ignore_patterns("node_modules", "__pycache__")


def build_next_version(folder: Path) -> Path:
    """The same program with other words, built for real."""
    for part in ("shopfloor", "worker", "frontend"):
        shutil.copytree(ROOT / part, folder / part, ignore=BUILT_BESIDE)
    frontend = folder / "frontend"
    (frontend / "node_modules").symlink_to(ROOT / "frontend" / "node_modules")
    catalogue = frontend / "words" / "en.json"
    words = json.loads(catalogue.read_text())
    words["bench"]["truth.all-sent"] = NEW_WORDS
    catalogue.write_text(json.dumps(words))
    subprocess.run(["node", "build.mjs"], cwd=frontend, check=True, capture_output=True)
    return folder


def tick_open_step(page: Page) -> str:
    """The first open step, ticked; its place on the page."""
    row = page.locator("li.step", has=page.locator("button.tick[aria-pressed=false]")).first
    place = f"#{row.get_attribute('id')} button.tick"
    page.locator(place).click()
    expect(page.locator(place)).to_have_attribute("aria-pressed", "true")
    return place


def test_a_new_version_waits_for_a_person_and_takes_over_what_was_not_sent(
    shop: Shop, phone: Phone, tmp_path: Path
):
    job = shop.ask(OPEN_JOB)
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{job}")
    expect(page.locator("#truth")).to_contain_text("All sent")
    expect(page.locator("#new-version")).to_be_hidden()

    shop.stop()
    shop.root = build_next_version(tmp_path / "next")
    shop.start()
    page.evaluate(LOOK_FOR_NEWER)
    expect(page.locator("#new-version")).to_be_visible(timeout=20_000)

    # Nothing changes by itself, not even with the next page.
    shop.kill()
    page.context.set_offline(True)
    page.goto(f"/bench/jobs/{job}/note")
    expect(page.locator("#new-version")).to_be_visible()
    page.get_by_label("What should others know?").fill("Half typed")
    expect(page.locator("#new-version")).to_be_hidden()
    page.goto(f"/bench/jobs/{job}")
    before = int(shop.ask("Workshop.objects.get().last_seq"))
    place = tick_open_step(page)

    # Taken without signal: all of its files are on the phone already.
    page.get_by_role("button", name="Use it now").click()
    page.wait_for_event("load")
    expect(page.locator("#new-version")).to_be_hidden()
    expect(page.locator(place)).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#truth")).to_contain_text("1 kept on this phone")
    cached = page.evaluate("caches.keys()")
    assert len(cached) == 1

    shop.start()
    page.context.set_offline(False)
    expect(page.locator("#truth")).to_contain_text(NEW_WORDS, timeout=30_000)
    sent = f"StoredEntry.objects.filter(seq__gt={before}, kind='tick').count()"
    assert until(lambda: shop.ask(sent), "1") == "1"
