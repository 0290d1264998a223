"""A real browser does the main job on each page of the dashboard."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from linesim.works import load_works, works_from_text
from tests.rounds import some_each_time

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
PAGES = ("line", "money", "shift", "drawing")
Visit = Callable[..., Page]


IS_BUSY = """() => document.querySelector('[data-testid="stApp"]')?.dataset.testScriptState !== "notRunning"
    || [...document.querySelectorAll("button")].some(each => each.textContent.trim() === "Stop the study")"""
QUIET_S = 1.25


def settled(page: Page) -> Page:
    """The page once no study is on its way and Streamlit stands still for a while."""
    began = quiet_since = time.monotonic()
    while (now := time.monotonic()) - began < 150.0:
        page.wait_for_timeout(100)
        if page.evaluate(IS_BUSY):
            quiet_since = time.monotonic()
        elif now - quiet_since >= QUIET_S:
            return page
    raise AssertionError("the page does not come to rest")


def figure(page: Page, name: str) -> str:
    """A figure of the strip, by its name."""
    return page.locator(".figures div", has_text=name).first.locator("dd").inner_text()


def unfold(page: Page, words: str) -> Page:
    """Open a fold, if it is not open."""
    fold = page.locator('[data-testid="stExpander"]', has_text=words).last
    if fold.locator("details[open]").count() == 0:
        fold.locator("summary").click()
    return settled(page)


def figures(page: Page) -> Page:
    """The form over the figures of the line, once all is at rest."""
    return unfold(settled(page), "Change its figures")


def put(page: Page) -> Page:
    page.get_by_role("button", name="Put into the line").click()
    return settled(page)


def opened(page: Page) -> Page:
    """The scenario's drawer, open."""
    if page.locator('input[type="file"]').count() == 0:
        page.get_by_role("button", name="Open or download").click()
        page.locator('input[type="file"]').wait_for(state="attached")
    return page


def upload(page: Page, name: str, content: bytes) -> Page:
    opened(page)
    page.locator('input[type="file"]').set_input_files({"name": name, "mimeType": "text/yaml", "buffer": content})
    page.wait_for_timeout(800)
    return settled(page)


def test_the_demo_opens_with_an_answer_and_a_changed_figure_changes_it(visit: Visit) -> None:
    page = figures(visit())
    expect(page.locator(".answer").first).to_contain_text("Op 60 (bore cylinders) holds the line back")
    before = figure(page, "output")
    page.get_by_label("machines", exact=True).fill("2")
    put(page)
    page.get_by_role("button", name="Undo").wait_for()
    # Op 10 got a second machine, which does not help: the constraint stays, and the figures may not.
    expect(page.locator(".answer").first).to_contain_text("Op 60 (bore cylinders) holds the line back")
    page.get_by_role("button", name="Undo").click()
    settled(page)
    assert figure(page, "output") == before
    expect(page.get_by_label("machines", exact=True)).to_have_value("1")


@pytest.mark.longer
def test_a_changed_interval_changes_the_figures(visit: Visit) -> None:
    page = figures(visit())
    choose(page, "What to change", "a policy")
    before = figure(page, "output")
    page.get_by_label("rule", exact=True).nth(1).fill("{parts: 40}")
    put(page)
    assert figure(page, "output") != before


def choose(page: Page, label: str, option: str) -> Page:
    """Take another option; the list is opened again if a redrawn page has closed it."""
    wanted = page.get_by_role("option", name=option, exact=True)
    for _ in range(5):
        page.get_by_label(label, exact=True).first.click()
        page.wait_for_timeout(700)
        if wanted.count():
            wanted.click()
            break
    return settled(page)


REFUSED = {
    "broken.yaml": (b"name: x\nlines:\n  a:\n    operations:\n      Op 10: {minutes: 3 kg}\n", "broken.yaml, line 5"),
    "path.yaml": (b"extends: /etc/passwd\nname: x\n", "extends needs a file to stand in a folder"),
    "object.yaml": (b"a: !!python/object/apply:os.system [echo]\n", "object.yaml, line 1"),
    "no-text.yaml": (b"\xff\xfe\x00", "is not UTF-8 text"),
    "aliases.yaml": (b"a: &a [x, x]\nb: [*a, *a]\n", "aliases.yaml, line"),
}
"""Files by name, each with what the page says of it; the words themselves are held by the tests of hostile files."""
ONE_OF_A_KIND = ("broken.yaml", "no-text.yaml")


@pytest.mark.parametrize(
    "names", [ONE_OF_A_KIND, pytest.param(tuple(REFUSED), marks=pytest.mark.longer)], ids=["two", "all"]
)
def test_broken_and_hostile_files_are_refused_with_a_word_and_nothing_is_lost(
    visit: Visit, names: tuple[str, ...]
) -> None:
    """One after the other, in one visit."""
    page = settled(visit())
    for name in names:
        content, told = REFUSED[name]
        upload(page, name, content)
        expect(page.get_by_role("alert").first).to_contain_text(told)
        expect(page.locator("body")).not_to_contain_text("Traceback")
        expect(page.locator("h1")).to_have_text("Canal-boat diesel, cylinder block")


def test_markup_in_a_file_is_shown_as_it_stands(visit: Visit) -> None:
    nasty = "<img src=x onerror=document.title='bad'> **b** :red[x] [l](javascript:1)"
    text = (SCENARIOS / "smallest.yaml").read_text().replace("name: ", f'name: "{nasty}" #', 1)
    text = text.replace("Op 10", "<script>document.title='bad'</script>")
    page = settled(visit())
    upload(page, "markup.yaml", text.encode())
    expect(page.locator("h1")).to_have_text(nasty)
    for name in ("Where the money goes", "A shift, minute by minute", "Is it up to the drawing?"):
        settled(page)
        page.get_by_role("link", name=name).click()
        page.locator(".answer, .note").first.wait_for()
        settled(page)
        assert page.title() != "bad"
        assert page.locator("img[src=x]").count() == 0


@pytest.mark.longer
def test_a_scenario_is_taken_along_and_reopens_identically(visit: Visit, tmp_path: Path) -> None:
    page = figures(visit())
    page.get_by_label("machines", exact=True).fill("2")
    put(page)
    opened(page)
    with page.expect_download() as taken:
        page.get_by_role("button", name="Download the scenario in hand").click()
    content = Path(taken.value.path()).read_bytes()
    works = works_from_text(content.decode())
    assert works.lines["block"].operations["Op 10"].machines == 2
    other = settled(visit())
    upload(other, "again.yaml", content)
    opened(other)
    with other.expect_download() as again:
        other.get_by_role("button", name="Download the scenario in hand").click()
    assert Path(again.value.path()).read_bytes() == content


@pytest.mark.longer
def test_units_are_switched_everywhere(visit: Visit) -> None:
    page = figures(visit())
    expect(page.get_by_role("textbox", name="depth, mm").first).to_have_value("3")
    page.get_by_role("button", name="inch").or_(page.get_by_role("radio", name="inch")).first.click()
    settled(page)
    expect(page.get_by_role("textbox", name="depth, in").first).to_have_value("0.11811")


def test_a_study_is_stopped_and_asked_again(visit: Visit) -> None:
    page = figures(visit())
    choose(page, "What to change", "run and calendar")
    page.get_by_label("length, min", exact=True).fill("3000000")
    page.keyboard.press("Tab")
    page.get_by_role("button", name="Put into the line").click()
    page.get_by_role("button", name="Stop the study", exact=True).first.click()
    again = page.get_by_role("button", name="Ask again").first
    again.wait_for()
    expect(page.locator("body")).to_contain_text(re.compile("Stopped (after|before)"))
    page.get_by_role("button", name="Undo").click()
    settled(page)
    assert "±" in figure(page, "output")


@pytest.mark.longer
def test_a_reload_keeps_the_scenario_and_its_answer(visit: Visit) -> None:
    page = figures(visit())
    page.get_by_label("machines", exact=True).fill("3")
    put(page)
    assert "desk=" in page.url
    page.reload()
    page.locator(".figures").first.wait_for()
    expect(page.get_by_label("machines", exact=True)).to_have_value("3")


@pytest.mark.longer
def test_a_shift_is_stepped_and_played(visit: Visit) -> None:
    page = settled(visit("shift"))
    page.get_by_role("button", name="Step on").click()
    expect(page.locator("body")).not_to_contain_text("0:00 into the shift")
    told = page.locator(".note", has_text="into the shift")
    first = told.inner_text()
    page.get_by_text("Play", exact=True).click()
    expect(told).not_to_have_text(first, timeout=15_000)
    page.get_by_text("Play", exact=True).click()


def in_the_other_light(page: Page) -> Page:
    """The same visit on a narrow screen in the dark, read anew."""
    page.set_viewport_size({"width": 820, "height": 800})
    page.emulate_media(color_scheme="dark")
    page.reload()
    page.locator(".answer").first.wait_for()
    return settled(page)


def fits(page: Page) -> None:
    """Nothing reaches past the screen, nothing lies over it, and the reader of accessibility has no grave complaint."""
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 1
    assert page.get_by_role("dialog").count() == 0
    assert not grave_faults(page)


@pytest.mark.parametrize("path", some_each_time(PAGES, "line"))
def test_a_page_is_accessible_and_fits(visit: Visit, path: str) -> None:
    page = settled(visit(path))
    fits(page)
    fits(in_the_other_light(page))


def test_the_demo_came_along_its_heads_stand_in_one_row_and_nothing_of_the_library_shows(visit: Visit) -> None:
    page = settled(visit("line"))
    assert load_works(SCENARIOS / "block-line.yaml").name == page.locator("h1").inner_text()
    tops = {round(link.bounding_box()["y"]) for link in page.locator('[class*="st-key-cards"] a').all()}  # type: ignore[index]
    assert len(tops) == 1
    assert page.locator(".answer").first.bounding_box()["y"] < 300  # type: ignore[index]
    for name in ("stMainMenu", "stToolbar", "stStatusWidget"):
        assert not [each for each in page.get_by_test_id(name).all() if each.is_visible()]


def test_a_page_is_printed_as_a_sheet(visit: Visit) -> None:
    page = settled(visit("money"))
    assert not page.locator(".signed").is_visible()
    page.emulate_media(media="print")
    assert page.locator(".signed").is_visible()
    assert page.locator(".answer").first.is_visible()
    assert not [each for each in page.get_by_role("button").all() if each.is_visible()]


def test_a_figure_that_is_refused_is_told_beside_the_button(visit: Visit) -> None:
    page = figures(visit())
    page.get_by_label("machines", exact=True).fill("3 kg")
    put(page)
    button = page.get_by_role("button", name="Put into the line").bounding_box()
    told = page.locator(".refused").bounding_box()
    assert button is not None
    assert told is not None
    assert 0 <= told["y"] - button["y"] - button["height"] < 60


@pytest.mark.longer
def test_the_picture_stands_beneath_play_and_does_not_fade(visit: Visit) -> None:
    page = settled(visit("shift"))
    play = page.get_by_text("Play", exact=True)
    play.click()
    picture = page.locator(".js-plotly-plot").first
    top, bottom = play.bounding_box(), picture.bounding_box()
    assert top is not None
    assert bottom is not None
    assert bottom["y"] + bottom["height"] - top["y"] < 800
    for _ in range(8):
        page.wait_for_timeout(200)
        faded = page.evaluate("[...document.querySelectorAll('[data-stale]')].map(x => getComputedStyle(x).opacity)")
        assert set(faded) <= {"1"}
    play.click()


def grave_faults(page: Page) -> list[tuple[str, list[str], str]]:
    """What axe finds of serious or critical impact."""
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    return [
        (each["id"], node["target"], node.get("failureSummary", "")[:160])
        for each in found
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"]
    ]


def test_the_keyboard_reaches_every_control(visit: Visit) -> None:
    page = settled(visit("shift"))
    wanted = {"Undo", "Step on", "Play"}
    page.evaluate("document.activeElement.blur()")
    seen: set[str] = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        seen.add(page.evaluate("(document.activeElement.innerText || document.activeElement.ariaLabel || '').trim()"))
    missing = {name for name in wanted - {"Undo"} if not any(name in each for each in seen)}
    assert not missing, seen
