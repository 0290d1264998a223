"""The page on past studies: every control, by Streamlit's own test of apps; figures as the store has them."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.keeping import settings_of
from dashboard.parts import past, room
from dashboard.questions import cutters
from linesim.ask import compare
from linesim.report.theme.shown import interval
from linesim.store import StoredWorks, open_store
from linesim.study import Crew
from linesim.study.comparing.past import policy_runs, run_table
from linesim.study.comparing.past_between import between_studies
from linesim.study.crew.recording import recorded
from linesim.study.search import SearchPlan
from linesim.works import Works, changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

WORKS = load_works(SCENARIOS / "smallest.yaml")
PRICIER = changed(WORKS, {"name": "dearer cutters", "cutters": {name: {"price": 400} for name in WORKS.cutters}})
NASTY = "<b>=1+1</b> **x** " + "long " * 12


@pytest.fixture(autouse=True)
def place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> str:
    """A store of each test's own."""
    monkeypatch.setenv(room.FILE, str(SCENARIOS / "smallest.yaml"))
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "runs.sqlite"))
    return str(tmp_path / "runs.sqlite")


def keep(place: str, works: Works, replications: int = 3) -> None:
    with (
        open_store(place) as store,
        recorded(Crew(1, store), "compare", works, {"replications": replications}) as record,
    ):
        found = compare(works, replications=replications, crew=record.crew)
        record.answer = {"sentences": list(found.sentences)}


def plain(html: str) -> str:
    return html.replace('<span class="width">±', "±").replace("\xa0", "")


def test_an_empty_store_says_so() -> None:
    app = open_page("past")
    assert "No study has been kept yet" in html_of(app)
    assert not app.error


def test_a_study_is_opened_again_with_its_answer_and_figures(place: str) -> None:
    keep(place, WORKS)
    app = open_page("past")
    found = compare(WORKS, replications=3)
    assert found.sentences[0] in html_of(app)
    for name in WORKS.policies:
        mean, half_width = found.mean(name, "cost_per_good_part")
        assert interval(mean, half_width).replace("\xa0", "") in plain(html_of(app))
    settled(app.selectbox(key="pick measure").select("contribution per hour").run())
    assert not app.error


def test_its_scenario_is_put_back_on_the_desk_with_a_way_back(place: str) -> None:
    keep(place, PRICIER)
    app = open_page("past")
    settled(app.button(key="back 1").click().run())
    assert desk_of(app).works == PRICIER
    assert desk_of(app).origin == "study 1"
    settled(app.button(key="undo").click().run())
    assert desk_of(app).works == WORKS


def test_two_studies_are_set_side_by_side_in_pairs(place: str) -> None:
    keep(place, WORKS)
    keep(place, PRICIER)
    app = open_page("past")
    other = next(each for each in app.selectbox(key="pick other study").options if each.startswith("1: "))
    settled(app.selectbox(key="pick other study").select(other).run())
    settled(app.selectbox(key="pick measure between").select("cost per good part").run())
    with open_store(place) as store:
        table = between_studies(*(run_table(store, store.study(number)) for number in (2, 1)))
    row = table[(table["measure"] == "cost_per_good_part") & (table["policy"] == "every 60 parts")].iloc[0]
    direct = [compare(works, ["every 60 parts"], replications=3).replications for works in (PRICIER, WORKS)]
    values = [found[found["line"] == "whole works"]["cost_per_good_part"].to_numpy() for found in direct]
    assert row["difference"] == pytest.approx((values[0] - values[1]).mean())
    assert row["n"] == 3
    assert interval(row["difference"], row["half_width"]).replace("\xa0", "") in plain(html_of(app))
    assert "price: 400 became" in html_of(app)
    assert "@@" not in html_of(app)


def test_a_study_is_named_and_a_bad_name_is_told(place: str) -> None:
    keep(place, WORKS)
    app = open_page("past")
    field = next(each for each in app.text_input if each.label == "Name")
    field.set_value("17")
    settled(next(each for each in app.button if each.label == "Give it this name").click().run())
    assert "cannot name a study" in texts_of(app)
    next(each for each in app.text_input if each.label == "Name").set_value(NASTY)
    settled(next(each for each in app.button if each.label == "Give it this name").click().run())
    with open_store(place) as store:
        assert store.study(1).name == NASTY.strip()
    assert "<b>=1" not in html_of(app)
    assert "&lt;b&gt;=1+1" in html_of(app)


def test_runs_and_scenario_are_taken_along(place: str) -> None:
    keep(place, WORKS)
    app = open_page("past")
    labels = {each.proto.label for each in app.get("download_button")}
    assert {"Its runs (CSV)", "Its runs (Excel)", "Its scenario"} <= labels


def test_taking_a_study_away_names_what_goes_and_can_be_called_off(place: str) -> None:
    keep(place, WORKS)
    keep(place, PRICIER)
    app = open_page("past")
    settled(app.button(key="ask away 2").click().run())
    said = texts_of(app).replace("\\", "")
    assert "Study 2 goes for good: policies against each other of dearer cutters" in said
    assert "15 runs that no other study needs" in said
    settled(app.button(key="no away 2").click().run())
    with open_store(place) as store:
        assert len(store.studies()) == 2
    settled(app.button(key="ask away 2").click().run())
    settled(app.button(key="yes away 2").click().run())
    with open_store(place) as store:
        assert [study.number for study in store.studies()] == [1]
        assert store.count_runs() == 15
    assert "dearer cutters" not in html_of(app)


def test_a_damaged_store_is_told_in_words(place: str) -> None:
    Path(place).write_bytes(b"no store at all, but text")
    app = open_page("past")
    assert "is no store of linesim" in texts_of(app).replace("\\", "")
    assert not app.exception


def test_a_study_of_a_page_is_kept_with_its_answer(place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cutters, "_REPLICATIONS", 2)
    room.board().close()
    room.board.clear()  # workers open the store that was named when they began
    app = open_page("cutters")
    further = next(each for each in app.get("button_group") if "The interval of one set" in each.options)
    settled(further.set_value("The interval of one set").run())
    with open_store(place) as store:
        kept = {study.kind: study for study in store.studies()}
    assert kept["policies"].status == "finished"
    assert kept["policies"].runs == 2 * len(WORKS.policies)
    assert kept["policies"].answer["sentences"] == list(compare(WORKS, replications=2).sentences)
    assert "interval" in kept


def test_settings_are_plain_values_without_the_works() -> None:
    found = settings_of({"works": WORKS, "policies": ("a",), "plan": SearchPlan(runs=60)})
    assert found["policies"] == ["a"]
    assert found["plan"]["runs"] == 60
    assert "works" not in found


def test_studies_without_runs_in_common_have_no_difference(place: str) -> None:
    keep(place, WORKS, 2)
    with open_store(place) as store:
        store.begin("worth", StoredWorks("d", "none", "name: none"), {}, "v")
        table = between_studies(run_table(store, store.study(1)), run_table(store, store.study(2)))
        assert not policy_runs(run_table(store, store.study(1))).empty
    assert table["n"].eq(0).all()
    assert table["difference"].isna().all()
    assert table["first"].notna().any()


def test_the_store_is_opened_once_for_each_place(place: str) -> None:
    assert past.store() is past.store()
