"""A server of the dashboard and the system's own Chromium, for all tests of this folder."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from linesim.begin import BROWSERS
from tests.dashboard_server import serving

ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
PATIENCE_MS = 90_000
expect.set_options(timeout=45_000)


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where a dashboard listens."""
    with serving(tmp_path_factory.mktemp("dashboard")) as served:
        yield served.address


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium; a machine without one fails here, and does not skip."""
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    assert found, f"none of {', '.join(BROWSERS)} is on this machine; apt-get install chromium"
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=found, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture
def visit(browser: Browser, address: str) -> Iterator[Callable[..., Page]]:
    """Opens a page of the dashboard as a user of its own.

    Nothing may be asked of another host, and nothing may break the rules in the headers of the page.
    """
    contexts = []
    strangers: list[str] = []
    refused: list[str] = []

    def opened(path: str = "line", width: int = 1280, scheme: str = "light") -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": 800},
            color_scheme="dark" if scheme == "dark" else "light",
            accept_downloads=True,
            reduced_motion="reduce",
        )
        contexts.append(context)
        context.set_default_timeout(PATIENCE_MS)
        page = context.new_page()
        page.on("request", lambda asked: strangers.append(asked.url) if _is_strange(asked.url, address) else None)
        page.on("console", lambda words: refused.append(words.text) if _is_refusal(words.text) else None)
        page.goto(f"{address}/{path}")
        page.locator(".answer").first.wait_for()
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not strangers
    assert not refused


def _is_strange(url: str, address: str) -> bool:
    return not url.startswith((address, address.replace("http", "ws"), "data:", "blob:"))


def _is_refusal(words: str) -> bool:
    """Whether the browser's console says that a rule of the page's headers was broken."""
    return "Content Security Policy" in words or "permissions policy" in words.lower()
