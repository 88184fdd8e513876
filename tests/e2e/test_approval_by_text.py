"""Promise: nothing that was not agreed is done; the customer says yes or no from a text message."""

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser
YES, NO = "Renew the rear tyre", "New bell"


@pytest.fixture
def job(shop: Shop) -> str:
    """A job that nobody has touched and that has no limit to go ahead within."""
    found = "Job.objects.filter(place='booked').order_by('number').first()"
    shop.run(f"job = {found}; job.go_ahead_minor = 0; job.save()")
    return shop.ask(f"{found}.pk")


def report(page: Page, job: str, title: str, minutes: int, part: str, price: str) -> None:
    page.goto(f"/bench/jobs/{job}/finding")
    task = page.get_by_label("From the workshop's list")
    listed = task.locator("option", has_text=title)
    if listed.count():
        task.select_option(value=listed.first.get_attribute("value"))
    page.get_by_label("What needs doing").fill(title)
    page.get_by_label("Why", exact=True).fill(f"{title}: it is worn through.")
    page.get_by_label("Minutes of work").fill(str(minutes))
    page.get_by_text("Parts, if any").click()
    page.get_by_label("Part 1").fill(part)
    page.get_by_label("Price each, if known").first.fill(price)
    page.get_by_role("button", name="Report the finding").click()
    expect(page.locator("#findings + ul")).to_contain_text(title)


def say(page: Page, title: str, words: str) -> None:
    page.locator("fieldset", has_text=title).get_by_text(words, exact=True).click()


def test_a_finding_becomes_a_question_and_its_answer_reaches_the_stand(
    shop: Shop, phone: Phone, desk: Page, customer: Page, job: str
):
    bench = open_bench(phone.open(), "mira")
    report(bench, job, YES, 15, "Tyre", "28.00")
    report(bench, job, NO, 5, "Bell", "9.50")
    expect(bench.locator("#truth")).to_contain_text("All sent", timeout=20_000)

    desk.goto(f"/jobs/{job}/")
    desk.get_by_role("button", name="Offer to").click()
    expect(desk.locator("#offers")).to_be_visible()
    shop.make_messages_due()
    desk.goto("/outbox/")
    text = desk.locator(".message", has_text=shop.ask(f"Job.objects.get(pk='{job}').tag"))
    link = text.get_by_role("link", name="See the customer's page").get_attribute("href")

    customer.goto(link)
    customer.get_by_role("button", name="See the total of my answers").click()
    expect(customer.locator("#errors")).to_contain_text(YES)
    say(customer, YES, "Yes, do this")
    customer.get_by_role("button", name="See the total of my answers").click()
    expect(customer.locator("#errors")).to_contain_text(NO)
    expect(customer.locator("#errors")).not_to_contain_text(YES)
    say(customer, NO, "No, leave it")
    customer.get_by_role("button", name="See the total of my answers").click()
    expect(customer.locator("h1")).to_have_text("Check your answers")
    assert shop.ask(f"Job.objects.get(pk='{job}').offers.get().state") == "open"
    customer.get_by_role("button", name="Send my answer").click()
    expect(customer.locator("h1")).to_have_text("We have your answer")
    customer.goto(link)
    expect(customer.locator("h1")).to_have_text("We have your answer")

    bench.goto(f"/bench/jobs/{job}")
    agreed = bench.locator("[id^=finding-]", has_text=YES)
    expect(agreed).to_contain_text("agreed", timeout=60_000)
    expect(bench.locator("[id^=finding-]", has_text=NO)).to_contain_text("declined: leave it")
    expect(bench.locator("li.step", has_text="added").first).to_be_visible()
    desk.goto(f"/jobs/{job}/")
    expect(desk.locator("#offers")).to_be_visible()
    expect(desk.locator("article.offer")).to_contain_text("Answered")
