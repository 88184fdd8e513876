"""A calculator answers while somebody types, and says why where it cannot."""

import re

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def test_an_answer_follows_what_is_typed(desk: Page):
    desk.goto("/calculators/")
    desk.get_by_role("link", name="Verdict on a chain").click()
    answer = desk.locator("#calculation > section").first
    expect(answer).to_contain_text("0.52 % has reached the limit of 0.5 %.")

    desk.get_by_label("Elongation").fill("0,3")
    expect(answer).to_contain_text("0.3 % is under the limit of 0.5 %.")
    expect(desk).to_have_url(re.compile("elongation_pct=0%2C3"))

    desk.get_by_label("Elongation").fill("worn")
    expect(answer).to_contain_text("“worn” is not a number")
    expect(desk.get_by_label("Elongation")).to_be_focused()
