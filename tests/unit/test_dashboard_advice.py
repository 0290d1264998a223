"""The page of what to do first: its actions are the library's, and one click does one on trial."""

from __future__ import annotations

import pytest

from dashboard.questions import advice as page
from linesim.study.advice.move import TRIAL
from linesim.study.doubt.advised import AdvisedStudy
from linesim.study.options import StudyOptions
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled

pytestmark = pytest.mark.usefixtures("board_closed")

WORKS = changed(load_works(SCENARIOS / "smallest.yaml"), {"run": {"length": "3 days"}})
FEW = 6


def test_actions_stand_in_order_of_money_and_one_is_done_on_trial(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page, "_REPLICATIONS", FEW)
    monkeypatch.setattr(page, "_MOST_MOVES", 6)
    app = open_page("manual")
    desk = desk_of(app)
    desk.put(WORKS, "opening", "smallest.yaml")
    app = open_page("advice", {"desk": desk.id})
    advice = AdvisedStudy(WORKS, 6, StudyOptions.of(replications=FEW, workers=1)).run()
    html = html_of(app)
    assert advice.first[0] in html[: html.index("a month against today")]
    at = [html.index(action.label) for action in advice.actions]
    assert at
    assert at == sorted(at)
    assert all(
        html.index(text) < place for action, place in zip(advice.actions, at, strict=True) for text in action.first
    )
    assert all(f"{action.still_right}</p>" in html for action in advice.actions)
    settled(app.button(key="action 1.  trial").click().run())
    (move,) = advice.actions[0].moves
    assert desk.works.policies[TRIAL].aims == {move.key: move.value}
    assert desk.works.todays_policy == WORKS.todays_policy
    assert desk.choices["policy"] == TRIAL
    assert "The last change brings" in html_of(app)
    assert f"policies, {TRIAL}: new" in html_of(app)
    desk.undo()
    assert desk.works == WORKS
