"""The README's and the manifest's pictures, taken from the demo shop: `make pictures`."""

import json
import sys
import tempfile
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests import servers  # noqa: E402
from tests.e2e.browser import DESK, LAUNCH, PHONE, Phone, open_bench, sign_in  # noqa: E402
from tests.e2e.shop import Shop  # noqa: E402

PICTURES = ROOT / "fixtures" / "demo" / "pictures"
SCREENS = ROOT / "frontend" / "screens"
COLOURS = 128
# Shown small by the browser before the bench is put on the home screen.
SCREEN_COLOURS = 24
WIDE = {"viewport": {"width": 1280, "height": 800}}
OFFER = """
from shopfloor.approvals.models import Offer
from shopfloor.outbox.services import address_of
offer = Offer.objects.filter(state="open").order_by("made_at").first()
print(json.dumps([address_of(Link.objects.get(subject=offer.pk)), str(offer.job_id)]))
"""


def keep(page: Page, path: Path, *, colours: int = COLOURS) -> None:
    """What is on the screen, as a small PNG."""
    shot = Image.open(BytesIO(page.screenshot())).convert("RGB")
    small = shot.quantize(colours, dither=Image.Dither.NONE)
    path.parent.mkdir(parents=True, exist_ok=True)
    small.save(path, optimize=True)
    print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")


def take(playwright: Playwright, shop: Shop, folder: Path) -> None:
    offer, job = json.loads(shop.run(OFFER))
    browser = playwright.chromium.launch(executable_path=servers.chromium(), args=LAUNCH)
    on_phone = {**PHONE, "device_scale_factor": 2}
    keep(_opened(browser, shop, offer, on_phone), PICTURES / "customer.png")
    desk = browser.new_context(base_url=shop.url, **DESK).new_page()
    sign_in(desk, "otto")
    desk.wait_for_load_state("networkidle")
    keep(desk, PICTURES / "board.png")
    browser.close()
    phone = Phone(playwright, folder / "phone", shop, device_scale_factor=2)
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{job}")
    page.locator("li.step.next").scroll_into_view_if_needed()
    page.wait_for_timeout(1000)
    keep(page, PICTURES / "bench.png")
    phone.close()
    take_screens(playwright, shop, folder, job)


def take_screens(playwright: Playwright, shop: Shop, folder: Path, job: str) -> None:
    """What the manifest shows, at one pixel to the point."""
    for name, address, screen in (
        ("jobs.png", "/bench/", PHONE),
        ("job.png", f"/bench/jobs/{job}", PHONE),
        ("wide.png", f"/bench/jobs/{job}", WIDE),
    ):
        phone = Phone(playwright, folder / name, shop, **screen)
        page = open_bench(phone.open(), "mira")
        page.goto(address)
        page.wait_for_timeout(1000)
        keep(page, SCREENS / name, colours=SCREEN_COLOURS)
        phone.close()


def _opened(browser: Browser, shop: Shop, address: str, screen: dict[str, object]) -> Page:
    page = browser.new_context(base_url=shop.url, **screen).new_page()
    page.goto(address)
    return page


def main() -> int:
    with tempfile.TemporaryDirectory(prefix="shopfloor-pictures-") as folder:
        shop = Shop(Path(folder))
        shop.seed()
        shop.start()
        try:
            with sync_playwright() as playwright:
                take(playwright, shop, Path(folder))
        finally:
            shop.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main())
