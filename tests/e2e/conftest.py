"""The demo shop on a real server, and Chromium as a phone and as a desk."""

import contextlib
import os
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page, Playwright, sync_playwright

from tests import servers
from tests.e2e.shop import PASSWORD, ROOT, Shop

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
DESK = {"viewport": {"width": 1280, "height": 860}, "locale": "en-GB"}


@pytest.fixture(scope="session")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo shop, made once; each journey works on a copy."""
    folder = tmp_path_factory.mktemp("seeded")
    shop = Shop(folder)
    shop.command("migrate", "--verbosity", "0")
    shop.command("seed_demo")
    return folder


@pytest.fixture
def shop(seeded: Path, tmp_path: Path) -> Iterator[Shop]:
    """The demo shop, open."""
    shop = Shop(shutil.copytree(seeded, tmp_path / "var"))
    shop.start()
    try:
        yield shop
    finally:
        shop.stop()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Chromium's driver."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """The system's Chromium."""
    try:
        program = servers.chromium()
    except servers.Missing as missing:
        pytest.skip(str(missing))
    browser = playwright.chromium.launch(executable_path=program, args=LAUNCH)
    yield browser
    browser.close()


@pytest.fixture
def desk(browser: Browser, shop: Shop) -> Iterator[Page]:
    """The manager's laptop, signed in as Otto."""
    context = browser.new_context(base_url=shop.url, **DESK)
    page = context.new_page()
    sign_in(page, "otto")
    yield page
    context.close()


@pytest.fixture
def customer(browser: Browser, shop: Shop) -> Iterator[Page]:
    """The customer's phone: no account, and JavaScript switched off."""
    context = browser.new_context(base_url=shop.url, java_script_enabled=False, **PHONE)
    yield context.new_page()
    context.close()


class Phone:
    """A mechanic's phone: its profile outlives the browser, which can be killed."""

    def __init__(self, playwright: Playwright, profile: Path, shop: Shop) -> None:
        self._playwright, self._profile, self._shop = playwright, profile, shop
        self.context: BrowserContext | None = None

    def open(self) -> Page:
        """Start the browser on its kept profile."""
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._profile),
            executable_path=servers.chromium(),
            args=LAUNCH,
            base_url=self._shop.url,
            **PHONE,
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


@pytest.fixture
def phone(playwright: Playwright, shop: Shop, tmp_path: Path) -> Iterator[Phone]:
    """One mechanic's phone."""
    phone = Phone(playwright, tmp_path / "phone", shop)
    yield phone
    phone.close()


def sign_in(page: Page, username: str) -> None:
    """Through the form, as a person does."""
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
