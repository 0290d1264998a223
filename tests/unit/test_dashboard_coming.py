"""The coming shift in the dashboard without a browser: counts are kept, the forecast is theirs, and so is its end."""

from __future__ import annotations

import pytest

from dashboard.desk import Desk
from dashboard.parts import room
from linesim.study.coming.standing import DONE
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled

pytestmark = pytest.mark.usefixtures("board_closed")


@pytest.mark.longer
def test_the_coming_shift_is_foretold_from_counts_that_are_kept_on_the_desk() -> None:
    """One set's parts are stated, and the other's said to be assumed until the end of the forecast is carried on."""
    works = changed(load_works(SCENARIOS / "smallest.yaml"), {"run": {"length": 480, "warm_up": 0}, "name": "<b>Shop"})
    count = {(DONE, "flange", "Op 20", "Op 20", "finish mill"): 20.0}
    choices = {
        "which shift": "The coming shift, from what is on the machines",
        "standing": count,
        "policy": "every 60 parts",
    }
    app = open_page("shift", {"desk": room.desks().add(Desk(works, "smallest", choices=choices)).id})
    page = html_of(app)
    assert "good parts" in page
    assert "finish mill" in page
    assert "<b>Shop" not in page
    assert "Parts not stated of Op 10: rough mill" in page
    before = desk_of(app).choices["standing"]
    app = settled(app.button(key="carry on").click().run())
    after = desk_of(app).choices["standing"]
    assert len(after) > len(before)
    assert "Parts not stated" not in html_of(app)
