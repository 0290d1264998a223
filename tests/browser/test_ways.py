"""From a figure to why, and back; variants typed by hand; a guest's seat; paper: one short walk each."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.test_walk import settled, unfold
from tests.browser.test_walk_studies import smallest

Visit = Callable[..., Page]


def press(page: Page, name: str) -> Page:
    page.get_by_role("button", name=name, exact=True).first.click()
    return settled(page)


def test_an_operation_leads_to_its_money_and_a_costly_moment_to_its_cutters_and_both_lead_back(visit: Visit) -> None:
    page = smallest(visit())
    press(page, "Where its money goes")
    expect(page.locator("table", has_text="makes EUR").first).to_be_visible()
    press(page, "Back to: The line")
    expect(page.get_by_role("button", name="Where its money goes")).to_be_visible()
    page.get_by_role("link", name="A shift, minute by minute").click()
    settled(page).locator(".st-key-rows button").first.click()
    settled(page)
    expect(page.locator(".note", has_text="The floor beneath stands at")).to_be_visible()
    press(page, "Its cutters through this shift")
    expect(page.locator('[data-testid="stExpander"] details[open]', has_text="Cutters as they dull")).to_be_visible()
    press(page, "What it takes of a part")
    expect(page.locator(".note", has_text="minutes of a part on a machine")).to_be_visible()
    press(page, "Back to: A shift, minute by minute")
    expect(page.locator(".note", has_text="The floor beneath stands at")).to_be_visible()


def test_what_is_folded_away_is_on_paper_only_where_it_is_open(visit: Visit) -> None:
    page = smallest(visit())
    page.get_by_role("link", name="Where the money goes").click()
    unfold(settled(page), "The ledger of a good part, item by item")
    page.emulate_media(media="print")
    expect(page.locator("table", has_text="all together").first).to_be_visible()
    expect(page.get_by_text("What a figure is made of", exact=True)).to_be_hidden()


def test_a_guest_who_only_looks_sees_the_desk_as_it_stands_and_changes_nothing(visit: Visit) -> None:
    page = smallest(visit())
    press(page, "Share")
    press(page, "Make this link")
    link = page.locator("code", has_text="desk=").first.inner_text()
    guest = visit("?" + link.partition("?")[2])
    expect(guest.locator("h1")).to_have_text(page.locator("h1").inner_text())
    expect(guest.locator(".note", has_text="nothing on it can be changed")).to_be_visible()
    expect(guest.get_by_role("button", name="Undo")).to_have_count(0)


def test_variants_are_copied_in_their_table_and_set_side_by_side(visit: Visit) -> None:
    page = smallest(visit())
    page.get_by_role("link", name="How many cuts").click()
    fold = unfold(settled(page), "Type in variants of your own")
    fold.get_by_text("Each row changes one figure of one variant").wait_for()
    press(page, "Set these variants side by side")
    expect(page.get_by_role("alert").first).to_be_visible()
    expect(page.locator("body")).not_to_contain_text("Traceback")
