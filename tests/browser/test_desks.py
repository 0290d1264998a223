"""Two browsers at one desk, and a server that is started again: nothing is lost, and each takes back his own steps."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.test_lesson import accessible, press, still
from tests.browser.test_own import sheet, shows, type_over
from tests.dashboard_server import ROOT, free_port, serving


@pytest.fixture
def pages(browser: Browser) -> Iterator[tuple[Page, Page]]:
    """Two people, each with a browser of his own: one wide and by day, one narrow and by night."""
    ada = browser.new_context(viewport={"width": 1280, "height": 800}, reduced_motion="reduce")
    bob = browser.new_context(viewport={"width": 820, "height": 800}, color_scheme="dark", reduced_motion="reduce")
    for context in (ada, bob):
        context.set_default_timeout(90_000)
    yield ada.new_page(), bob.new_page()
    ada.close()
    bob.close()


@pytest.mark.longer
def test_two_work_at_one_desk_and_find_it_after_a_restart(pages: tuple[Page, Page], tmp_path: Path) -> None:
    ada, bob = pages
    port, env = free_port(), {"LINESIM_DASHBOARD_FILE": str(ROOT / "scenarios" / "smallest.yaml")}
    with serving(tmp_path, port, env) as served:
        ada.goto(f"{served.address}/own")
        sheet(ada, "People")
        ada.get_by_role("button", name="Share", exact=True).click()
        for _ in range(3):  # to look, to copy, to work together
            ada.get_by_role("button", name="Make this link").first.click()
            still(ada)
        link = ada.locator('[data-testid="stCode"] code').nth(2).inner_text().strip()
        ada.keyboard.press("Escape")
        bob.goto(link.replace("/?", "/own?"))
        sheet(bob, "Operations")
        type_over(bob, 0, "Op 11")
        expect(ada.locator('[data-testid="stAlert"]')).to_contain_text("A colleague has changed this desk")
        type_over(ada, 0, "fitters")
        expect(ada.locator('[data-testid="stAlert"]').first).to_contain_text("both changes stand")
        press(ada, "Undo")
        shows(ada, "setters")
        sheet(ada, "Operations")
        shows(ada, "Op 11")  # Bob's step is not taken back
        accessible(ada)
        accessible(bob)
        address = ada.url
    with serving(tmp_path, port, env):
        ada.goto(address)
        sheet(ada, "Operations")
        shows(ada, "Op 11")
        ada.get_by_role("button", name="Op 11, 1 of 3").press("ArrowRight")
        ada.get_by_role("button", name="Op 11, 2 of 3").wait_for()
        press(ada, "Undo")
        ada.get_by_role("button", name="Op 11, 1 of 3").wait_for()
        bob.goto(f"http://localhost:{port}/own?desk=nobody-s")
        expect(bob.locator("h1")).to_have_text("This link leads nowhere any more")
