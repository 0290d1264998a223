"""A server of the dashboard and the system's own Chromium, for all tests of this folder."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from linesim.begin import BROWSERS
from linesim.cli.dashboard import server_command

ROOT = Path(__file__).resolve().parents[2]
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
PATIENCE_MS = 90_000
expect.set_options(timeout=45_000)


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where a dashboard listens."""
    with closing(socket.socket()) as free:
        free.bind(("localhost", 0))
        port = int(free.getsockname()[1])
    log = tmp_path_factory.mktemp("dashboard") / "log"
    own = os.environ | {"LINESIM_STORE": str(tmp_path_factory.mktemp("store") / "runs.sqlite")}
    with log.open("w") as out:
        server = subprocess.Popen(server_command(port, "localhost"), cwd=ROOT, stdout=out, stderr=out, env=own)
        try:
            _wait_for(f"http://localhost:{port}/_stcore/health")
            yield f"http://localhost:{port}"
        finally:
            server.terminate()
            server.wait(20)
    assert "Traceback" not in log.read_text(), log.read_text()


def _wait_for(url: str) -> None:
    end = time.monotonic() + 90.0
    while True:
        try:
            with urllib.request.urlopen(url, timeout=5) as answer:
                if answer.status == 200:
                    return
        except OSError:
            assert time.monotonic() < end, "the dashboard does not answer"
            time.sleep(0.2)


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
    """Opens a page of the dashboard as a user of its own; nothing may be asked of any other host."""
    contexts = []
    strangers: list[str] = []

    def opened(path: str = "", width: int = 1280, scheme: str = "light") -> Page:
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
        page.goto(f"{address}/{path}")
        page.locator(".answer").first.wait_for()
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not strangers


def _is_strange(url: str, address: str) -> bool:
    return not url.startswith((address, address.replace("http", "ws"), "data:", "blob:"))
