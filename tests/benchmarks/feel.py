"""How the dashboard feels, measured in the system's Chromium on a warm server: waits, white pages, height.

``python -m tests.benchmarks.feel [--times 3] [--pages line,money] [--pictures FOLDER] [--json FILE]`` starts a
server of its own and writes down, beside the targets:

- from a cold server to the first figures, and to a word on the page;
- from a click on a page's card to the page at rest, for every page whose question is answered already;
- from a click that asks a new question to its first figures;
- the longest time for which the page stood white, from the address typed to the first word;
- how many screens of 1280 x 800 a page is high with everything folded.

A machine with other work on it gives other figures: the load is written beside them.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import Browser, Page, sync_playwright
from playwright.sync_api import TimeoutError as NeverStill

from dashboard.shell import NO_CARDS, PAGES
from linesim.begin import BROWSERS
from tests.dashboard_server import serving

WIDTH_PX, HEIGHT_PX = 1280, 800
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
PATIENCE_S = 240.0
STILL_MS = 250
SCREENS = 2.0
WHITE_S = 0.5
ALL = tuple(module.URL for module in PAGES)
CARDS = tuple(module.URL for module in PAGES if module not in NO_CARDS)

PAINTED = """() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime"""
"""When something stood on the page for the first time, ms from the address typed."""

IS_BUSY = """() => document.querySelector('[data-testid="stApp"]')?.dataset.testScriptState !== 'notRunning'
    || [...document.querySelectorAll('button')].some(button => button.textContent.includes('Stop the study'))"""
"""Whether the script runs or a study is under way."""

STILL = f"""() => new Promise(resolve => {{
    const isBusy = {IS_BUSY};
    let since = performance.now(), seen = performance.now();
    const watch = new MutationObserver(() => {{ seen = performance.now(); }});
    watch.observe(document.body, {{childList: true, subtree: true, characterData: true}});
    const look = () => {{
        if (isBusy()) seen = performance.now();
        if (performance.now() - seen > {STILL_MS}) {{ watch.disconnect(); resolve(seen); }} else setTimeout(look, 20);
    }};
    look();
}})"""
"""When the page last changed before it stood still for a moment."""

ELEMENTS = """() => document.querySelectorAll('*').length"""

HEIGHT = """() => document.querySelector('[data-testid="stMain"]').scrollHeight"""


class Row(NamedTuple):
    """One figure, and what it should be at the most."""

    what: str
    value: float
    unit: str
    target: float | None

    @property
    def is_missed(self) -> bool:
        """Whether it falls short."""
        return self.target is not None and self.value > self.target


def settle(page: Page) -> float:
    """Wait until the page stands still; the moment at which it last changed, in s of its clock."""
    page.set_default_timeout(1000.0 * PATIENCE_S)
    return float(page.evaluate(STILL)) / 1000.0


def click_to_rest(page: Page, url: str) -> float:
    """Seconds from a click on the card of a page until it stands still."""
    number = 1 + CARDS.index(url)
    began = float(page.evaluate("() => performance.now()")) / 1000.0
    page.locator(f".st-key-card{number} a").first.click()
    page.locator(f".st-key-here{number}").first.wait_for()
    return settle(page) - began


def cold(browser: Browser, address: str) -> Iterator[Row]:
    """The first visit after a start of the server."""
    page = browser.new_page(viewport={"width": WIDTH_PX, "height": HEIGHT_PX})
    began = time.monotonic()
    page.goto(f"{address}/line")
    page.locator(".answer").first.wait_for(timeout=1000.0 * PATIENCE_S)
    yield Row("cold server: to a word on the page", time.monotonic() - began, "s", 20.0)
    page.locator(".figures dd").first.wait_for(timeout=1000.0 * PATIENCE_S)
    yield Row("cold server: to first figures", time.monotonic() - began, "s", 20.0)
    settle(page)
    page.close()


def first_visits(browser: Browser, address: str, pages: Sequence[str], pictures: Path | None) -> Iterator[Row]:
    """Every page once by its address, so that its question is answered; white time and height."""
    for url in pages:
        page = browser.new_page(viewport={"width": WIDTH_PX, "height": HEIGHT_PX})
        began = time.monotonic()
        page.goto(f"{address}/{url}")
        page.locator("h1").first.wait_for(timeout=1000.0 * PATIENCE_S)
        heading_s = time.monotonic() - began
        yield Row(f"{url}: white", float(page.evaluate(PAINTED)) / 1000.0, "s", WHITE_S)
        yield Row(f"{url}: to its heading", heading_s, "s", None)
        settle(page)
        yield Row(f"{url}: elements", float(page.evaluate(ELEMENTS)), "", None)
        yield Row(f"{url}: screens high", float(page.evaluate(HEIGHT)) / HEIGHT_PX, "", SCREENS)
        if pictures is not None:
            shoot(page, pictures / f"{url}.png")
        page.close()


def shoot(page: Page, file: Path) -> None:
    """The whole page as a picture."""
    height = int(page.evaluate(HEIGHT))
    size = page.viewport_size
    assert size is not None
    page.set_viewport_size({"width": size["width"], "height": max(height, HEIGHT_PX)})
    page.wait_for_timeout(700)
    page.screenshot(path=file)
    page.set_viewport_size(size)


def round_of_clicks(browser: Browser, address: str, pages: Sequence[str], times: int) -> Iterator[Row]:
    """From card to card, all answers known."""
    page = browser.new_page(viewport={"width": WIDTH_PX, "height": HEIGHT_PX})
    cards = [url for url in CARDS if url in pages]
    if len(cards) < 2:
        return
    page.goto(f"{address}/{cards[0]}")
    settle(page)
    waits: dict[str, list[float]] = {}
    for _ in range(times + 1):
        for url in (*cards[1:], cards[0]):
            waits.setdefault(url, []).append(click_to_rest(page, url))
    for url, values in waits.items():
        yield Row(f"{url}: click to settled page", statistics.median(values[1:]), "s", 1.0)
    page.close()


def new_question(browser: Browser, address: str, times: int) -> Iterator[Row]:
    """A shift that nobody has asked for: from the key to its first words."""
    page = browser.new_page(viewport={"width": WIDTH_PX, "height": HEIGHT_PX})
    page.goto(f"{address}/shift")
    settle(page)
    waits = []
    for shift in range(5, 5 + times):
        field = page.get_by_label("Shift after the warm-up")
        field.fill(str(shift))
        began = time.monotonic()
        field.press("Enter")
        page.locator(".answer", has_text=f"Shift {shift} ").first.wait_for(timeout=1000.0 * PATIENCE_S)
        waits.append(time.monotonic() - began)
        settle(page)
    yield Row("shift: first figures of a new question", statistics.median(waits), "s", 1.5)
    page.close()


def measured(times: int, pages: Sequence[str], pictures: Path | None) -> Iterator[Row]:
    """All figures, in the order in which they are taken."""
    found = next(path for name in BROWSERS if (path := shutil.which(name)))
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        began = time.monotonic()
        with serving(Path(folder)) as served:
            yield Row("cold server: until it listens", time.monotonic() - began, "s", None)
            browser = playwright.chromium.launch(executable_path=found, args=ARGUMENTS)
            try:
                yield from cold(browser, served.address)
                yield from first_visits(browser, served.address, pages, pictures)
                yield from round_of_clicks(browser, served.address, pages, times)
                if "shift" in pages:
                    yield from new_question(browser, served.address, times)
            finally:
                browser.close()


def main() -> int:
    """Measure, print, and say whether all targets are met."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--times", type=int, default=3)
    parser.add_argument("--pages", type=lambda text: text.split(","), default=list(ALL))
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--json", type=Path)
    given = parser.parse_args()
    if given.pictures is not None:
        given.pictures.mkdir(parents=True, exist_ok=True)
    rows = []
    try:
        for row in measured(given.times, given.pages, given.pictures):
            rows.append(row)
            target = "" if row.target is None else f"at most {row.target:g}"
            print(
                f"{row.what:<48} {row.value:7.2f} {row.unit:<2} {target:<12} {'MISSED' if row.is_missed else ''}",
                flush=True,
            )
    except NeverStill as error:
        print(f"A page did not come to rest within {PATIENCE_S:g} s: {error}")
        return 1
    load = ", ".join(f"{each:.1f}" for each in os.getloadavg())
    print(f"load of the machine over 1, 5 and 15 minutes: {load}; processors: {os.cpu_count()}")
    if given.json is not None:
        given.json.write_text(json.dumps({"rows": [row._asdict() for row in rows], "load": os.getloadavg()}, indent=1))
    return int(any(row.is_missed for row in rows))


if __name__ == "__main__":
    sys.exit(main())
