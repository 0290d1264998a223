"""The page on how many cuts: every control, by Streamlit's own test of apps; figures as the library's."""

from __future__ import annotations

import pytest

from dashboard.desk import Desk
from dashboard.parts import making, room
from dashboard.parts.variants import Asked
from dashboard.questions import cuts
from linesim.report.page.sheet_asked import sandboxed
from linesim.report.terminal.practice import claim_result
from linesim.report.theme.shown import interval
from linesim.routing import RoutingStudy, stock_plan, variants_from_text
from linesim.study import StudyOptions
from linesim.study.practice import PracticeStudy
from linesim.works import changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, open_page, settled, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

WORKS = changed(load_works(SCENARIOS / "block-line.yaml"), {"run": {"length": 4800, "warm_up": 480}})
STROKES = (SCENARIOS / "variants" / "block-strokes.yaml").read_text(encoding="utf-8")
FEW = 2


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cuts, "_REPLICATIONS", FEW)


def on_the_desk():  # type: ignore[no-untyped-def]
    """The page on a shorter run of the demo, with the smallest of the variants chosen."""
    desk = room.desks().add(
        Desk(WORKS, "block-line.yaml", choices={"variants": "Blades on one bar, together or apart"})
    )
    return open_page("cuts", {"desk": desk.id})


def ask_further(app, question):  # type: ignore[no-untyped-def]
    group = next(each for each in app.get("button_group") if question in each.options)
    return settled(group.set_value(question).run())


@pytest.mark.longer
def test_variants_stand_side_by_side_with_the_library_s_figures() -> None:
    app = on_the_desk()
    found = RoutingStudy(variants_from_text(STROKES, WORKS), options=StudyOptions(FEW)).run()
    assert found.variants.question in html_of(app)
    for made in found.tried:
        own = made.sample.interval("contribution_per_hour", 0.95)
        assert interval(own.mean, own.half_width).replace("\xa0±\xa0", "") in html_of(app).replace(
            "\xa0±\xa0", ""
        ).replace('<span class="width">±\xa0', "")
        for name, share in made.intervals.shares.items():
            assert f"{name} {share:g}" in html_of(app)
    assert "What it does to the drawing" in html_of(app)


def test_the_sheet_is_made_when_asked_and_shown_where_it_can_do_nothing() -> None:
    app = on_the_desk()
    settled(app.button(key="make sheet").click().run())
    frame = app.get("iframe")[0].proto
    assert '<iframe sandbox=""' in frame.srcdoc
    assert "&lt;script" not in frame.srcdoc
    labels = [each.proto.label for each in app.get("download_button")]
    assert {"HTML, to print", "Excel"} <= set(labels)
    assert not app.error


def test_a_hostile_sheet_stays_within_its_frame() -> None:
    framed = sandboxed('"><script>', '"></iframe><script>alert(1)</script>')
    assert framed.count("<iframe") == 1
    assert "<script" not in framed


@pytest.mark.longer
def test_an_error_is_followed_from_the_casting_on() -> None:
    app = ask_further(on_the_desk(), "Where an error comes from")
    settled(app.selectbox(key="pick feature of block").select("cylinder bores").run())
    settled(app.selectbox(key="pick policy").select("full life").run())
    assert "The error of cylinder bores has a standard deviation of" in html_of(app)
    assert "Where each part of the final variance arose" in html_of(app)
    settled(app.selectbox(key="pick component of block").select("form").run())
    assert "The form of cylinder bores has a root mean square of" in html_of(app)
    assert "Where each part of the final mean square arose" in html_of(app)
    assert not app.error


@pytest.mark.longer
def test_the_stock_plan_is_the_library_s_in_either_system() -> None:
    app = on_the_desk()
    settled(app.selectbox(key="pick feature of block").select("cylinder bores").run())
    settled(app.selectbox(key="pick policy").select("full life").run())
    settled(app.number_input(key="cpk wanted").set_value(1.0).run())
    found = stock_plan(WORKS, "cylinder bores", "block", "full life", 1.0)
    assert found.sentences[0] in html_of(app)
    assert "least stock, mm" in html_of(app)
    settled(next(each for each in app.get("button_group") if "inch" in each.options).set_value("inch").run())
    assert "least stock, in" in html_of(app)


def test_speed_and_feed_of_a_cut_are_found() -> None:
    app = ask_further(on_the_desk(), "Speed and feed of a cut")
    name = next(each for each in app.selectbox(key="pick cut of block").options if each.startswith("Op 60"))
    settled(app.selectbox(key="pick cut of block").select(name).run())
    settled(app.selectbox(key="pick policy").select("full life").run())
    assert "For the line: " in html_of(app)
    assert "m/min" in html_of(app)
    assert not app.error


@pytest.mark.longer
def test_what_practitioners_know_is_asked_when_wanted_with_the_library_s_figures() -> None:
    app = ask_further(on_the_desk(), "What practitioners know")
    assert "How often each is so" not in html_of(app)
    settled(app.button(key="practice begin").click().run())
    shown = html_of(app)
    answer = PracticeStudy(WORKS, app.selectbox(key="pick policy").value, options=StudyOptions(10)).run()
    for row in answer.claims.to_dict(orient="records"):
        assert claim_result(row) in shown
    assert not app.error


def test_variants_of_one_s_own_are_taken_and_wrong_ones_told_by_line() -> None:
    app = on_the_desk()
    app.file_uploader(key="variants upload").set_value(("mine.yaml", STROKES.encode(), "text/yaml")).run()
    settled(app)
    own = desk_of(app).choices["own variants"]
    assert isinstance(own, Asked)
    assert own.file == "mine.yaml"
    assert app.selectbox(key="pick variants 1").value == "yours: mine.yaml"
    broken = STROKES.replace("line: block", "line: blok").encode()
    app.file_uploader(key="variants upload").set_value(("bad.yaml", broken, "text/yaml")).run()
    assert "bad\\.yaml, line" in texts_of(app)
    app.file_uploader(key="variants upload").set_value(("evil.yaml", b"a: !!python/object:os.x {}", "text/yaml")).run()
    assert "evil\\.yaml, line 1" in texts_of(app)
    assert not app.exception


def test_a_scenario_without_fitting_variants_says_what_to_do() -> None:
    works = load_works(SCENARIOS / "smallest.yaml")
    app = open_page("cuts", {"desk": room.desks().add(Desk(works, "smallest.yaml")).id})
    assert "No variants of the program fit this scenario" in html_of(app)
    assert not app.error


def test_constants_stay_within_what_a_page_takes_on() -> None:
    assert making.OF_A_LIFE <= cuts._REPLICATIONS * 4
