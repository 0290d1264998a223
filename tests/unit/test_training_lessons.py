"""Lessons: files that an instructor writes, told what is wrong with them, and that teach what they say."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema
import pytest
import yaml

from linesim.errors import ScenarioError
from linesim.quality.engine import compression_ratio, cylinder_volume_cm3
from linesim.report.theme.cautions import CAUTION_OF, lesson_cautions
from linesim.training.checking import check_lesson
from linesim.training.lesson import Stated
from linesim.training.orders import TrainingError
from linesim.training.policies import POLICIES, carry_policy, mean_figures, stated_policy
from linesim.training.reading import lesson_named, lesson_schema, load_lesson
from linesim.training.search import search_best
from linesim.training.worked import figure_at, value_of, worked_answer
from tests.rounds import some_each_time
from tests.training import FILES, LESSONS, a_lesson, lesson

KEYS = [path.stem[:2] for path in FILES]
SHIFTS = (1, 64)
"""Chosen before any was seen; `tests.benchmarks.lessons` plays shifts 1 to 100."""


def test_there_are_the_lessons_that_a_setter_needs() -> None:
    assert len(FILES) >= 10


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("shift", some_each_time(SHIFTS, 64))
def test_the_good_policy_passes_and_the_bad_one_fails(key: str, shift: int) -> None:
    """The physics does it: the same castings, edges and breakdowns under both. No sampling error: shift by shift."""
    found = check_lesson(lesson(key), (shift,))
    assert found.passes["good"] == found.passes["best"] == 1
    assert found.passes["bad"] == 0


@pytest.mark.parametrize("key", some_each_time(KEYS, "01"))
def test_the_best_found_policy_earns_most_of_all_that_are_stated(key: str) -> None:
    """Mean of eight shifts; 2 % are left for chance between policies that are nearly as good."""
    earned = {name: mean_figures(lesson(key), name)["earned"] for name in POLICIES}
    assert earned["best"] >= 0.98 * max(earned.values())


@pytest.mark.longer
def test_a_new_search_finds_nothing_much_better() -> None:
    """On two shifts that the search did not see; 3 % are left for chance."""
    found = search_best(lesson("04"), (201, 202))
    policy = Stated(about="found anew", way=found.way, orders=found.orders)
    anew = sum(carry_policy(lesson("04"), number, policy).figures["earned"] for number in (211, 212, 213))
    best = sum(carry_policy(lesson("04"), number, "best").figures["earned"] for number in (211, 212, 213))
    assert best > 0.97 * anew


@pytest.mark.parametrize("key", KEYS)
def test_every_answer_is_worked_out_from_the_model(key: str) -> None:
    for question in lesson(key).file.questions:
        value, worked = worked_answer(lesson(key), question)
        assert f"{value:.{question.decimals}f}" in worked
        assert not re.search(r"[{}]", worked)


def test_the_compression_of_the_last_lesson_is_that_of_the_formula_worked_by_hand() -> None:
    """Bore 88, stroke 100: 608.21 cm³ over a chamber of 84 × 12 (66.50) and a gasket of 1.2 (7.30)."""
    swept, clearance = cylinder_volume_cm3(88, 100), 66.501 + 7.299
    value, _ = worked_answer(lesson("11"), lesson("11").file.questions[0])
    assert value == pytest.approx(compression_ratio(swept, clearance), rel=1e-4)
    assert value == pytest.approx((608.212 + 73.80) / 73.80, rel=1e-4)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_schema_takes_every_lesson(path: Path) -> None:
    jsonschema.Draft202012Validator(lesson_schema()).validate(yaml.safe_load(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("key", KEYS)
def test_every_lesson_has_its_cautions_and_all_of_them_the_common_ones(key: str) -> None:
    told = lesson_cautions(lesson(key).file.cautions)
    assert CAUTION_OF["changing"] in told
    assert CAUTION_OF["guards"] in told
    assert "local codes" in told[-1]


def test_wheels_are_ring_tested_and_chips_never_blown_off() -> None:
    assert CAUTION_OF["wheels"] in lesson_cautions(lesson("04").file.cautions)
    assert "ring tested" in CAUTION_OF["wheels"]
    assert CAUTION_OF["chips"] in lesson_cautions(lesson("03").file.cautions)
    assert "never blown off" in CAUTION_OF["chips"]


def test_no_order_saves_minutes_of_locking_out() -> None:
    """Every order of every lesson's policies is one of those that cost their full minutes; there is no other."""
    for key in KEYS:
        for policy in ("good", "bad", "best"):
            orders = stated_policy(lesson(key), policy).orders
            assert {order["do"] for order in orders} <= {"rule", "chips", "correct", "gauge every", "first"}


# --- what is wrong is told -------------------------------------------------------------------------------------------


MONEY = {"why": "x", "reach": [{"figure": "earned", "share_of_best": 0.5}]}
MISSPELT = "cut / Op 20 / finnish / life_min"


def told(path: Path) -> str:
    with pytest.raises(ScenarioError) as refused:
        load_lesson(path)
    return str(refused.value)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"task": None}, "01-dull-finish-blade.yaml, line 1, task: missing; a text was expected"),
        ({"taks": "x"}, 'taks: "taks" is not known here; did you mean "task"?'),
        ({"plan": "the cart"}, 'plan: there is no policy "the cart"; there are "the card"'),
        ({"in_hand": ["Op 21"]}, 'in_hand[0]: there is no operation "Op 21"; there are "Op 10", "Op 20", "Op 30"'),
        ({"looks": {"minutes": "3 kg"}}, 'looks.minutes: "3 kg" is a mass; a time such as "3 min" was expected'),
        ({"cautions": ["glovs"]}, 'cautions[0]: "glovs" is not known here; one of changing, gloves'),
        (
            {"good": {"about": "x", "orders": [{"do": "rule", "machine": "Op 20", "set": "blad", "rule": "run out"}]}},
            'good.orders[0]: there is no cutter set on "Op 20" called "blad"',
        ),
        ({"bad": {"about": "x", "way": "none"}}, 'bad.way: there is no way "none" to set the line up'),
        ({"pass_mark": {"why": "x", "reach": [{"figure": "earnt", "at_least": 1}]}}, 'did you mean "earned"?'),
        ({"pass_mark": {"why": "x", "reach": [{"figure": "earned"}]}}, "name exactly one of at_least, at_most"),
        ({"scenario": {"extends": "../works.yaml"}}, "scenario.extends: "),
        ({"scenario": {"extends": "nowhere.yaml"}}, 'there is no file "nowhere.yaml" here or in the folder above'),
        ({"scenario": None}, "scenario: missing; a scenario such as {extends: smallest.yaml} was expected"),
        ({"ways": {"odd": {"about": "x", "changes": {"runn": {}}}}}, "ways[odd].changes.runn"),
        ({"ways": {"odd": {"about": "x", "changes": {"run": {"length": "4 days"}}}}}, "one shift, of 1440 min at most"),
        (
            {"questions": [{"ask": "x", "given": {"a": MISSPELT}, "answer": "a", "worked": "x"}]},
            'questions[0].given[a]: there is no cut "finnish"; did you mean "finish"?',
        ),
        (
            {"questions": [{"ask": "x", "given": {"a": 2}, "answer": "a + b", "worked": "x"}]},
            'questions[0].answer: the formula uses "b"; given are a',
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_place(tmp_path: Path, changes: dict[str, object], words: str) -> None:
    assert words in told(a_lesson(tmp_path, **changes))


@pytest.mark.parametrize("worked", ["{a.__class__}", "{a[0]}", "{b}", "{a", "{a:d}", "{}"])
def test_a_worked_text_holds_names_and_nothing_else(tmp_path: Path, worked: str) -> None:
    question = {"ask": "x", "given": {"a": 2}, "answer": "a", "worked": worked}
    assert "questions[0].answer: the worked text" in told(a_lesson(tmp_path, questions=[question]))


def test_a_lesson_on_machines_without_cutters_is_taken(tmp_path: Path) -> None:
    plain = {"about": "x"}
    question = {"ask": "x", "answer": "1", "worked": "{answer}"}
    path = a_lesson(
        tmp_path, in_hand=["Op 10"], good=plain, bad=plain, best=plain, questions=[question], pass_mark=MONEY
    )
    assert check_lesson(load_lesson(path), [1]).passes["run until it breaks"] == 1


def test_an_error_in_the_scenario_is_told_with_its_line_in_the_lesson(tmp_path: Path) -> None:
    copy = a_lesson(tmp_path)
    copy.write_text(copy.read_text(encoding="utf-8").replace("teeth", "teeth").replace("places: 3", "places: -3"))
    words = told(copy)
    line = next(at for at, text in enumerate(copy.read_text().splitlines(), 1) if "places: -3" in text)
    assert f"line {line}, scenario.lines.block.features[cylinder bores].places: -3 is too small" in words


def test_all_that_is_wrong_is_told_together(tmp_path: Path) -> None:
    words = told(a_lesson(tmp_path, task=None, looks={"minutes": 0}))
    assert "task: missing" in words
    assert "looks.minutes: 0 is too small" in words


def test_a_lesson_may_extend_a_scenario_of_the_folder_above(tmp_path: Path) -> None:
    (tmp_path / "lessons").mkdir()
    source = LESSONS.parent / "smallest.yaml"
    (tmp_path / "smallest.yaml").write_text(source.read_text(encoding="utf-8"), encoding="utf-8")
    policy = {"about": "x", "orders": [{"do": "rule", "machine": "Op 20", "rule": {"parts": 30}}]}
    path = a_lesson(
        tmp_path / "lessons",
        scenario={"extends": "smallest.yaml", "run": {"length": 300, "warm_up": 0}},
        plan="every 60 parts",
        questions=[{"ask": "x", "given": {"a": 2}, "answer": "a", "worked": "{answer}"}],
        pass_mark=MONEY,
        **dict.fromkeys(("good", "bad", "best"), policy),
    )
    assert load_lesson(path).works.run.length == 300


def test_a_lesson_is_found_by_the_beginning_of_its_name() -> None:
    assert lesson_named("09", LESSONS).key == "09-chasing-the-gauge"
    with pytest.raises(TrainingError, match='Did you mean "09-chasing-the-gauge"'):
        lesson_named("chasing-the-gauge", LESSONS)


@pytest.mark.parametrize("formula", ["__import__('os')", "a.b", "[1]", "'x' * 3", "lambda: 1", "2 if 1 else 3", "a[0]"])
def test_a_formula_is_nothing_but_a_formula(formula: str) -> None:
    with pytest.raises(TrainingError):
        value_of(formula, {"a": 1.0})


@pytest.mark.parametrize("formula", ["1 / 0", "9 ** 9 ** 9 ** 9", "sqrt(-1)", "exp(1e9)", "(" * 300 + "1" + ")" * 300])
def test_a_formula_that_cannot_be_worked_out_is_told(formula: str) -> None:
    with pytest.raises(TrainingError):
        value_of(formula, {})


def test_figures_are_found_where_they_stand() -> None:
    one = lesson("02")
    assert figure_at(one, "cut / Op 10 / bottom / depth_mm") == 3.5
    assert figure_at(one, "three cuts : cut / Op 10 / bottom / depth_mm") == 2.6
    assert figure_at(one, "feature / bottom / high_um") == pytest.approx(80.0)
    assert figure_at(one, 7) == 7.0
    with pytest.raises(TrainingError, match="leads nowhere"):
        figure_at(one, "cut / Op 10")
