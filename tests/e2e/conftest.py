"""The demo shop on a real server, and Chromium as a phone and as a desk."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright

from tests import servers
from tests.e2e.browser import DESK, LAUNCH, PHONE, Phone, sign_in
from tests.e2e.shop import Shop


@pytest.fixture(scope="session")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo shop, made once; each journey works on a copy."""
    folder = tmp_path_factory.mktemp("seeded")
    Shop(folder).seed()
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


@pytest.fixture
def phone(playwright: Playwright, shop: Shop, tmp_path: Path) -> Iterator[Phone]:
    """One mechanic's phone."""
    phone = Phone(playwright, tmp_path / "phone", shop)
    yield phone
    phone.close()
