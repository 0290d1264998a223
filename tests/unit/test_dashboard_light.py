"""What a server does no more than once, and what it gives back: drawings of an answer, and visits that have left."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from streamlit.runtime.session_manager import SessionInfo

from dashboard.parts.once import once
from dashboard.visits import Visits
from linesim.cli.dashboard import server_command
from linesim.report.views import money as money_view
from tests.unit.dashboard_app import html_of, open_page


def test_a_drawing_is_worked_out_once_for_each_answer_and_way_of_asking() -> None:
    calls: list[tuple[object, str]] = []

    def drawn(answer: list[int], name: str) -> str:
        calls.append((answer, name))
        return f"{name} of {sum(answer)}"

    first, like = [1, 2], [1, 2]
    assert [once(drawn, first, "sum"), once(drawn, first, "sum")] == ["sum of 3", "sum of 3"]
    assert [once(drawn, like, "sum"), once(drawn, first, "all")] == ["sum of 3", "all of 3"]
    assert [name for _, name in calls] == ["sum", "sum", "all"]


@pytest.mark.longer
def test_a_page_drawn_again_works_its_answer_out_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """The money page after another visit, another choice that changes nothing in the picture, and a repeat."""
    calls = 0
    real = money_view.cost_by_operation_figure

    def counted(*given: Any) -> Any:
        nonlocal calls
        calls += 1
        return real(*given)

    app = open_page("money")
    before = html_of(app)
    monkeypatch.setattr(money_view, "cost_by_operation_figure", counted)
    assert html_of(app.run()) == before
    assert html_of(open_page("money", {"desk": app.session_state["desk"]})) == before
    assert calls == 0


def test_the_server_does_not_go_through_its_memory_after_each_look() -> None:
    assert "--runner.postScriptGC=false" in server_command(8765, "localhost")


class Clock:
    now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


def visit(name: str, ended: list[str]) -> SessionInfo:
    session: Any = SimpleNamespace(id=name, shutdown=lambda: ended.append(name))
    return SessionInfo(client=None, session=session)


def test_a_visit_that_has_left_waits_its_time_and_is_then_shut_down() -> None:
    ended: list[str] = []
    clock = Clock()
    visits = Visits(20.0, clock)
    visits.save(visit("anna", ended))
    clock.now_s += 15.0
    visits.save(visit("bert", ended))
    assert visits.get("anna") is not None
    clock.now_s += 5.0
    assert visits.get("anna") is None
    assert ended == ["anna"]
    assert [info.session.id for info in visits.list()] == ["bert"]


def test_a_visit_that_comes_back_is_not_shut_down() -> None:
    ended: list[str] = []
    clock = Clock()
    visits = Visits(20.0, clock)
    visits.save(visit("anna", ended))
    visits.delete("anna")
    clock.now_s += 100.0
    visits.clear()
    assert ended == []


def test_the_longest_gone_are_shut_down_when_there_are_too_many() -> None:
    ended: list[str] = []
    visits = Visits(1e9)
    for number in range(131):
        visits.save(visit(str(number), ended))
    assert ended == ["0", "1", "2"]
