"""The README's pictures, taken from the demo shop: `make pictures`."""

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
COLOURS = 128
OFFER = """
from shopfloor.approvals.models import Offer
from shopfloor.outbox.services import address_of
offer = Offer.objects.filter(state="open").order_by("made_at").first()
print(json.dumps([address_of(Link.objects.get(subject=offer.pk)), str(offer.job_id)]))
"""


def keep(page: Page, name: str) -> None:
    """What is on the screen, as a small PNG."""
    shot = Image.open(BytesIO(page.screenshot())).convert("RGB")
    small = shot.quantize(COLOURS, dither=Image.Dither.NONE)
    small.save(PICTURES / name, optimize=True)
    print(f"{name}: {(PICTURES / name).stat().st_size / 1000:.0f} kB")


def take(playwright: Playwright, shop: Shop, folder: Path) -> None:
    offer, job = json.loads(shop.run(OFFER))
    browser = playwright.chromium.launch(executable_path=servers.chromium(), args=LAUNCH)
    on_phone = {**PHONE, "device_scale_factor": 2}
    keep(_opened(browser, shop, offer, on_phone), "customer.png")
    desk = browser.new_context(base_url=shop.url, **DESK).new_page()
    sign_in(desk, "otto")
    desk.wait_for_load_state("networkidle")
    keep(desk, "board.png")
    browser.close()
    phone = Phone(playwright, folder / "phone", shop, device_scale_factor=2)
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{job}")
    page.locator("li.step.next").scroll_into_view_if_needed()
    page.wait_for_timeout(1000)
    keep(page, "bench.png")
    phone.close()


def _opened(browser: Browser, shop: Shop, address: str, screen: dict[str, object]) -> Page:
    page = browser.new_context(base_url=shop.url, **screen).new_page()
    page.goto(address)
    return page


def main() -> int:
    PICTURES.mkdir(parents=True, exist_ok=True)
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
