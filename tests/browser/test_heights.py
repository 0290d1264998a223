"""No page is more than two screens high before anybody has unfolded anything."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.benchmarks.feel import HEIGHT, HEIGHT_PX, SCREENS
from tests.browser.test_walk import settled

Visit = Callable[..., Page]

QUICK = ("line", "money", "shift", "drawing", "lesson", "past", "own", "desks", "records", "manual")
LONG = ("advice", "cutters", "cuts", "carry")
"""Their studies take longer."""


@pytest.mark.parametrize("urls", [QUICK, pytest.param(LONG, marks=pytest.mark.longer)], ids=["quick", "long"])
def test_no_page_is_more_than_two_screens_high(visit: Visit, urls: tuple[str, ...]) -> None:
    page = visit(urls[0])
    root = page.url.partition("/" + urls[0])[0]
    heights = {}
    for url in urls:
        page.goto(f"{root}/{url}")
        page.locator(".answer").first.wait_for()
        heights[url] = settled(page).evaluate(HEIGHT) / HEIGHT_PX
    assert not {url: height for url, height in heights.items() if height > SCREENS}
