"""A real browser plays one lesson from its start to the debrief, loads the page again in between, goes a step back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from linesim.report.views import debrief as debrief_view
from linesim.training import Shift, load_lesson, look_back

LESSON = load_lesson(Path(__file__).resolve().parents[2] / "scenarios" / "lessons" / "01-dull-finish-blade.yaml")
NAME = "Wilhelmine von und zu Oberschleuse, <b>3"
Visit = Callable[..., Page]


def still(page: Page) -> Page:
    """The page once Streamlit stands still."""
    page.wait_for_timeout(300)
    expect(page.locator('[data-testid="stStatusWidget"]')).to_have_count(0, timeout=60_000)
    expect(page.locator('[data-stale="true"]')).to_have_count(0, timeout=60_000)
    page.wait_for_timeout(150)
    return page


def press(page: Page, name: str) -> Page:
    page.get_by_role("button", name=name, exact=True).click()
    return still(page)


def minute(page: Page) -> str:
    return page.locator(".figures div").first.locator("dd").inner_text().split("\n")[0]


def begun(page: Page, nickname: str = "") -> Page:
    still(page)
    if nickname:
        page.get_by_label("Nickname (optional)").fill(nickname)
        page.keyboard.press("Tab")
        still(page)
    press(page, "Begin the shift")
    page.get_by_role("button", name="Run so long").wait_for()
    return page


def accessible(page: Page) -> None:
    """It fits its width, and axe finds nothing grave."""
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 1
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    grave = [
        (each["id"], node["target"], node.get("failureSummary", "")[:160])
        for each in found
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"]
    ]
    assert not grave


def test_a_lesson_is_played_from_start_to_debrief_and_a_reload_loses_nothing(visit: Visit) -> None:
    page = begun(visit("lesson"), "Ada of the browser")
    history: list[dict[str, object]] = [{"do": "run", "minutes": 30}] * 2
    for _ in history:
        press(page, "Run so long")
    assert minute(page) == "60"
    press(page, "Order this")
    expect(page.locator('[data-testid="stAlert"]')).to_contain_text("Ordered: Op 20: Change the finish blade")
    history.append({"do": "change", "machine": "Op 20", "set": "finish blade"})
    press(page, "Run so long")
    seen = page.locator(".wide").all_inner_texts()
    page.reload()
    page.get_by_role("button", name="Run so long").wait_for()
    still(page)
    assert minute(page) == "90"
    assert page.locator(".wide").all_inner_texts() == seen
    press(page, "Take the last step back")
    assert minute(page) == "60"
    press(page, "Run so long")
    assert page.locator(".wide").all_inner_texts() == seen
    twin = Shift(LESSON, 1, [*history, {"do": "run", "minutes": 30}])
    while not twin.is_over:
        press(page, "On to the next decision")
        twin.decide({"do": "run"})
    page.get_by_role("button", name="Play the same shift again").wait_for()
    told = debrief_view.verdict_words(look_back(twin))
    expect(page.locator(".answer").first).to_have_text(told)
    page.reload()
    expect(page.locator(".answer").first).to_have_text(told)
    still(page)
    press(page, "To the lessons")
    page.get_by_text("Trainees", exact=True).click()
    # The table behind the fold names every shift played as well; the first one names each trainee once.
    expect(page.locator("table").first.locator("tbody th", has_text="Ada of the browser")).to_have_count(1)


@pytest.mark.longer
def test_two_windows_do_not_mix(visit: Visit) -> None:
    first, second = begun(visit("lesson")), begun(visit("lesson"))
    press(first, "Run so long")
    press(second, "Order this")
    assert (minute(first), minute(second)) == ("30", "0")
    for page, wanted in ((first, "30"), (second, "0")):
        page.reload()
        page.get_by_role("button", name="Run so long").wait_for()
        assert minute(still(page)) == wanted


@pytest.mark.longer
@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (820, "dark")])
def test_every_stage_is_accessible_and_fits(visit: Visit, width: int, scheme: str) -> None:
    page = still(visit("lesson", width, scheme))
    accessible(page)
    begun(page, NAME)
    press(page, "Run so long")
    accessible(press(page, "Order this"))
    while page.get_by_role("button", name="On to the next decision").count():
        press(page, "On to the next decision")
    page.get_by_role("button", name="To the lessons").wait_for()
    accessible(still(page))
    press(page, "To the lessons")
    page.get_by_text("Trainees", exact=True).click()
    page.get_by_role("button", name="Delete everything kept of this nickname").wait_for()
    accessible(still(page))
