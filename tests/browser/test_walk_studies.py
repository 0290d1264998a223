"""A real browser does the main job on the pages about cutters, cuts and past studies."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.test_walk import SCENARIOS, fits, in_the_other_light, settled, unfold
from tests.rounds import some_each_time

PAGES = ("cutters", "cuts", "past")
Visit = Callable[..., Page]


def choose(page: Page, label: str, option: str) -> Page:
    """One of several; a list of choices closes when the page is scrolled, so that comes first."""
    box = page.get_by_role("combobox", name=label, exact=True).first
    box.scroll_into_view_if_needed()
    page.wait_for_timeout(400)
    box.click()
    page.get_by_role("option", name=option, exact=True).click()
    expect(box).to_have_value(option)
    return settled(page)


def write(page: Page, label: str, text: str) -> None:
    """Into a field, once what was drawn before has gone."""
    field = page.get_by_label(label, exact=True)
    expect(field).to_have_count(1)
    field.fill(text)


def open_trial(page: Page) -> None:
    """The page is drawn anew for it, and what is written before that is gone."""
    page.get_by_text("Change these rules, as a trial beside the others").click()
    page.wait_for_timeout(500)
    settled(page)


def put_trial(page: Page) -> None:
    """Leave the field first: what is drawn anew between the two halves of a click swallows it."""
    page.keyboard.press("Tab")
    settled(page)
    page.get_by_role("button", name="Put the trial beside the others").click()


def ask_further(page: Page, question: str) -> Page:
    page.get_by_text(question, exact=True).first.click()
    return settled(page)


def smallest(page: Page) -> Page:
    """The smallest scenario on the desk, from the page of the line, and its studies done."""
    settled(page)
    page.get_by_role("link", name=re.compile("The line")).click()
    page.get_by_role("button", name="Open or download").click()
    page.locator('input[type="file"]').first.set_input_files(str(SCENARIOS / "smallest.yaml"))
    expect(page.locator("body")).to_contain_text("smallest.yaml")
    page.wait_for_timeout(800)
    return settled(page)


def go_to(page: Page, name: str) -> Page:
    page.get_by_role("link", name=re.compile(name)).click()
    page.locator(".answer").first.wait_for()
    return settled(page)


@pytest.mark.longer
def test_a_trial_stands_beside_the_others_and_is_taken_back(visit: Visit) -> None:
    page = go_to(smallest(visit()), "When to change the cutters")
    choose(page, "Policy", "every 60 parts")
    open_trial(page)
    write(page, "interval, all sets", "25")
    page.get_by_label("Name of the trial").fill("sooner")
    put_trial(page)
    settled(page)
    expect(page.get_by_role("combobox", name="Policy", exact=True)).to_have_value("sooner")
    unfold(page, "Rules and intervals, set by set")
    expect(page.locator("table", has_text='Rules under "sooner"')).to_contain_text("after 25 parts")
    page.get_by_role("button", name="Undo").click()
    settled(page)
    expect(page.locator("body")).not_to_contain_text("sooner")


@pytest.mark.longer
def test_a_refused_interval_is_told_beside_its_row(visit: Visit) -> None:
    page = go_to(smallest(visit()), "When to change the cutters")
    choose(page, "Policy", "every 60 parts")
    open_trial(page)
    write(page, "interval, all sets", "none")
    put_trial(page)
    expect(page.locator(".beside").first).to_contain_text("a whole number was expected")
    expect(page.locator("body")).not_to_contain_text("Traceback")


@pytest.mark.longer
def test_the_search_tells_how_far_it_is_and_is_stopped_with_what_it_has(visit: Visit) -> None:
    page = settled(visit("cutters"))
    ask_further(page, "The best intervals of all")
    write(page, "Quality loss no more than, EUR a part", "40")
    page.keyboard.press("Tab")
    settled(page)
    page.get_by_role("button", name="Look for the best intervals").click()
    expect(page.locator("table:visible", has_text="share of life").first).to_be_visible(timeout=120_000)
    expect(page.locator("body")).to_contain_text(re.compile(r"of [\d\s\u202f]+ runs"))
    page.get_by_role("button", name="Stop the study").last.click()
    page.get_by_role("button", name="Ask again").first.wait_for()
    expect(page.locator("table:visible", has_text="share of life").first).to_be_visible()
    page.get_by_role("button", name="Take these intervals over").click()
    settled(page)
    expect(page.get_by_role("combobox", name="Policy", exact=True)).to_have_value("best intervals")
    page.get_by_role("button", name="Undo").click()
    settled(page)


@pytest.mark.longer
def test_a_routing_is_justified_on_a_sheet_to_take_along(visit: Visit) -> None:
    page = settled(visit("cuts"))
    choose(page, "Variants", "Blades on one bar, together or apart")
    page.get_by_role("button", name="Make the justification sheet").click()
    frame = page.frame_locator('[data-testid="stIFrame"], iframe').frame_locator("iframe")
    expect(frame.locator("h1")).to_have_text("Blades on one bar, together or apart", timeout=180_000)
    for name, ending in (("The sheet (HTML)", ".html"), ("The sheet (Excel)", ".xlsx")):
        with page.expect_download() as taken:
            page.get_by_role("button", name=name).click()
        assert taken.value.suggested_filename.endswith(ending)
        assert Path(taken.value.path()).stat().st_size > 2000


@pytest.mark.longer
def test_a_study_is_named_opened_again_and_taken_away(visit: Visit) -> None:
    page = go_to(smallest(visit()), "When to change the cutters")
    go_to(page, "Past studies")
    unfold(page, "Name it, download it, take it away")
    page.get_by_label("Name", exact=True).fill("walked")
    page.get_by_role("button", name="Give it this name").click()
    settled(page)
    expect(page.locator("h2").first).to_contain_text("walked")
    with page.expect_download() as taken:
        page.get_by_role("button", name="Its runs (CSV)").click()
    assert Path(taken.value.path()).read_text().startswith("run,")
    page.get_by_role("button", name="Take this study away").click()
    expect(page.get_by_role("alert").first).to_contain_text("goes for good")
    page.get_by_role("button", name="Yes, take it away").click()
    settled(page)
    expect(page.locator("body")).not_to_contain_text("walked")


@pytest.mark.parametrize("path", some_each_time(PAGES, "past"))
def test_a_page_of_studies_is_accessible_and_fits(visit: Visit, path: str) -> None:
    page = settled(visit(path))
    fits(page)
    fits(in_the_other_light(page))


@pytest.mark.longer
def test_sheets_are_carried_away_and_cards_are_approved(visit: Visit) -> None:
    """The brief, the tool room's weeks as PDF and workbook, and the cards proposed by one and approved by another."""
    page = smallest(visit())
    go_to(page, "When to change the cutters")
    page.get_by_role("link", name="Sheets to carry away").click()
    page.get_by_text("The tool room's weeks", exact=True).click()
    expect(page.locator("body")).to_contain_text("Week by week")
    settled(page)
    for words, head in (("PDF", b"%PDF-"), ("Excel", b"PK"), ("HTML, to print", b"<!doctype html>")):
        with page.expect_download() as taken:
            page.get_by_role("button", name=words, exact=True).click()
        assert Path(taken.value.path()).read_bytes().startswith(head)
    page.get_by_text("Cards and their approval", exact=True).click()
    settled(page)
    page.get_by_text("Propose these cards").click()
    page.get_by_label("Proposed by", exact=True).fill("A. Setter")
    page.get_by_role("button", name="Propose", exact=True).click()
    page.get_by_text("Approve a proposal").click()
    page.get_by_label("Approved by", exact=True).fill("B. Foreman")
    page.get_by_role("button", name="Approve", exact=True).click()
    expect(page.locator(".answer").first).to_contain_text("are approved and hold today")
    expect(page.locator(".stToast")).to_have_count(0)  # Streamlit's own word of what was done has no name for a reader
    settled(page)
    fits(page)
    fits(in_the_other_light(page))
