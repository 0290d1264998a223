"""A real browser opens the dashboard where it lands: what to do first, why, and on trial."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.test_walk import grave_faults, settled
from tests.browser.test_walk_studies import smallest


@pytest.mark.longer
def test_the_first_page_says_what_to_do_and_does_it_on_trial(visit: Callable[..., Page]) -> None:
    page = smallest(visit("line", 820, "dark"))
    page.get_by_role("link", name=re.compile("What to do first")).click()
    page.locator(".figures").first.wait_for()
    settled(page)
    expect(page.locator(".answer").first).to_contain_text("As it runs today the line does not hold the drawing")
    assert not grave_faults(page)
    page.get_by_role("button", name="Why").first.click()
    expect(page.get_by_text("worth of the good parts").first).to_be_visible()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Do it on trial").first.click()
    settled(page)
    expect(page.get_by_text("The last change brings")).to_be_visible()
    page.get_by_role("link", name=re.compile("The line")).click()
    expect(page.get_by_label("Cutters are changed by this policy")).to_have_value("on trial")
