"""What is said, and where: reasons beside the button, the shop that is spoken of, whose nickname it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.desk import Desk
from dashboard.keeping import settings_of
from dashboard.questions import line
from linesim.report.theme.progress import progress_words
from linesim.routing import RoutingStudy, variants_from_text
from linesim.store import open_store
from linesim.study import Crew, StudyOptions
from linesim.study.comparing.past import named_runs, policy_runs, run_table
from linesim.study.crew.recording import recorded
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

BLOCK = load_works(SCENARIOS / "block-line.yaml")


@pytest.fixture(autouse=True)
def place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> str:
    """A store of each test's own, and few runs."""
    monkeypatch.setattr(line, "_REPLICATIONS", 3)
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "runs.sqlite"))
    return str(tmp_path / "runs.sqlite")


def test_a_refused_form_says_beside_its_button_that_nothing_was_changed_and_why() -> None:
    app = open_page("line")
    before = desk_of(app).digest
    field = next(each for each in app.text_input if each.label.startswith("loading"))
    field.set_value("3 kg")
    next(each for each in app.button if each.label == "Put into the line").click()
    settled(app.run())
    page = html_of(app)
    assert desk_of(app).digest == before
    assert page.count("3 kg") == 2, "once at the field and once at the button"
    assert page.index("Nothing has been changed yet") < page.rindex("3 kg")


def test_what_the_author_wrote_is_said_to_be_older_than_a_change() -> None:
    desk = Desk(BLOCK, "block-line.yaml")
    assert not desk.is_changed
    desk.put(changed(BLOCK, {"run": {"seed": 7}}, "a test"), "change of seed")
    assert desk.is_changed
    desk.undo()
    assert not desk.is_changed
    app = open_page("line")
    assert BLOCK.about in html_of(app)
    assert "before your changes" not in html_of(app)
    desk_of(app).put(changed(BLOCK, {"run": {"seed": 7}}, "a test"), "change of seed")
    settled(app.run())
    assert "As it was written, before your changes: Twelve operations" in html_of(app)


def test_the_page_of_lessons_is_about_no_line_of_the_desk() -> None:
    app = open_page("lesson")
    assert [each.value for each in app.title] == ["Run the shift yourself"]
    assert not [each for each in app.button if each.label in ("Undo", "Redo")]
    app.button(key="begin").click().run()
    assert app.title[0].value.endswith("shift 1")
    assert "Canal-boat diesel, cylinder block" not in texts_of(app)
    opened = [each.label for each in app.expander if each.proto.expanded]
    assert "Your task, and what passes" in opened


def test_cautions_of_a_step_are_those_that_bear_on_it() -> None:
    app = open_page("lesson")
    app.button(key="begin").click().run()
    app.button(key="run so long").click().run()
    folded = {each.label: each.proto.expanded for each in app.expander}
    assert folded["All cautions of this lesson"] is False
    for text in ("Changing cutters: stop the spindle", "Guards and interlocks stay in place"):
        assert text in html_of(app)


def test_a_nickname_in_use_is_asked_about_before_its_shift_is_offered() -> None:
    first = open_page("lesson")
    first.text_input(key="nickname").set_value("Ada").run()
    for key in ("begin", "run so long", "put down"):
        first.button(key=key).click().run()
    assert [each for each in first.button if each.label.startswith("Go on with Ada")]
    other = open_page("lesson")
    other.text_input(key="nickname").set_value("Ada").run()
    assert "Somebody has played here as Ada already" in other.warning[0].value
    assert not [each for each in other.button if each.label.startswith("Go on with")]
    other.checkbox(key="own nickname Ada").check().run()
    assert [each for each in other.button if each.label.startswith("Go on with Ada")]


def test_variants_of_a_study_that_is_opened_again_have_their_names(place: str) -> None:
    works = changed(BLOCK, {"run": {"length": 480.0, "warm_up": 0.0}}, "a test")
    text = (SCENARIOS / "variants" / "block-bores.yaml").read_text()
    with open_store(place) as store:
        with recorded(Crew(1, store), "routing", works, settings_of({})) as record:
            study = RoutingStudy(variants_from_text(text, works, "v"), 1, StudyOptions(2, crew=record.crew))
            answer = study.run()
            record.answer = answer.kept
        kept = store.study(1)
        means = named_runs(policy_runs(run_table(store, kept)), kept.answer["called"])
    assert set(means["policy"]) == {"four cuts", "three cuts", "two cuts", "one cut"}
    assert set(means["n"]) == {2}


def test_a_long_wait_for_the_engine_says_how_long_it_has_been() -> None:
    assert "so far" not in progress_words(None, "waiting", warming_s=2.0)
    assert "for 75 s so far" in progress_words(None, "waiting", warming_s=75.2)


def test_after_a_change_the_figures_stand_above_those_from_before_it() -> None:
    app = open_page("line")
    assert "before:" not in html_of(app)
    output = html_of(app).partition(">output</dt><dd>")[2].partition("<small>")[0]
    desk_of(app).put(changed(BLOCK, {"run": {"seed": 7}}, "a test"), "change of seed")
    settled(app.run())
    after = html_of(app).partition(">output</dt><dd>")[2].partition("</small>")[0]
    assert f"before: {output}" in after
    assert not after.startswith(output)
    desk_of(app).undo()
    settled(app.run())
    assert "before:" not in html_of(app)


def test_a_printed_page_says_scenario_revision_and_has_room_for_a_signature() -> None:
    app = open_page("manual")
    foot = html_of(app).rpartition('class="signed"')[2]
    assert "Scenario: Canal-boat diesel, cylinder block (block-line.yaml)" in foot
    assert f"Revision: {desk_of(app).digest[:10]}, printed 20" in foot
    assert "Signature and date:" in foot
