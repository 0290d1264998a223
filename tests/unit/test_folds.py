"""What is folded away costs nothing until it is opened, and stays as it was left; past studies lead to their pages."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.parts import folded
from dashboard.parts.past import _PAGES
from dashboard.questions import cuts, cutters
from dashboard.shell import PAGES
from tests.unit.dashboard_app import open_page, settled

pytestmark = pytest.mark.usefixtures("own_store", "board_closed")

FOLD = "fold figures to change"


def has_form(app: AppTest) -> bool:
    return any(each.label == "machines" for each in app.text_input)


def test_a_fold_is_worked_out_once_it_is_opened_and_stays_open_at_its_desk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folded, "_ALL_OPEN", False)
    app = open_page("line")
    assert not has_form(app)
    assert not app.text_input
    app.session_state[FOLD] = True
    assert has_form(settled(app.run()))
    again = open_page("line", {"desk": app.session_state["desk"]})
    assert has_form(again)
    again.session_state[FOLD] = False
    settled(again.run())
    assert not has_form(open_page("line", {"desk": app.session_state["desk"]}))


@pytest.mark.parametrize("kind", sorted(_PAGES))
def test_every_kind_of_study_leads_to_a_question_that_there_is(kind: str) -> None:
    page, choices = _PAGES[kind]
    assert page in {module.URL for module in PAGES}
    known = {"further": cutters._FURTHER, "further of cuts": cuts._FURTHER}
    for name, choice in choices.items():
        assert choice in known[name]
