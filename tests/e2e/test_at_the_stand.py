"""Promise: at the stand one tap is enough, and one tap takes it back."""

import json

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.e2e.bench_pages import fetch_now, prepare
from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop, until

pytestmark = pytest.mark.browser
OPEN_JOB = "str(Job.objects.filter(place='on the stand').order_by('number').first().pk)"
# What has the focus and lies under something else.
COVERED = """
() => {
  const focused = document.activeElement;
  const box = focused.getBoundingClientRect();
  const top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return focused.contains(top) || focused.closest('label')?.contains(top)
    ? [] : [focused.outerHTML.slice(0, 90)];
}
"""
COUNT_LOCKS = """
window.asked = 0;
navigator.wakeLock.request = async () => { window.asked += 1; return { released: false } };
"""


@pytest.fixture
def job(shop: Shop) -> str:
    return f"/bench/jobs/{shop.ask(OPEN_JOB)}"


def type_in(page: Page, number: str) -> None:
    for key in number:
        page.locator(f".pad-key[data-key='{key}']").click()


def test_a_tick_and_hands_are_taken_back_in_one_tap(shop: Shop, phone: Phone, job: str):
    page = open_bench(phone.open(), "mira")
    page.goto(job)
    row = page.locator("li.step", has=page.locator("button.tick[aria-pressed=false]")).first
    tick = page.locator(f"#{row.get_attribute('id')} button.tick")
    tick.click()
    expect(page.locator("#kept")).to_contain_text("Kept.")
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(tick).to_have_attribute("aria-pressed", "false")
    expect(page.locator("#kept")).to_have_text("Taken back.")

    page.get_by_role("button", name="Hands on").click()
    expect(page.locator("#hands-line")).to_contain_text("0 min")
    expect(page.get_by_role("button", name="Hands off")).to_be_visible()
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(page.get_by_role("button", name="Hands on")).to_be_visible()
    expect(page.locator("#hands-line")).to_be_empty()


def test_forgotten_hands_are_asked_about_and_come_off_when_somebody_left(shop: Shop, phone: Phone):
    job = prepare(shop)[0]
    page = open_bench(phone.open(), "mira")
    fetch_now(page)
    question = page.locator(".hands-question")
    expect(question).to_contain_text("Still hands on")
    question.get_by_role("button", name="Still on it").click()
    expect(page.locator(".running")).to_contain_text("3 h 0")
    page.reload()
    expect(question).to_have_count(0)

    page.goto(f"/bench/jobs/{job}/hands")
    page.get_by_label("Stopped at", exact=True).fill("00:00")
    page.get_by_role("button", name="Stopped at that time").click()
    page.get_by_role("button", name="Hands off now").click()
    page.wait_for_url("**?kept=*")
    expect(page.locator("#kept")).to_contain_text("Hands off")
    expect(page.locator("#truth")).to_contain_text("All sent", timeout=20_000)
    on_the_bike = f"state_of(Job.objects.get(pk='{job}'))['hands']"
    told = "from shopfloor.jobs.queries import state_of\nprint(len(" + on_the_bike + "))"
    assert until(lambda: shop.run(told), "0") == "0"


def test_the_torque_run_goes_on_by_itself(shop: Shop, phone: Phone, job: str):
    page = open_bench(phone.open(), "mira")
    page.goto(f"{job}/torque")
    first = page.locator(".torque-next .torque-label").inner_text()
    page.locator("a.torque-next").click()
    expect(page.locator("h1")).to_have_text(first)
    page.get_by_role("button", name="Found loose").click()
    expect(page.locator("#kept")).to_contain_text("found: loose")
    expect(page.locator("h1")).to_have_text(first)
    type_in(page, "12")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("h1")).not_to_have_text(first)
    page.get_by_role("link", name="Back one").click()
    expect(page.locator("h1")).to_have_text(first)
    expect(page.locator("#phase-left")).to_contain_text("12 N·m")
    page.keyboard.type("13.5")
    expect(page.locator("#value")).to_have_value("13.5")


def test_a_number_is_drawn_on_its_band_while_it_is_typed(shop: Shop, phone: Phone, job: str):
    page = open_bench(phone.open(), "mira")
    page.goto(f"{job}/torque")
    row = page.locator("li.fastener", has_text="35 to 50 N·m").first
    row.locator("a.cell").last.click()
    expect(page.locator("svg .scale-band")).to_be_visible()
    expect(page.locator("svg .scale-typing")).to_have_count(0)
    type_in(page, "41")
    mark = page.locator("svg .scale-typing")
    expect(mark).to_have_count(1)
    inside = mark.get_attribute("d")
    type_in(page, "9")
    expect(mark).not_to_have_attribute("d", str(inside))


def test_a_step_is_found_without_signal_and_by_keyboard(shop: Shop, phone: Phone, job: str):
    page = open_bench(phone.open(), "mira")
    page.goto(job)
    shop.kill()
    page.get_by_role("link", name="Find a step").click()
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.type("chain off")
    expect(page.get_by_role("status").filter(has_text="found")).to_be_visible()
    expect(page.locator("#found a").first).to_contain_text("Chain and sprockets off")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{job}#step-*")
    key = page.url.split("#")[1]
    expect(page.locator(f"#{key}")).to_be_in_viewport()


def test_a_photo_is_taken_in_one_tap_and_shown_at_once(
    shop: Shop, phone: Phone, job: str, tmp_path
):
    picture = tmp_path / "bike.jpg"
    Image.effect_noise((1200, 900), 60).convert("RGB").save(picture, quality=80)
    page = open_bench(phone.open(), "mira")
    page.goto(f"{job}/steps/identify")
    shop.kill()
    with page.expect_file_chooser() as chooser:
        page.locator(".sticky-button.camera").click()
    chooser.value.set_files(picture)
    expect(page.locator("#kept img")).to_be_visible()
    shown = page.locator("#photos img").last
    expect(shown).to_be_visible()
    page.wait_for_function("() => document.querySelector('#photos img').naturalWidth > 0")
    page.locator("#photos a").last.click()
    expect(page.locator("figure.photo img")).to_be_visible()
    expect(page.locator("figcaption")).to_contain_text("Mira")


def test_a_photo_of_another_phone_comes_small_by_itself(shop: Shop, phone: Phone):
    page = open_bench(phone.open(), "mira")
    job = f"/bench/jobs/{prepare(shop)[0]}"
    fetch_now(page)
    page.goto(job)
    photo = page.locator("#photos figure", has_text="As Ned saw it")
    expect(photo.locator("img")).to_be_visible(timeout=60_000)
    shop.kill()
    page.reload()
    expect(photo.locator("img")).to_be_visible()


def test_two_phones_that_disagree_are_settled_without_signal(shop: Shop, phone: Phone):
    job, step, item = prepare(shop)
    page = open_bench(phone.open(), "mira")
    fetch_now(page)
    page.goto(f"/bench/jobs/{job}")
    notice = page.locator(f"[data-conflict='ask:{step}:{item}:found']")
    expect(notice.locator("button.take").nth(1)).to_be_visible()
    entries = notice.locator("button.take").count()
    shop.kill()
    value = notice.locator(".take-value").first.inner_text()
    notice.locator("button.take").first.click()
    expect(notice).to_have_count(0)
    expect(page.locator(f"#step-{step}")).to_contain_text(value)
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(notice.locator("button.take")).to_have_count(entries)
    notice.locator("button.take").first.click()
    expect(notice).to_have_count(0)
    shop.start()
    page.reload()
    expect(page.locator("#truth")).to_contain_text("All sent", timeout=30_000)
    settled = f"[c for c in state_of(Job.objects.get(pk='{job}'))['conflicts'] if '{step}' in c]"
    told = f"from shopfloor.jobs.queries import state_of\nprint({settled})"
    assert until(lambda: shop.run(told), "[]") == "[]"


def test_who_works_is_changed_on_the_spot_and_what_is_typed_stays(
    shop: Shop, phone: Phone, job: str
):
    page = open_bench(phone.open(), "mira")
    page.goto(f"{job}/note")
    page.get_by_label("What should others know?").fill("half a note")
    page.locator("#who summary").click()
    page.locator("#who").get_by_role("button", name="Ned").click()
    expect(page.locator("#who summary")).to_contain_text("Ned")
    expect(page.get_by_label("What should others know?")).to_have_value("half a note")
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".note").last).to_contain_text("Ned")


def test_the_screen_stays_awake_on_an_open_job_alone(shop: Shop, phone: Phone, job: str):
    page = open_bench(phone.open(), "mira")
    page.add_init_script(COUNT_LOCKS)
    page.goto("/bench/")
    page.wait_for_timeout(300)
    assert page.evaluate("window.asked") == 0
    page.goto(job)
    assert until(lambda: page.evaluate("window.asked"), 1) == 1


def test_without_a_mouse_or_a_finger(shop: Shop, phone: Phone, job: str):
    page = open_bench(phone.open(), "mira")
    page.goto(job)
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    hidden = []
    for _ in range(40):
        page.keyboard.press("Tab")
        hidden += page.evaluate(COVERED)
    assert hidden == []
    page.reload()
    tick = page.locator("button.tick[aria-pressed=false]").first
    row = tick.locator("xpath=ancestor::li").get_attribute("id")
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.matches('button.tick[aria-pressed=false]')"):
            break
    focused = page.locator(f"#{row} button.tick")
    expect(focused).to_be_focused()
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("Space")
    expect(focused).to_have_attribute("aria-pressed", "true")
    expect(focused).to_be_focused()
    assert "Kept." in page.locator("#kept[role=status]").inner_text()
    kinds = "json.dumps([e.wire['body'] for e in StoredEntry.objects.order_by('-seq')[:1]])"
    done = [{"step": str(row).removeprefix("step-"), "outcome": "done"}]
    assert until(lambda: json.loads(shop.ask(kinds)), done) == done
