"""Promise: the tag on the bike opens its job on the phone, with or without signal."""

from pathlib import Path

import pytest
import segno
from PIL import Image
from playwright.sync_api import Playwright, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser
SIZE = WIDTH, HEIGHT = 640, 480
FRAMES = 5
SOME_JOB = "str(Job.objects.open().order_by('number').first().pk)"
UNKNOWN = f"{'0' * 8}-0000-7000-8000-{'0' * 11}1"
# Stands in for the browsers that read codes themselves; it sees what the test says.
READS_ITSELF = """
window.BarcodeDetector = class {
  static getSupportedFormats = async () => ['qr_code'];
  detect = async (video) => (video.videoWidth > 0 ? [{ rawValue: '%s' }] : []);
};
"""


def film(path: Path, text: str) -> Path:
    """What a camera sees that is held askew before a tag, as YUV4MPEG2."""
    code = path.with_suffix(".png")
    segno.make(text, error="q").save(str(code), scale=6, border=4)
    tag = Image.open(code).convert("L").rotate(7, expand=True, fillcolor=190)
    tag.thumbnail((HEIGHT * 4 // 5, HEIGHT * 4 // 5))
    seen = Image.new("L", SIZE, 90)
    seen.paste(tag, ((WIDTH - tag.width) // 2, (HEIGHT - tag.height) // 2))
    frame = b"FRAME\n" + seen.tobytes() + bytes([128]) * (WIDTH * HEIGHT // 2)
    head = f"YUV4MPEG2 W{WIDTH} H{HEIGHT} F10:1 Ip A1:1 C420jpeg\n".encode()
    path.write_bytes(head + frame * FRAMES)
    return path


def phone_before(playwright: Playwright, shop: Shop, folder: Path, text: str) -> Phone:
    tag = film(folder / "tag.y4m", text)
    camera = ["--use-fake-device-for-media-stream", f"--use-file-for-fake-video-capture={tag}"]
    may = ["--use-fake-ui-for-media-stream"]
    return Phone(playwright, folder / "phone", shop, args=[*camera, *may])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path


def test_a_tag_opens_its_job_without_signal(playwright: Playwright, shop: Shop, folder: Path):
    job = shop.ask(SOME_JOB)
    phone = phone_before(playwright, shop, folder, f"{shop.url}/bench/jobs/{job}")
    page = open_bench(phone.open(), "mira")
    page.goto("/bench/")
    shop.kill()
    page.get_by_role("link", name="Scan a tag").click()
    page.wait_for_url(f"**/bench/jobs/{job}", timeout=20_000)
    expect(page.locator("h1")).to_contain_text("J-")
    phone.close()


def test_a_browser_that_reads_codes_itself_is_asked(phone: Phone, shop: Shop, playwright, folder):
    job = shop.ask(SOME_JOB)
    other = phone_before(playwright, shop, folder, "nothing to be read here")
    page = open_bench(other.open(), "mira")
    page.add_init_script(READS_ITSELF % f"{shop.url}/bench/jobs/{job}")
    page.goto("/bench/scan")
    page.wait_for_url(f"**/bench/jobs/{job}", timeout=20_000)
    other.close()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("https://elsewhere.example.org/bench/jobs/" + UNKNOWN, "belongs to another workshop"),
        ("5 012345 678900", "no tag of a job"),
    ],
)
def test_another_code_is_told_as_such(playwright, shop: Shop, folder: Path, text, sentence):
    phone = phone_before(playwright, shop, folder, text)
    page = open_bench(phone.open(), "mira")
    page.goto("/bench/scan")
    expect(page.locator("#scan-line")).to_contain_text(sentence, timeout=20_000)
    expect(page.locator("video")).to_be_visible()
    assert page.url.endswith("/bench/scan")
    phone.close()


def test_a_job_that_is_not_on_the_phone_is_said_and_fetched(playwright, shop: Shop, folder: Path):
    phone = phone_before(playwright, shop, folder, f"{shop.url}/bench/jobs/{UNKNOWN}")
    page = open_bench(phone.open(), "mira")
    page.goto("/bench/scan")
    expect(page.locator("h1")).to_have_text("Not on this phone", timeout=20_000)
    page.get_by_role("button", name="Fetch and send now").click()
    expect(page.locator("h1")).to_have_text("Not on this phone")
    assert page.url.endswith(UNKNOWN)
    phone.close()


def test_without_a_camera_the_number_is_typed(phone: Phone, shop: Shop):
    number = shop.ask("Job.objects.open().order_by('number').first().tag")
    page = open_bench(phone.open(), "mira")
    page.goto("/bench/scan")
    expect(page.locator("#scan-line")).to_contain_text("Type the job's number")
    shop.kill()
    page.get_by_label("Or type the job's number").fill(number.lstrip("J-0"))
    page.get_by_role("button", name="Open").click()
    expect(page.locator("h1")).to_contain_text(number)


def test_a_camera_that_may_not_be_used_is_said(phone: Phone, shop: Shop):
    page = open_bench(phone.open(), "mira")
    page.add_init_script(
        "navigator.mediaDevices.getUserMedia = async () => {"
        " throw new DOMException('no', 'NotAllowedError') }"
    )
    page.goto("/bench/scan")
    expect(page.locator("#scan-line")).to_contain_text("Allow it for this page")
