"""A real browser puts in a line: cells are typed over, what cannot be read stays, names go everywhere."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.test_lesson import accessible, press, still

Visit = Callable[..., Page]

_ROW_PX = 35
"""Of the table; its headings are as high."""


def sheet(page: Page, title: str) -> Page:
    page.get_by_role("radio", name=title, exact=True).click()
    return still(page)


def cells(page: Page) -> list[list[str]]:
    """What stands in the rows in sight, for those who do not see the canvas."""
    rows = page.locator('[data-testid="stDataFrame"] canvas tbody tr')
    return [rows.nth(at).locator("td").all_inner_texts() for at in range(rows.count())]


def shows(page: Page, words: str, *, is_there: bool = True) -> None:
    """Wait until a cell says so, or none does any more; the words of the canvas come later than its picture."""
    for _ in range(40):
        if any(words in row for row in cells(page)) == is_there:
            return
        page.wait_for_timeout(150)
    raise AssertionError(f"{words!r} {'is not' if is_there else 'is'} in {cells(page)}")


def type_over(
    page: Page, row: int, words: str, *, steps: int = 0, end: str = "Enter", is_waited_for: bool = True
) -> Page:
    """Click the first cell of a row, go so many cells to the right by the keyboard, and type."""
    opened = page.locator("#portal textarea, #portal input").first
    for _ in range(4):  # the library leaves the first click alone where the table was pushed down beforehand
        box = page.locator('[data-testid="stDataFrame"]').first.bounding_box()
        assert box is not None
        page.mouse.click(box["x"] + 60, box["y"] + _ROW_PX * (row + 1.5))
        page.wait_for_timeout(300)  # until the table has the keyboard
        for _ in range(steps):
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")  # opens the cell, so that no letter is lost on the way
        page.wait_for_timeout(500)
        if opened.is_visible():
            break
    opened.wait_for()
    page.wait_for_timeout(200)
    page.keyboard.press("Control+a")
    page.keyboard.type(words, delay=40)
    page.wait_for_timeout(200)
    page.keyboard.press(end)
    return still(page) if is_waited_for else page


@pytest.mark.longer
def test_a_line_is_typed_over_kept_and_taken_back(visit: Visit) -> None:
    page = still(visit("own"))
    sheet(page, "Operations")
    type_over(page, 0, "Op 11")
    expect(page.get_by_role("button", name="Undo", exact=True)).to_be_enabled()
    shows(page, "Op 11")
    sheet(page, "Cuts")
    shows(page, "Op 11")  # the cuts of the operation follow its new name
    shows(page, "Op 10", is_there=False)
    sheet(page, "Operations")
    shows(page, "Op 11")
    at = page.locator('[data-testid="stDataFrame"] canvas thead th').all_inner_texts()
    minutes = next(number for number, heading in enumerate(at) if heading.startswith("minutes"))
    first = next(number for number, heading in enumerate(at) if heading == "operation")
    type_over(page, 4, "soon", steps=minutes - first)
    expect(page.locator('[data-testid="stAlert"]')).to_contain_text("One thing stands in the way")
    expect(page.locator("ul").filter(has_text="Operations!")).to_contain_text('"soon"')
    sheet(page, "People")
    sheet(page, "Operations")
    shows(page, "soon")  # what cannot be read yet is not lost
    page.reload()
    page.locator(".answer").first.wait_for()
    still(page)
    shows(page, "soon")  # nor by loading the page again
    press(page, "Give up what I typed since, and show the line on the desk")
    shows(page, "soon", is_there=False)
    shows(page, "Op 11")
    press(page, "Undo")
    shows(page, "Op 10")
    accessible(page)


def test_a_row_added_at_the_foot_stays_while_typing_goes_on(visit: Visit) -> None:
    """The next cell is open when the answer to the one before comes; neither the row nor the cell may go."""
    page = still(visit("own"))
    page.set_viewport_size({"width": 1280, "height": 1400})  # so that the foot of the table is in sight
    sheet(page, "Gauges")
    shows(page, "bore gauge")
    table = page.locator('[data-testid="stDataFrame"]').first
    before = len(cells(page))
    table.hover()
    page.get_by_role("button", name="Add row").first.click()
    still(page)
    opened = type_over_first(page, before)
    for letter in "extra plug":
        page.keyboard.type(letter, delay=250)
        assert opened.is_visible(), f"the cell closed at {letter!r}"
    page.keyboard.press("Tab")
    still(page)
    shows(page, "extra plug")
    assert len(cells(page)) == before + 1
    accessible(page)
    sheet(page, "Operations")
    shows(page, "Op 10")
    type_over(page, 1, "Op 21")
    press(page, "Bring lists and columns up to date")
    shows(page, "Op 21")
    expect(page.get_by_role("button", name="Bring lists and columns up to date")).to_have_count(0)


def type_over_first(page: Page, row: int) -> Locator:
    """Choose an operation in the first cell of a new row, and open the next one at once."""
    opened = page.locator("#portal textarea, #portal input").first
    type_over(page, row, "Op 20", end="Tab", is_waited_for=False)
    opened.wait_for(state="detached")
    page.wait_for_timeout(100)  # until the table has the keyboard again
    page.keyboard.press("Enter")
    opened.wait_for()
    return opened


def test_a_row_is_copied_and_moved(visit: Visit) -> None:
    page = still(visit("own", 820, "dark"))
    sheet(page, "People")
    shows(page, "setters")
    page.get_by_label("Name of the copy").fill("night hands")
    page.keyboard.press("Tab")
    still(page)
    press(page, "Copy")
    shows(page, "night hands")
    accessible(page)
    press(page, "Move down")
    wanted, seen = ["night hands", "setters"], list[str]()
    for _ in range(40):  # a busy machine paints the table some time after the page has come to rest
        seen = [cell for row in cells(page) for cell in row if cell in wanted]
        if seen == wanted:
            break
        page.wait_for_timeout(250)
    assert seen == wanted


def fill(page: Page, name: str, words: str) -> Page:
    page.get_by_role("textbox", name=name, exact=True).fill(words)
    page.keyboard.press("Tab")
    return still(page)


def type_rows(page: Page, rows: list[list[str]]) -> Page:
    """Go to the table by the keyboard alone, and type row by row."""
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.tagName") in ("CANVAS", "TD"):
            break
    opened = page.locator("#portal textarea, #portal input")
    for row in rows:
        for cell in row:
            if not cell:
                page.keyboard.press("ArrowRight")
                continue
            page.keyboard.press("Enter")
            opened.first.wait_for()
            page.wait_for_function("document.activeElement.closest('#portal') !== null")
            page.wait_for_timeout(60)
            page.keyboard.type(cell, delay=30)
            page.keyboard.press("Tab")
            opened.first.wait_for(state="detached")
            page.wait_for_timeout(300)
            still(page)  # an answer that comes while a cell is open closes it, and what is being typed there goes
        page.keyboard.press("ArrowDown")
        for _ in row:
            page.keyboard.press("ArrowLeft")
    return still(page)


def measured(page: Page) -> list[str]:
    """Run the line in hand, and read which figures are most worth measuring."""
    press(page, "Run it, and say which five figures are most worth measuring")
    items = page.locator("li").filter(has_text="times the figure")
    items.first.wait_for(timeout=240_000)  # the engine may have to be made ready first
    expect(page.get_by_role("button", name="Stop the study")).to_have_count(0)
    still(page)
    return items.all_inner_texts()


def test_a_line_is_begun_from_nothing_by_the_keyboard_alone(visit: Visit) -> None:
    page = still(visit("own"))
    page.get_by_role("button", name="Begin a line from nothing").focus()
    page.keyboard.press("Enter")
    page.get_by_role("textbox", name="Name of the part", exact=True).wait_for()
    still(page)
    fill(page, "Name of the part", "Pump <b>housing")
    type_rows(
        page, [["10", "", "", "6,5", "T1", "40"], ["20", "", "", "soon"], ["30", "", "", "90 s"], ["40", "", "", "2.9"]]
    )
    expect(page.locator("ul").filter(has_text="row 2, cycle minutes")).to_contain_text('"soon" was found')
    shows(page, "2.9")
    still(page)
    page.wait_for_timeout(1000)  # the last cell may be on its way
    page.reload()
    page.locator(".answer").first.wait_for()
    still(page)
    shows(page, "soon")  # nothing typed is lost by loading the page again
    expect(page.get_by_role("textbox", name="Name of the part", exact=True)).to_have_value("Pump <b>housing")
    accessible(page)
    button = page.get_by_role("button", name="Put this line on the desk")
    for _ in range(3):  # on a busy machine the table may still lack the keyboard, and the cell stays as it was
        type_over(page, 1, "3.25", steps=3)
        if button.is_enabled():
            break
    assert button.is_enabled(), page.inner_text("body")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Pump <b>housing")
    still(page)
    shows(page, "Op 40")
    expect(page.locator(".answer")).to_contain_text("Op 10 holds the line back")
    assert any("is worth" in text for text in measured(page))
    press(page, "Undo")
    expect(page.get_by_role("heading", level=1)).not_to_have_text("Pump <b>housing")


@pytest.mark.longer
def test_a_routing_sheet_is_a_line_that_runs(visit: Visit) -> None:
    page = still(visit("own", 820, "dark"))
    head = "Teil;Flansch\nAG;Maschine;Zykluszeit [min];Werkzeug;Standmenge\n"
    text = f"{head}10;Fräsmaschine;4,5;Messerkopf;60\n20;;1,5;;\n"
    page.get_by_role("button", name="Open or download").click()
    page.locator('input[type="file"]').wait_for(state="attached")
    page.locator('input[type="file"]').set_input_files(
        {"name": "flansch.csv", "mimeType": "text/csv", "buffer": text.encode("cp1252")}
    )
    expect(page.get_by_role("heading", level=1)).to_have_text("Flansch")
    page.keyboard.press("Escape")
    still(page)
    sheet(page, "People")
    shows(page, "count 1, rate 36")  # what is assumed stands in its row
    assert measured(page)
    expect(page.locator(".stToast")).to_have_count(0)  # the library's notice of a file on the desk, which has no name
    accessible(page)
