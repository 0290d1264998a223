"""From a figure to the page that says why, and back; and what is said of an operation."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.desk import Desk
from dashboard.parts import room
from linesim.desk import desk_figures
from linesim.report.views.line import operation_words
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, _script, desk_of, html_of, open_page, settled

BLOCK = load_works(SCENARIOS / "block-line.yaml")


def test_an_operation_is_told_by_its_minutes_the_greatest_first() -> None:
    desk = desk_figures(BLOCK, "by parts")
    rows = desk.operations.set_index("operation")
    words = operation_words(BLOCK, desk, "block", "Op 60")
    assert words.startswith(
        f"Op 60 (bore cylinders) takes {rows.at['Op 60', 'minutes_per_part']:.1f} minutes of a part"
    )
    assert f": cutting {rows.at['Op 60', 'cutting_min']:.1f}, changing cutters" in words
    assert words.endswith("It holds the line back: what it takes less, the whole line gains.")
    spare = rows.at["Op 60", "minutes_per_part"] - rows.at["Op 120", "minutes_per_part"]
    words = operation_words(BLOCK, desk, "block", "Op 120")
    assert words.endswith(f"It has {spare:.1f} minutes a part to spare beside Op 60 (bore cylinders).")


def test_minutes_to_spare_are_those_of_all_like_machines_together() -> None:
    works = changed(BLOCK, {"lines": {"block": {"operations": {"Op 120": {"machines": 2}}}}})
    desk = desk_figures(works, "by parts")
    rows = desk.operations.set_index("operation")
    spare = rows.at["Op 60", "minutes_per_part"] - rows.at["Op 120", "minutes_per_part"] / 2
    words = operation_words(works, desk, "block", "Op 120")
    assert "and it has 2 machines" in words
    assert f"It has {spare:.1f} minutes" in words


@pytest.mark.usefixtures("own_store", "board_closed")
def test_the_way_to_the_money_of_an_operation_chooses_it_there_and_leads_back() -> None:
    app = AppTest.from_function(_script, kwargs={"url": "line"}, default_timeout=60)
    settled(app.run())
    held = "Op 10" if "Op 10 (mill face) takes" in html_of(app) else "Op 20"
    next(each for each in app.button if each.label == "Where its money goes").click()
    app.run()
    desk = desk_of(app)
    assert (desk.choices["where"], desk.choices["item"]) == (held, "all")
    assert not [each for each in app.button if each.label.startswith("Back to")]  # it is the page itself


@pytest.mark.usefixtures("own_store")
@pytest.mark.parametrize(("back", "words"), [("line", ["Back to: The line"]), ("manual", []), ("gone", []), (None, [])])
def test_who_has_come_by_a_way_is_offered_the_way_back(back: str | None, words: list[str]) -> None:
    desk = room.desks().add(Desk(BLOCK, "block", choices={"way back": back} if back else {}))
    app = open_page("manual", {"desk": desk.id})
    assert [each.label for each in app.button if each.label.startswith("Back to")] == words
