"""Taps on the ticks of a job's page, as a finger makes them, and when each answer is painted."""

import random
import time

from playwright.sync_api import Page

# Painted: the frame in which the button stands the other way was handed on.
WATCH = """
() => {
  window.taps = [];
  const painted = (started) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => window.taps.push(performance.now() - started);
    port2.postMessage(null);
  });
  const follow = (button, started) => {
    const row = button.closest('li').id, before = button.getAttribute('aria-pressed');
    const look = new MutationObserver(() => {
      const now = document.querySelector(`#${row} button.tick`);
      if (!now || now.getAttribute('aria-pressed') === before) return;
      look.disconnect();
      painted(started);
    });
    const changes = { subtree: true, childList: true, attributeFilter: ['aria-pressed'] };
    look.observe(document.querySelector('#main'), changes);
  };
  document.addEventListener('click', (event) => {
    const button = event.target.closest('button.tick');
    if (button) follow(button, event.timeStamp);
  }, true);
}
"""
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


def tap(page: Page, rows: list[str], count: int) -> list[float]:
    """Milliseconds from each tap to its painted answer; nothing is asked of the page meanwhile."""
    dice = random.Random(count)
    page.evaluate("() => { window.taps = [] }")
    for turn in range(count):
        page.touchscreen.tap(*_place(page, rows[turn % len(rows)]))
        time.sleep(dice.uniform(SOONEST, LATEST))
        _wait(page, turn + 1)
    return list(page.evaluate("() => window.taps"))


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
    while page.evaluate("() => window.taps.length") < count:
        if time.monotonic() > until:
            raise TimeoutError("a tap was not answered")
        time.sleep(0.1)
