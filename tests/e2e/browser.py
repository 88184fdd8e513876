"""Chromium in the hands of the shop's people: launch settings, a phone that can die, signing in."""

import contextlib
import os
import signal
from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import BrowserContext, Error, Page, Playwright

from tests import servers
from tests.e2e.shop import PASSWORD, Shop

LAUNCH = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "locale": "en-GB"}
# Text at twice its size, as somebody sets it who has no glasses on.
TWICE = """
document.addEventListener('DOMContentLoaded', () => {
  document.documentElement.style.fontSize = '200%';
});
"""
DESK = {"viewport": {"width": 1280, "height": 860}, "locale": "en-GB"}


class Phone:
    """A mechanic's phone: its profile outlives the browser, which can be killed."""

    def __init__(
        self,
        playwright: Playwright,
        profile: Path,
        shop: Shop,
        args: Sequence[str] = (),
        **screen: float,
    ) -> None:
        self._playwright, self._profile, self._shop = playwright, profile, shop
        self._args = [*LAUNCH, *args]
        self._screen = PHONE | screen
        self.context: BrowserContext | None = None

    def open(self) -> Page:
        """Start the browser on its kept profile."""
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._profile),
            executable_path=servers.chromium(),
            args=self._args,
            base_url=self._shop.url,
            **self._screen,
        )
        return self.context.pages[0]

    def kill(self) -> None:
        """As an empty battery would."""
        for process in Path("/proc").glob("[0-9]*/cmdline"):
            with contextlib.suppress(OSError):
                if f"--user-data-dir={self._profile}".encode() in process.read_bytes():
                    os.kill(int(process.parent.name), signal.SIGKILL)
        self.close()

    def close(self) -> None:
        """Put it away."""
        if self.context is not None:
            with contextlib.suppress(Error):
                self.context.close()
            self.context = None


def sign_in(page: Page, username: str) -> None:
    """Through the form, as a person does."""
    page.goto("/sign-in/")
    page.get_by_label("Name to sign in with").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/board/")


def open_bench(page: Page, username: str) -> Page:
    """Sign in and wait until the jobs are on the phone."""
    sign_in(page, username)
    page.goto("/bench/")
    page.locator("a[href^='/bench/jobs/']").first.wait_for(timeout=30_000)
    return page
