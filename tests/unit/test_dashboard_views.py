"""What pages show, without a page: fields and their changes, ledgers, shifts, characteristics."""

from __future__ import annotations

import math
import re

import pandas as pd
import pytest

from dashboard.forms import fields
from linesim.desk import desk_figures
from linesim.errors import ScenarioError, StudyError
from linesim.report.theme.colours import DAY, NIGHT
from linesim.report.theme.desk_style import desk_style, theme_options
from linesim.report.theme.picture import Sheet
from linesim.report.theme.safe import in_markdown, in_picture
from linesim.report.theme.shown import converted, interval, number, unit_shown
from linesim.report.views import drawing as drawing_view
from linesim.report.views import moment as moment_view
from linesim.report.views import money as money_view
from linesim.report.views import shift as shift_view
from linesim.report.views.routing_picture import routing_picture
from linesim.study import run
from linesim.study.comparing.closely import CloseLook, look, look_steps
from linesim.study.one.moments import minute_price
from linesim.study.one.shift_record import ShiftRecord, record_shift
from linesim.study.one.wear_trail import WearTrail, trail
from linesim.study.questions.effort import check_effort, part_steps
from linesim.study.questions.in_engine import Cylinder, compression_effect
from linesim.works import changed, digest, load_works, to_yaml, works_from_text
from tests.unit.dashboard_app import SCENARIOS

WORKS = load_works(SCENARIOS / "block-line.yaml")
POLICY, OTHER, LINE = "by parts", "full life", "block"


@pytest.fixture(scope="module")
def found() -> CloseLook:
    return look(WORKS, [POLICY, OTHER], 4)


@pytest.fixture(scope="module")
def record() -> ShiftRecord:
    return record_shift(WORKS, POLICY, 2)


@pytest.fixture(scope="module")
def trailed() -> WearTrail:
    shorter = WORKS.model_copy(update={"run": WORKS.run.model_copy(update={"length": 5 * 480.0})})
    return trail(shorter, POLICY)


# a close look


@pytest.mark.parametrize("by", [["item"], ["operation"], ["operation", "item"], ["operation", "item", "cause"]])
def test_money_adds_up_to_the_cost_however_it_is_opened(found: CloseLook, by: list[str]) -> None:
    cost = found.figure(POLICY, LINE, "cost_per_good_part").mean
    assert found.money_table(POLICY, LINE, by)["mean"].sum() == pytest.approx(cost, rel=1e-12)


def test_an_amount_is_so_much_at_a_price(found: CloseLook) -> None:
    made = found.composition(POLICY, LINE)
    assert (made["quantity"] * made["price"]).sum() == pytest.approx(made["mean"].sum(), rel=1e-4)


@pytest.mark.parametrize("item", [None, "scrap", "machine hours"])
def test_what_a_figure_is_made_of_is_grouped_by_what_it_is(found: CloseLook, item: str | None) -> None:
    made = found.composition(POLICY, LINE, item=item)
    keys = ["operation", "item", "cause", "what", "unit"]
    assert not made.duplicated([key for key in keys if key in made]).any()
    own = found.money[found.money["policy"] == POLICY]
    own = own if item is None else own[own["item"] == item]
    assert made["mean"].sum() == pytest.approx(own["per_good_part"].sum() / found.n)
    assert made["price"].between(own["price"].min(), own["price"].max()).all()


def test_a_close_look_is_the_mean_of_single_runs(found: CloseLook) -> None:
    costs = [float(run(WORKS, POLICY, replication=each, engine="fast").lines["cost_per_good_part"].iloc[0])
             for each in range(4)]  # fmt: skip
    assert found.figure(POLICY, LINE, "cost_per_good_part").mean == pytest.approx(sum(costs) / 4.0)


def test_differences_are_paired_and_add_up(found: CloseLook) -> None:
    mean, _, _ = found.difference(POLICY, OTHER, LINE, "cost_per_good_part")
    assert found.money_between(POLICY, OTHER, LINE, ["operation", "item"])["difference"].sum() == pytest.approx(mean)


def test_a_study_tells_on_its_way_and_ends_once() -> None:
    steps = list(look_steps(WORKS, [POLICY], 5))
    assert [step.is_final for step in steps] == [False] * (len(steps) - 1) + [True]
    assert [step.done for step in steps] == [1, 2, 2, 3, 4, 4, 5]
    assert [step.answer.n for step in steps if step.answer] == [2, 4, 5]


def test_one_replication_is_too_few() -> None:
    with pytest.raises(StudyError, match="1 replications were asked for; at least 2 are needed for an interval"):
        look(WORKS, [POLICY], 1)


def test_a_line_that_ships_nothing_is_told_so() -> None:
    short = changed(WORKS, {"run": {"length": 1, "warm_up": 0}})
    nothing = look(short, [POLICY], 2)
    assert "no good part has left block" in money_view.money_sentence(nothing, POLICY, LINE)
    assert money_view.money_picture(nothing, POLICY, LINE).figure is not None
    assert "nothing was shipped" in drawing_view.drawing_sentence(nothing, POLICY, LINE)
    assert drawing_view.drawing_picture(nothing, POLICY, LINE).figure is not None


# a shift


def test_the_states_of_each_machine_fill_the_shift(record: ShiftRecord) -> None:
    own = record.states.assign(minutes=record.states["end_min"] - record.states["start_min"])
    assert own.groupby("machine")["minutes"].sum().to_numpy() == pytest.approx(480.0)


def test_a_recorded_shift_is_that_of_the_run(record: ShiftRecord) -> None:
    start = WORKS.run.warm_up + 480.0
    traced = run(WORKS, POLICY, trace=True, engine="fast").trace
    assert traced is not None
    moves = traced.parts[(traced.parts["complete_min"] >= start) & (traced.parts["complete_min"] < start + 480.0)]
    done = record.parts[~record.parts["outcome"].isin(["scrapped", "to repair"])]  # these are not complete there
    assert sorted(done["minute"] + start) == pytest.approx(sorted(moves["complete_min"]))
    changes = traced.changes[(traced.changes["now_min"] >= start) & (traced.changes["now_min"] < start + 480.0)]
    assert record.changes["life_share"].to_list() == pytest.approx(changes["life_share"].to_list())


def test_stock_stays_within_its_buffer(record: ShiftRecord) -> None:
    room = {name: operation.buffer for name, operation in WORKS.lines[LINE].operations.items()}
    most = record.stock.groupby("operation")["parts"].max()
    assert all(most[name] <= room[name] for name in most.index if name != "Op 10")
    assert record.stock["parts"].min() >= 0


def test_life_shares_grow_until_the_edge_is_changed(record: ShiftRecord) -> None:
    for _, group in record.edges.groupby(["machine", "cutter"]):
        falls = group["life_share"].diff() < -1e-12
        assert (group.loc[falls, "life_share"] == 0.0).all()


def test_a_minute_of_the_constraint_is_what_it_would_have_made() -> None:
    rate = desk_figures(WORKS, POLICY).constraints["parts_per_hour"].iloc[0]
    assert minute_price(WORKS, desk_figures(WORKS, POLICY))[LINE] == pytest.approx((470.0 - 138.0) * rate / 60.0)


def test_moments_are_told_the_dearest_first(record: ShiftRecord) -> None:
    assert record.moments["cost"].is_monotonic_decreasing
    first, *others = shift_view.dearest_moments(record, LINE, 5)
    assert (first.minute, first.operation) == tuple(record.moments.loc[0, ["start_min", "operation"]])
    assert record.moments.loc[0, "words"] in first.words
    assert len(others) == 4


def test_there_is_no_shift_nought() -> None:
    with pytest.raises(StudyError, match="shift 0 cannot be shown; a whole number from 1 to 60 was expected"):
        record_shift(WORKS, POLICY, 0)


# an edge's life


def test_parts_since_a_change_begin_at_one_and_go_no_further_than_the_interval(trailed: WearTrail) -> None:
    own = trailed.values[trailed.values["feature"] == "cylinder bores"]
    assert own["parts_since_change"].min() == 1
    assert own["parts_since_change"].max() <= 30 + 1
    bins = trailed.by_parts(LINE, "cylinder bores", "ra_um")
    assert bins["n"].sum() == len(own)


def test_a_dull_deck_mill_leaves_the_face_high(trailed: WearTrail) -> None:
    bins = trailed.by_parts(LINE, "top face", "error_um", 4)
    assert bins["mean"].iloc[-1] > bins["mean"].iloc[0] + 3.0


def test_the_compression_ratio_falls_by_its_own_formula() -> None:
    cylinder, high_mm = Cylinder(88.0, 100.0, 17.0), 0.02
    swept = math.pi / 4.0 * 8.8**2 * 10.0
    clearance = swept / 16.0 + math.pi / 4.0 * 8.8**2 * high_mm / 10.0
    exact = (swept + clearance) / clearance
    assert compression_effect(cylinder, high_mm, 0.0).mean == pytest.approx(exact, abs=2e-4)


# pictures, sheets, words


def test_every_picture_has_words_and_a_table(found: CloseLook, record: ShiftRecord, trailed: WearTrail) -> None:
    desk = desk_figures(WORKS, POLICY)
    for light in (DAY, NIGHT):
        pictures = [
            routing_picture(WORKS, desk, LINE, light),
            money_view.money_picture(found, POLICY, LINE, light),
            money_view.between_picture(found, POLICY, OTHER, LINE, light),
            shift_view.shift_picture(record, LINE, 100.0, light),
            moment_view.floor_picture(record, LINE, 100.0, light),
            moment_view.edge_picture(record, LINE, "Op 60", light),
            moment_view.part_picture(record, LINE, "top face", "error_um", "inch", light),
            drawing_view.drawing_picture(found, POLICY, LINE, "inch", light),
            drawing_view.life_picture(trailed, LINE, "top face", "ra_um", "inch", light),
        ]
        for each in pictures:
            assert len(each.words) > 20
            assert each.sheet.rows
            assert len(each.sheet.csv.splitlines()) > 1
            assert each.figure.layout.font.color == light.ink


def test_names_are_escaped_in_every_picture_and_sheet() -> None:
    nasty = "<img src=x onerror=alert(1)> $x$"
    does = re.sub(r"does: .*", 'does: "<img> $x$"', to_yaml(WORKS))
    text = does.replace("Op 60", f'"{nasty}"').replace("top face", f'"{nasty} face"')
    works = works_from_text(text)
    found = look(works, [POLICY, OTHER], 2)
    shift = record_shift(works, POLICY)
    desk = desk_figures(works, POLICY)
    for each in (
        routing_picture(works, desk, LINE), money_view.money_picture(found, POLICY, LINE),
        money_view.between_picture(found, POLICY, OTHER, LINE), shift_view.shift_picture(shift, LINE),
        moment_view.floor_picture(shift, LINE, 50.0), moment_view.edge_picture(shift, LINE, nasty),
        drawing_view.drawing_picture(found, POLICY, LINE),
    ):  # fmt: skip
        shown = each.figure.to_plotly_json()
        labels = [text for text in _labels(shown) if "onerror" in text]
        assert all("<img" not in text for text in labels), each.words
        assert "<img" not in each.sheet.html


def _labels(value: object, key: str = "") -> list[str]:
    """All texts of a figure that are read as markup (not the names that a click gives back)."""
    if isinstance(value, dict):
        return [text for name, each in value.items() if name != "customdata" for text in _labels(each, name)]
    if isinstance(value, list | tuple) or hasattr(value, "tolist"):
        return [text for each in list(value) for text in _labels(each, key)]
    return [value] if isinstance(value, str) else []


def test_a_formula_is_harmless_in_a_file() -> None:
    sheet = Sheet("x", ["a"], [["=1+1"]], pd.DataFrame({"a": ["=1+1", "@x", "-2+3"], "b": [-1.0, 2.0, 3.0]}))
    assert sheet.csv == "a,b\n'=1+1,-1.0\n'@x,2.0\n'-2+3,3.0\n"


@pytest.mark.parametrize(("unit", "metric", "inch"), [("mm", 25.4, 1.0), ("N", 4.4482216152605, 1.0),
                                                      ("kW", 0.745699872, 1.0), ("m/min", 0.3048, 1.0)])  # fmt: skip
def test_inches_pounds_and_horsepower_by_their_definitions(unit: str, metric: float, inch: float) -> None:
    assert converted(metric, unit, "inch") == pytest.approx(inch, rel=1e-9)
    assert converted(metric, unit, "metric") == metric
    assert unit_shown(unit, "inch") != unit


def test_digits_are_those_that_the_interval_carries() -> None:
    assert interval(318.9375, 1.008) == "318.9\xa0±\xa01.0"
    assert interval(0.000123, 0.0) == "0.000123\xa0±\xa00.000000"
    assert number(-0.0001, 2) == "0.00"
    assert number(-12345.6, 0) == "−12\u202f346"


def test_markup_is_shown_as_it_stands() -> None:
    assert in_markdown("[x](javascript:alert(1))") == r"\[x\]\(javascript\:alert\(1\)\)"
    assert in_picture("<b>" + "a" * 40) == "&lt;b&gt;" + "a" * 24 + "…"


def test_the_look_has_both_lights_and_no_address() -> None:
    for light in (DAY, NIGHT):
        assert light.ink in desk_style(light)
        assert "http" not in desk_style(light)
    assert theme_options()["theme.dark.textColor"] == NIGHT.ink


# fields


def test_fields_left_alone_change_nothing() -> None:
    for system in ("metric", "inch"):
        shown = [
            *fields.operation_fields(WORKS, LINE, "Op 60", system), *fields.cutter_fields(WORKS, "rough mill", system),
            *fields.line_fields(WORKS, LINE, system), *fields.run_fields(WORKS, system),
            *fields.policy_fields(WORKS, POLICY, system),
        ]  # fmt: skip
        assert fields.changes_from(shown, {field.key: field.text for field in shown}, system) == {}


def test_every_text_of_a_field_is_taken_as_what_it_shows() -> None:
    shown = [
        *fields.operation_fields(WORKS, LINE, "Op 60"), *fields.cutter_fields(WORKS, "rough mill"),
        *fields.line_fields(WORKS, LINE), *fields.run_fields(WORKS), *fields.policy_fields(WORKS, POLICY),
    ]  # fmt: skip
    blank = [fields.Field(each.path, each.words, "?", each.unit, each.help, each.group) for each in shown]
    texts = {each.key: each.text for each in shown if each.text}
    changes = fields.changes_from([each for each in blank if each.key in texts], texts)
    assert digest(changed(WORKS, changes)) == digest(WORKS)


def test_a_group_of_entries_is_read_as_a_file_is() -> None:
    [field] = [each for each in fields.operation_fields(WORKS, LINE, "Op 60") if each.path[-1] == "load"]
    changes = fields.changes_from([field], {field.key: "{lognormal: {mean: 1 min, cv: 0.2}}"})
    load = changed(WORKS, changes).lines[LINE].operations["Op 60"].load
    assert load.lognormal is not None
    assert fields.changes_from([field], {field.key: "1 lognormal 0,2"}) == {
        "lines": {LINE: {"operations": {"Op 60": {"load": {"lognormal": {"mean": 1.0, "cv": 0.2}}}}}}
    }
    with pytest.raises(ScenarioError, match="lognormal needs a second figure"):
        fields.changes_from([field], {field.key: "1 lognormal"})
    with pytest.raises(ScenarioError):
        fields.changes_from([field], {field.key: "{!!python/object/apply:os.system [true]}"})
    with pytest.raises(ScenarioError, match="401 signs; at most 400 were expected"):
        fields.changes_from([field], {field.key: "1" * 401})


def test_a_problem_elsewhere_is_told_with_its_place() -> None:
    shown = fields.operation_fields(WORKS, LINE, "Op 60")
    [depth] = [each for each in shown if each.path[-2:] == ("rough", "depth")]
    with pytest.raises(ScenarioError) as caught:
        changed(WORKS, fields.changes_from(shown, {depth.key: "9 mm"}))
    beside, others = fields.errors_beside(WORKS, shown, caught.value.problems)
    assert beside == {}
    assert others[0].startswith("lines.block.features[cylinder bores].as_cast.stock: the cuts take off")


# effort


def test_effort_is_parts_through_operations() -> None:
    rate = desk_figures(WORKS, at_full_life=True).constraints["parts_per_hour"].iloc[0]
    assert part_steps(WORKS) == pytest.approx(26_400.0 / 60.0 * rate * 12)
    check_effort(WORKS, 100)
    with pytest.raises(StudyError, match="Shorten the run or ask for fewer replications"):
        check_effort(WORKS, 100_000)


def test_castings_that_arrive_count_as_effort_even_if_they_find_no_room() -> None:
    often = {"casting": {"arrivals": {"between": 0.00001, "when_full": "turn away"}}}
    crowded = changed(WORKS, {"lines": {LINE: often}})
    assert part_steps(crowded) == pytest.approx(part_steps(WORKS) + 26_400.0 / 0.00001)
    with pytest.raises(StudyError, match="Shorten the run"):
        check_effort(crowded, 1)
    limited = changed(WORKS, {"lines": {LINE: {"casting": {"arrivals": {"between": 0.00001}, "limit": 500}}}})
    assert part_steps(limited) == pytest.approx(part_steps(WORKS) + 500.0)
