"""Taps on the ticks of a job's page, as a finger makes them, and when each answer is painted."""

import random
import statistics
import time
from collections.abc import Sequence
from typing import TypedDict

from playwright.sync_api import Page

from tests.bench.figures import middle_and_p95, p95

# Painted: the frame with the button turned was handed on; whole: with the line that says what was
# kept, too, and all else that changed.
WATCH = """
() => {
  window.taps = [];
  const painted = (work) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = work;
    port2.postMessage(null);
  });
  const follow = (place, changes, isThere, done) => {
    const look = new MutationObserver(() => {
      if (!isThere()) return;
      look.disconnect();
      painted(done);
    });
    look.observe(document.querySelector(place), changes);
  };
  document.addEventListener('click', (event) => {
    const button = event.target.closest('button.tick');
    if (!button) return;
    const tap = {}, row = button.closest('li').id, before = button.getAttribute('aria-pressed');
    const isTurned = () => {
      const now = document.querySelector(`#${row} button.tick`);
      return now && now.getAttribute('aria-pressed') !== before;
    };
    const took = () => performance.now() - event.timeStamp;
    const changes = { subtree: true, childList: true, attributeFilter: ['aria-pressed'] };
    window.taps.push(tap);
    follow('#main', changes, isTurned, () => { tap.painted = took(); });
    follow('#kept', { childList: true }, isTurned, () => { tap.whole = took(); });
  }, true);
}
"""
ANSWERED = "() => window.taps.filter((tap) => tap.painted && tap.whole).length"
ROWS = """
() => [...document.querySelectorAll('li:has(button.tick)')].map((row) => row.id)
"""
# Where a finger would go for it; what one tick opens or closes moves the next.
PLACE = """
(id) => {
  const button = document.querySelector(`#${id} button.tick`);
  const middle = () => {
    const { x, y, width, height } = button.getBoundingClientRect();
    return [x + width / 2, y + height / 2];
  };
  if (button.contains(document.elementFromPoint(...middle()))) return middle();
  button.scrollIntoView({ block: 'center' });
  return null;
}
"""
# So many rows below each other are ticked and opened again in turn.
REACH = 5
# From one tap to the next, so that they meet all that goes on between: seconds.
SOONEST, LATEST = 0.5, 0.9
LONGEST, DRAWN = 10, 0.5


def watch(page: Page) -> list[str]:
    """Start to look; returns the rows to tap."""
    page.evaluate(WATCH)
    return list(page.evaluate(ROWS))[:REACH]


class Tap(TypedDict):
    """Milliseconds until the tapped row and until the whole answer were painted."""

    painted: float
    whole: float


def tap(page: Page, rows: list[str], count: int) -> list[Tap]:
    """One row after the other; nothing is asked of the page meanwhile."""
    dice = random.Random(count)
    page.evaluate("() => { window.taps = [] }")
    for turn in range(count):
        page.touchscreen.tap(*_place(page, rows[turn % len(rows)]))
        time.sleep(dice.uniform(SOONEST, LATEST))
        _wait(page, turn + 1)
    return list(page.evaluate("() => window.taps"))


def told(taps: Sequence[Tap]) -> str:
    """In words."""
    first = middle_and_p95([tap["painted"] for tap in taps])
    whole = [tap["whole"] for tap in taps]
    return f"{first}; whole {statistics.median(whole):.0f} ms, {p95(whole):.0f} ms"


def _place(page: Page, row: str) -> list[float]:
    """What scrolls into sight is drawn first."""
    until = time.monotonic() + LONGEST
    while not (place := page.evaluate(PLACE, row)):
        if time.monotonic() > until:
            raise TimeoutError(f"{row} is covered")
        time.sleep(DRAWN)
    return list(place)


def _wait(page: Page, count: int) -> None:
    until = time.monotonic() + LONGEST
    while page.evaluate(ANSWERED) < count:
        if time.monotonic() > until:
            raise TimeoutError("a tap was not answered")
        time.sleep(0.1)
