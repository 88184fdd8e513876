"""Promise: a phone joins by a look at the desk's screen, once, and works without signal."""

import json
import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Playwright, expect

from tests.e2e.browser import Phone
from tests.e2e.shop import Shop, until

pytestmark = pytest.mark.browser
READY = re.compile("is ready")


@pytest.fixture
def other(playwright: Playwright, shop: Shop, tmp_path) -> Iterator[Phone]:
    """Somebody else's phone."""
    phone = Phone(playwright, tmp_path / "other", shop)
    yield phone
    phone.close()


def make_code(desk: Page, name: str, *, replaces: str = "") -> str:
    """Through the desk's pages; answers with the address in the picture."""
    desk.goto("/workshop/")
    desk.get_by_role("link", name="See them, or add one").click()
    desk.get_by_label("What the phone is called").fill(name)
    if replaces:
        desk.get_by_label("It takes the place of").select_option(replaces)
    desk.get_by_role("button", name="Show the code").click()
    expect(desk.locator(".enrol-code svg")).to_be_visible()
    desk.get_by_text("Without a camera").click()
    return desk.locator(".enrol-address").first.inner_text().strip()


def secret_of(address: str) -> str:
    return address.partition("#")[2]


def scan(phone: Phone, address: str) -> Page:
    """As the camera would: the address is opened in a browser where nobody is signed in."""
    page = phone.open()
    page.goto(address)
    return page


def enrolled(phone: Phone, address: str) -> Page:
    page = scan(phone, address)
    expect(page.get_by_role("link", name="Open the jobs")).to_be_visible(timeout=30_000)
    return page


def test_a_scanned_phone_is_named_ready_and_works_without_signal(
    shop: Shop, desk: Page, phone: Phone
):
    address = make_code(desk, "Stand 1")
    secret = secret_of(address)
    asked: list[str] = []
    desk.on("request", lambda request: asked.append(request.url))

    page = scan(phone, address)
    seen: list[str] = []
    page.on("request", lambda request: seen.append(request.url))
    expect(page.locator("[data-install-line]")).to_contain_text("“Stand 1”", timeout=30_000)

    assert page.evaluate("location.href").endswith("/bench/enrol")
    expect(desk.locator("#code")).to_contain_text("Stand 1 is ready.")
    page.get_by_role("link", name="Open the jobs").click()
    jobs = page.locator("a[href^='/bench/jobs/']")
    jobs.first.wait_for()
    shown = jobs.count()
    assert not [url for url in [*asked, *seen] if secret in url]
    assert secret not in shop.log()
    assert page.evaluate("JSON.stringify(sessionStorage)").find(secret) == -1

    shop.kill()
    page.goto("/bench/")
    expect(jobs).to_have_count(shown)


def test_a_code_is_good_for_one_phone_only(shop: Shop, desk: Page, phone: Phone, other: Phone):
    address = make_code(desk, "Stand 1")
    enrolled(phone, address)

    page = scan(other, address)

    expect(page.locator("[data-install-line]")).to_contain_text(
        "This code has been used for “Stand 1”.", timeout=30_000
    )
    typed = secret_of(make_code(desk, "Stand 2"))
    page.get_by_label("The code from the desk").fill(" ".join(re.findall(".{1,4}", typed)).upper())
    page.get_by_role("button", name="Use this code").click()
    expect(page.locator("[data-install-line]")).to_contain_text("“Stand 2”", timeout=30_000)


def test_a_phone_that_is_known_does_not_use_a_code_up(desk: Page, phone: Phone, other: Phone):
    page = enrolled(phone, make_code(desk, "Stand 1"))
    address = make_code(desk, "Stand 2")

    page.goto(address)
    expect(page.locator("[data-install-line]")).to_contain_text(
        "known to the workshop already", timeout=30_000
    )

    enrolled(other, address)


def test_a_phone_whose_answer_is_lost_tries_again(shop: Shop, desk: Page, phone: Phone):
    address = make_code(desk, "Stand 1")
    page = phone.open()

    def swallow(route) -> None:
        route.fetch()
        route.abort()

    page.route("**/api/devices", swallow, times=1)
    page.goto(address)
    expect(page.locator("[data-install-line]")).to_contain_text("no connection", timeout=30_000)
    page.reload()

    expect(page.locator("[data-install-line]")).to_contain_text("“Stand 1”", timeout=30_000)
    assert shop.ask("Device.objects.filter(name='Stand 1').count()") == "1"


def test_a_phone_whose_storage_was_cleared_says_so_and_comes_back(
    shop: Shop, desk: Page, phone: Phone
):
    page = enrolled(phone, make_code(desk, "Stand 1"))
    device = shop.ask("Device.objects.get(name='Stand 1').pk")
    told = {"entries": 3, "photos": 1, "walk_ins": 0, "oldest_at": None}
    shop.run(f"Device.objects.filter(pk='{device}').update(unsent={told!r})")
    client = page.context.new_cdp_session(page)
    client.send(
        "Storage.clearDataForOrigin",
        {"origin": shop.url, "storageTypes": "indexeddb,service_workers,cache_storage"},
    )

    page.goto("/bench/")
    expect(page.locator("[data-install-line]")).to_contain_text(
        "The browser has cleared this phone's storage.", timeout=30_000
    )
    page.goto(make_code(desk, "Stand 1 again", replaces="Stand 1"))

    warning = page.locator("[data-install-warning]")
    expect(warning).to_contain_text("3 entries that this phone had written before", timeout=30_000)
    expect(warning).to_contain_text("1 photo that it had taken never arrived.")
    former = shop.ask("json.dumps(Device.objects.get(name='Stand 1 again').former)")
    assert json.loads(former) == [device]
    desk.goto("/workshop/phones/")
    desk.get_by_text("Signed out (").click()
    expect(desk.locator(f"#phone-{device} dd").last).to_have_text("Stand 1 again")


def test_a_phone_that_was_signed_out_is_not_let_in_by_an_old_session(
    shop: Shop, desk: Page, phone: Phone
):
    page = enrolled(phone, make_code(desk, "Stand 1"))
    desk.goto("/workshop/phones/")
    desk.get_by_role("button", name="Sign out Stand 1").click()
    page.evaluate("fetch('/bench/sync', { method: 'POST' })")

    page.goto("/bench/enrol")

    expect(page.locator("[data-install-line]")).to_contain_text(
        "The desk has signed this phone out.", timeout=30_000
    )
    expect(page.get_by_label("The code from the desk")).to_be_visible()
    page.goto(make_code(desk, "Stand 1"))
    expect(page.get_by_role("link", name="Open the jobs")).to_be_visible(timeout=30_000)


def test_the_bench_can_be_put_on_the_home_screen(shop: Shop, desk: Page, phone: Phone):
    page = enrolled(phone, make_code(desk, "Stand 1"))
    client = page.context.new_cdp_session(page)

    manifest = client.send("Page.getAppManifest")
    problems = client.send("Page.getInstallabilityErrors")["installabilityErrors"]

    assert manifest["errors"] == []
    assert [one["errorId"] for one in problems if one["errorId"] != "in-incognito"] == []
    said = json.loads(manifest["data"])
    shown = [*said["icons"], *said["screenshots"]]
    statuses = page.evaluate(
        "urls => Promise.all(urls.map(async url => (await fetch(url)).status))",
        [one["src"] for one in shown],
    )
    assert set(statuses) == {200}
    assert {one["form_factor"] for one in said["screenshots"]} == {"narrow", "wide"}
    assert {one["purpose"] for one in said["icons"]} == {"any", "maskable"}
    sizes = page.evaluate(
        "async urls => { const out = []; for (const url of urls) {"
        " const image = new Image(); image.src = url; await image.decode();"
        " out.push(`${image.naturalWidth}x${image.naturalHeight}`); } return out; }",
        [one["src"] for one in shown],
    )
    assert sizes == [one["sizes"] for one in shown]
    for shortcut in said["shortcuts"]:
        page.goto(shortcut["url"])
        expect(page.locator("h1")).to_be_visible()


def test_nothing_of_the_workshop_is_on_the_page_that_anybody_may_open(shop: Shop, phone: Phone):
    page = phone.open()
    page.goto("/bench/jobs/anything")

    expect(page.get_by_label("The code from the desk")).to_be_visible(timeout=30_000)
    expect(page.locator("[data-install-line]")).to_contain_text("Scan the code at the desk")
    name = shop.ask("Workshop.objects.get().name")
    assert name not in page.content()
    link = page.get_by_role("link", name="sign in here")
    assert link.get_attribute("href") == "/sign-in/?next=/bench/jobs/anything"
    assert until(lambda: page.evaluate("navigator.serviceWorker.controller !== null"), True)


def serious(page: Page) -> list[str]:
    """What axe finds on the page as it stands now."""
    found = Axe().run(page).response["violations"]
    return [each["id"] for each in found if each["impact"] in ("serious", "critical")]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everybody_can_read_the_pages_of_phones(shop: Shop, desk: Page, phone: Phone, scheme):
    desk.emulate_media(color_scheme=scheme)
    address = make_code(desk, "Stand 1")
    assert serious(desk) == []

    page = phone.open()
    page.emulate_media(color_scheme=scheme)
    page.goto("/bench/enrol")
    expect(page.get_by_label("The code from the desk")).to_be_visible(timeout=30_000)
    assert serious(page) == []
    page.goto(address)
    expect(page.get_by_role("link", name="Open the jobs")).to_be_visible(timeout=30_000)
    assert serious(page) == []
    shop.run("Device.objects.filter(name='Stand 1').update(unsent={'entries': 2, 'photos': 1})")

    desk.goto("/workshop/phones/")
    expect(desk.get_by_text("2 entries not sent")).to_be_visible()
    assert serious(desk) == []
    for width in (1280, 390, 320):
        desk.set_viewport_size({"width": width, "height": 844})
        assert desk.evaluate("document.documentElement.scrollWidth") <= width
