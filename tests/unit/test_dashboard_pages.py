"""Every page of the dashboard, and every control on it, by Streamlit's own test of apps."""

from __future__ import annotations

import ast
import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest

from dashboard.questions import advice, carry, line
from dashboard.shell import PAGES
from linesim.desk import desk_figures
from linesim.report.theme.safe import in_markdown
from linesim.report.theme.shown import interval
from linesim.study import run
from linesim.study.comparing.closely import look
from linesim.study.one.shift_record import record_shift
from linesim.works import changed, load_works
from linesim.works.doing import called_anywhere
from tests.rounds import some_each_time
from tests.unit.cells import is_shown_as
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, jobs_of, open_page, settled, texts_of

pytestmark = pytest.mark.usefixtures("board_closed")

WORKS = load_works(SCENARIOS / "block-line.yaml")
FEW = 3
TODAY = WORKS.todays_policy
URLS = [module.URL for module in PAGES]


@pytest.fixture(autouse=True)
def _few_replications(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in PAGES:
        if hasattr(module, "_REPLICATIONS"):
            monkeypatch.setattr(module, "_REPLICATIONS", FEW)
    monkeypatch.setattr(advice, "_MOST_MOVES", 10)
    monkeypatch.setattr(carry, "_MOST_MOVES", 10)


@pytest.mark.parametrize("url", URLS)
def test_a_page_opens_with_an_answer(url: str) -> None:
    app = open_page(url)
    assert 'class="answer' in html_of(app)
    assert not app.error


@pytest.mark.parametrize("url", URLS)
@pytest.mark.parametrize("name", some_each_time(["smallest.yaml", "works.yaml"], "smallest.yaml"))
def test_a_page_takes_other_scenarios(url: str, name: str) -> None:
    app = open_page("line")
    desk_of(app).put(load_works(SCENARIOS / name), "opening", name)
    again = open_page(url, {"desk": app.session_state["desk"]})
    assert not again.error
    assert "went wrong" not in texts_of(again)


def test_the_figures_of_the_line_are_the_library_s() -> None:
    found = look(WORKS, [TODAY], FEW)
    cost = found.figure(TODAY, "block", "cost_per_good_part")
    assert interval(cost.mean, cost.half_width) in html_of(open_page("line"))


def test_the_constraint_is_the_desk_s() -> None:
    rate = desk_figures(WORKS).constraints["parts_per_hour"].iloc[0]
    assert f"Op 60 (bore cylinders) holds the line back: its machine can do {rate:.2f} parts an hour" in html_of(
        open_page("line")
    )


def test_what_check_remarks_stands_on_the_line_as_well() -> None:
    shown = unescape(html_of(open_page("line")))
    remarks = desk_figures(WORKS).remarks
    assert remarks
    assert [remark for remark in remarks if str(remark) not in shown] == []


def test_another_policy_gives_its_own_figures() -> None:
    app = open_page("line")
    settled(app.selectbox(key="pick policy").select("every shift").run())
    found = look(WORKS, ["every shift"], FEW).figure("every shift", "block", "good_per_hour")
    assert interval(found.mean, found.half_width) in html_of(app)


def test_a_changed_figure_changes_the_answer_and_can_be_taken_back() -> None:
    app = open_page("line")
    before = html_of(app)
    settled(app.selectbox(key="pick operation of block").select("Op 60").run())
    field = next(each for each in app.text_input if each.label == "machines")
    field.set_value("2")
    settled(next(each for each in app.button if each.label == "Put into the line").click().run())
    assert desk_of(app).works.lines["block"].operations["Op 60"].machines == 2
    works = desk_of(app).works
    (constraint,) = desk_figures(works).constraints["operation"]
    assert constraint != "Op 60"
    assert f"{called_anywhere(works, constraint)} holds the line back" in html_of(app)
    settled(app.button(key="undo").click().run())
    assert desk_of(app).works == WORKS
    assert before.split("</p>")[1] in html_of(app)
    settled(app.button(key="redo").click().run())
    assert desk_of(app).works.lines["block"].operations["Op 60"].machines == 2


def test_what_the_file_would_refuse_stands_beside_its_field() -> None:
    app = open_page("line")
    field = next(each for each in app.text_input if each.label == "loading, min")
    field.set_value("3 kg")
    settled(next(each for each in app.button if each.label == "Put into the line").click().run())
    assert '<p class="beside">"3 kg" is a mass; ' in html_of(app)
    assert next(each for each in app.text_input if each.label == "loading, min").value == "3 kg"
    assert desk_of(app).works == WORKS


@pytest.mark.parametrize("part", ["a cutter set", "people and money", "a policy", "run and calendar"])
def test_each_part_of_the_scenario_can_be_changed(part: str) -> None:
    app = open_page("line")
    settled(app.selectbox(key="pick part").select(part).run())
    wanted = {"a cutter set": ("price, EUR", "199"), "people and money": ("people", "2"),
              "a policy": ("rule", "{parts: 40}"), "run and calendar": ("replications", "9")}  # fmt: skip
    label, text = wanted[part]
    fields = [each for each in app.text_input if each.label == label]
    fields[1 if part == "a policy" else 0].set_value(text)  # of rules the first is the one for all other sets
    settled(next(each for each in app.button if each.label == "Put into the line").click().run())
    works = desk_of(app).works
    assert works != WORKS
    changes = {
        "a cutter set": {"cutters": {"rough mill": {"price": 199}}},
        "people and money": {"people": {"setters": {"count": 2}}},
        "a policy": {"policies": {TODAY: {"exceptions": {"rough mill": {"parts": 40}}}}},
        "run and calendar": {"run": {"replications": 9}},
    }
    assert works == changed(WORKS, changes[part])


def test_inches_are_shown_and_taken() -> None:
    app = open_page("line")
    settled(app.get("button_group")[0].set_value("inch").run())
    field = next(each for each in app.text_input if each.label == "depth, in")
    assert float(field.value) == pytest.approx(3.0 / 25.4, rel=1e-4)
    field.set_value("0.1")
    settled(next(each for each in app.button if each.label == "Put into the line").click().run())
    cuts = desk_of(app).works.lines["block"].operations["Op 10"].strokes["rough"].cuts
    assert cuts["bottom rough"].depth == pytest.approx(2.54)


def test_a_scenario_that_came_along_is_opened() -> None:
    app = open_page("line")
    app.selectbox(key="came").select("head-line.yaml").run()
    settled(app.button(key="open").click().run())
    assert desk_of(app).works == load_works(SCENARIOS / "head-line.yaml")


def test_the_ledger_on_the_page_is_that_of_the_policy_chosen_above_it() -> None:
    app = open_page("money")
    settled(app.selectbox(key=f"pick against {TODAY}").select("full life").run())
    for policy in (TODAY, "run until it breaks"):
        settled(app.selectbox(key="pick policy").select(policy).run())
        costs = [run(WORKS, policy, replication=each, engine="fast").lines["cost_per_good_part"].iloc[0]
                 for each in range(FEW)]  # fmt: skip
        ledger = html_of(app).partition(f'Ledger of one good part under "{policy}"')[2]
        total = ledger.partition("<tfoot>")[2].partition("</td>")[0]
        assert is_shown_as(total.rpartition('class="n">')[2], float(np.mean(costs)))
        assert f'"{policy}" costs' in html_of(app) or f'"{policy}" and "full life" do not differ' in html_of(app)


def test_a_figure_on_the_money_page_opens_to_what_it_is_made_of() -> None:
    app = open_page("money")
    settled(app.selectbox(key="pick item").select("new cutters").run())
    settled(app.selectbox(key="pick where").select("Op 60").run())
    opened = html_of(app).partition("Op 60 (bore cylinders) and new cutters under ")[2].partition("</table>")[0]
    assert opened.count(">Op 60 (bore cylinders)</th>") == opened.count("<tr>") - 2  # a head and a foot beside them
    assert "finish blade" in opened
    assert "bottom mill" not in opened


def test_two_policies_are_set_against_each_other() -> None:
    app = open_page("money")
    settled(app.selectbox(key=f"pick against {TODAY}").select("full life").run())
    assert re.search(r'per good part than "full life"|and "full life" do not differ', html_of(app))
    settled(app.selectbox(key=f"pick against {TODAY}").select(TODAY).run())
    assert "Choose another policy above" in html_of(app)


def test_a_shift_is_stepped_through_and_played() -> None:
    app = open_page("shift")
    record = record_shift(WORKS, TODAY, 1)
    shipped = int((record.parts["outcome"] == "shipped").sum())
    assert f"{shipped} parts of block went out" in html_of(app)
    app.button(key="on").click().run()
    first = app.slider(key="minute").value
    assert 0.0 < first < 480.0
    app.button(key="on").click().run()
    assert app.slider(key="minute").value > first
    app.button(key="back").click().run()
    assert app.slider(key="minute").value == first
    app.toggle(key="play").set_value(True).run()
    assert app.slider(key="minute").value == pytest.approx(first + 5.0)
    app.toggle(key="play").set_value(False).run()
    app.slider(key="minute").set_value(200.0).run()
    assert "3:20 into the shift" in html_of(app)
    assert not app.exception


def test_the_dearest_moment_is_gone_to() -> None:
    app = open_page("shift")
    settled(app.button(key="moment 1").click().run())
    record = record_shift(WORKS, TODAY, 1)
    first = record.moments.iloc[0]
    assert app.slider(key="minute").value == pytest.approx(first["start_min"], abs=0.01)
    assert f"More about {first['operation']}" in html_of(app)
    settled(app.button(key="way to edges").click().run())
    assert app.selectbox(key="pick edges of block 1").value == first["operation"]


def test_another_shift_and_operation_and_characteristic() -> None:
    app = open_page("shift")
    settled(app.number_input(key="shift").set_value(3).run())
    assert "Shift 3 under" in html_of(app)
    settled(app.selectbox(key="pick edges of block").select("Op 90").run())
    settled(app.selectbox(key="pick passing block").select("top face: size").run())
    assert not app.error


def test_the_drawing_s_figures_are_the_library_s() -> None:
    app = open_page("drawing")
    table = look(WORKS, [TODAY], FEW).drawing_table(TODAY, "block")
    row = table.loc[table["cpk"].idxmin()]
    assert f"Cpk {interval(row['cpk'], row['cpk_half_width'])}" in html_of(app)
    settled(app.selectbox(key="pick life block").select("top face: size").run())
    settled(app.number_input(key="engine ratio").set_value(18.0).run())
    assert "top face: compression ratio" in html_of(app)
    for name in ("bore", "stroke", "piston"):
        settled(app.number_input(key=f"engine {name}").increment().run())


def test_a_reload_finds_the_desk_and_its_answer_again() -> None:
    app = open_page("line")
    jobs = {job.id for job in jobs_of(app)}
    again = open_page("line", {"desk": app.session_state["desk"]})
    assert desk_of(again) is desk_of(app)
    assert {job.id for job in jobs_of(again)} == jobs


def test_two_users_have_desks_of_their_own() -> None:
    one, other = open_page("line"), open_page("line")
    desk_of(one).put(changed(WORKS, {"name": "mine"}), "name")
    settled(one.run())
    settled(other.run())
    assert one.title[0].value == "mine"
    assert other.title[0].value == in_markdown(WORKS.name)


def test_a_hostile_name_is_shown_as_it_stands() -> None:
    nasty = "<script>alert(1)</script> **bold** :red[x] $y$ " + "long " * 25
    app = open_page("line")
    works = changed(WORKS, {"name": nasty, "about": nasty})
    desk_of(app).put(works, nasty)
    settled(app.run())
    assert r"\<script\>alert\(1\)\</script\> \*\*bold\*\* \:red\[x\] \$y\$" in app.title[0].value
    assert "<script>" not in html_of(app)
    assert "&lt;script&gt;" in html_of(app)


def test_too_much_is_refused_with_a_word() -> None:
    app = open_page("line")
    desk_of(app).put(changed(WORKS, {"run": {"length": 900_000_000}}), "length")
    app.run()
    assert "Shorten the run or ask for fewer replications" in texts_of(app).replace("\\", "")
    assert not app.exception


def test_a_fault_shows_no_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_: object) -> None:
        raise ZeroDivisionError("secret")

    monkeypatch.setattr(line, "page", broken)
    app = open_page("line")
    assert "Something went wrong here that should not" in texts_of(app)
    assert "secret" not in texts_of(app) + html_of(app)


def pages_of_the_desk() -> list[Path]:
    return sorted((Path(__file__).resolve().parents[2] / "dashboard" / "questions").glob("*.py"))


@pytest.mark.parametrize("path", pages_of_the_desk(), ids=lambda path: path.name)
def test_a_page_reckons_nothing_and_knows_no_engine(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    reckoning = (ast.Sub, ast.Div, ast.Pow, ast.Mod, ast.FloorDiv)
    found = [ast.unparse(node) for node in ast.walk(tree) if isinstance(node, ast.BinOp | ast.AugAssign)
             and isinstance(node.op, reckoning)]  # fmt: skip
    assert not found
    assert not re.search(r"linesim\.(floor|fast)", path.read_text(encoding="utf-8"))
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 120
