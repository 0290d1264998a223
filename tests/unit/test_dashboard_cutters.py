"""The page on when to change the cutters: every control, by Streamlit's own test of apps; figures as the library's."""

from __future__ import annotations

import pytest

from dashboard.parts import further, room
from dashboard.questions import cutters
from linesim.ask import compare
from linesim.report.theme.shown import interval
from linesim.study import StudyOptions
from linesim.study.search import SearchPlan
from linesim.study.search.intervals.one_set import SetStudy
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled

pytestmark = pytest.mark.usefixtures("board_closed")

WORKS = load_works(SCENARIOS / "smallest.yaml")
FEW = 4


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(room.FILE, str(SCENARIOS / "smallest.yaml"))
    monkeypatch.setattr(cutters, "_REPLICATIONS", FEW)
    monkeypatch.setattr(further, "OF_THE_SEARCH", SearchPlan(runs=50, replications=4, fresh=2))
    monkeypatch.setattr(further, "OF_THE_NUMBERS", (3, 2, 60))


def button(app, label):  # type: ignore[no-untyped-def]
    return next(each for each in app.button if each.label == label)


def ask_further(app, question):  # type: ignore[no-untyped-def]
    group = next(each for each in app.get("button_group") if question in each.options)
    return settled(group.set_value(question).run())


def test_the_recommendation_and_its_figures_are_the_library_s() -> None:
    app = open_page("cutters")
    found = compare(WORKS, replications=FEW)
    assert found.sentences[0] in html_of(app)
    for name in WORKS.policies:
        assert interval(*found.mean(name, "contribution_per_hour")).split("\xa0")[0] in html_of(app)
    assert f"Means of {FEW} runs" in html_of(app)


def test_the_interval_of_a_set_costs_what_the_library_says() -> None:
    app = ask_further(open_page("cutters"), "The interval of one set")
    policy = next(iter(WORKS.policies))
    key = app.selectbox(key="pick set").value
    found = SetStudy(WORKS, key, policy, options=StudyOptions(FEW)).run()
    assert found.sentences[0] in html_of(app)
    names = app.selectbox(key="pick set").options
    settled(app.selectbox(key="pick set").select(names[-1]).run())
    assert f"Of the intervals tried for the {names[-1]}" in html_of(app)
    settled(app.selectbox(key="pick policy").select("full life").run())
    assert '"full life" has it changed after about' in html_of(app)


def test_a_trial_becomes_a_policy_and_can_be_taken_back() -> None:
    app = open_page("cutters")
    settled(app.selectbox(key="pick policy").select("every 60 parts").run())
    kind = next(each for each in app.selectbox if each.label == "all sets")
    kind.select("at a share of its life")
    next(each for each in app.text_input if each.label == "interval, all sets").set_value("0.8")
    next(each for each in app.text_input if each.label == "Name of the trial").set_value("mine")
    next(each for each in app.text_input if each.label.startswith("Change in the same stop")).set_value("0.7")
    settled(button(app, "Put the trial beside the others").click().run())
    mine = desk_of(app).works.policies["mine"]
    assert mine.default.life == 0.8
    assert mine.group_past == 0.7
    assert app.selectbox(key="pick policy 1").value == "mine"
    found = compare(desk_of(app).works, replications=FEW)
    assert found.sentences[0] in html_of(app)
    settled(app.button(key="undo").click().run())
    assert desk_of(app).works == WORKS


def test_what_a_file_would_refuse_stands_beside_its_row_and_nothing_is_lost() -> None:
    app = open_page("cutters")
    settled(app.selectbox(key="pick policy").select("every 60 parts").run())
    next(each for each in app.text_input if each.label == "interval, all sets").set_value("-4")
    settled(button(app, "Put the trial beside the others").click().run())
    assert '<p class="beside">-4 is too small; it must be at least 1</p>' in html_of(app)
    assert next(each for each in app.text_input if each.label == "interval, all sets").value == "-4"
    assert desk_of(app).works == WORKS


def test_a_minute_is_priced_at_each_machine() -> None:
    app = ask_further(open_page("cutters"), "Value of a bottleneck minute")
    settled(app.selectbox(key="pick policy").select("full life").run())
    assert 'Value of a minute under "full life"' in html_of(app)
    for name in WORKS.lines[next(iter(WORKS.lines))].operations:
        assert name in html_of(app)


def test_the_best_intervals_are_sought_when_asked_and_taken_over_with_a_way_back() -> None:
    app = ask_further(open_page("cutters"), "The best intervals of all")
    assert "can be stopped at any time" in html_of(app)
    app.number_input(key="cap").set_value(50.0).run()
    settled(app.selectbox(key="pick goal").select("least cost per good part").run())
    settled(app.button(key="search begin").click().run())
    assert "The cap on quality loss per good part of 50" in html_of(app)
    assert "ranges begin" in {each.key for each in app.button}
    settled(app.button(key="take over").click().run())
    assert "best intervals" in desk_of(app).works.policies
    assert app.selectbox(key="pick policy 1").value == "best intervals"
    settled(app.button(key="undo").click().run())
    assert desk_of(app).works == WORKS


def test_how_many_sets_are_sought_and_what_drives_the_result() -> None:
    app = ask_further(open_page("cutters"), "How many sets")
    settled(app.selectbox(key="pick policy").select("every 60 parts").run())
    settled(app.button(key="numbers begin").click().run())
    assert "one more costs, " in html_of(app)
    if any(each.key == "take numbers" for each in app.button):
        settled(app.button(key="take numbers").click().run())
        assert desk_of(app).works != WORKS
        settled(app.button(key="undo").click().run())
    app = ask_further(app, "Sensitivity")
    settled(app.selectbox(key="pick policy").select("every 60 parts").run())
    app.toggle(key="together").set_value(False).run()
    app.toggle(key="together").set_value(True).run()
    settled(app.button(key="drivers begin").click().run())
    assert "One at a time" in html_of(app)
    assert not app.error


def test_hostile_and_long_names_are_shown_as_they_stand() -> None:
    nasty = "<script>alert(1)</script> **b** " + "long " * 9
    app = open_page("cutters")
    policies = {nasty.strip()[:60].strip(): {"default": {"parts": 40}}}
    desk_of(app).put(changed(WORKS, {"policies": policies}), "names")
    settled(app.run())
    assert "<script>" not in html_of(app)
    assert "&lt;script&gt;" in html_of(app)
    assert not app.error
