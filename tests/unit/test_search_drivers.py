"""What drives the result: inputs, ranges, each shift, Morris's figures on known functions, and who comes first."""

from __future__ import annotations

import math
import sys
from importlib.resources import files
from typing import Any

import numpy as np
import pytest
import yaml

from linesim.ask import drivers
from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.plan.times import mean_minutes
from linesim.study.options import asked
from linesim.study.search import DriverStudy
from linesim.study.search.sensitivity.inputs import Input, inputs_of, parse_range, ranged, together, with_factors
from linesim.study.search.sensitivity.morris import effects_of, morris_points
from linesim.study.search.sensitivity.variations import SWINGS, as_minutes, scaled
from linesim.works import Works, changed, load_works
from linesim.works.durations import Spread
from tests.builders import a_works


@pytest.fixture(scope="module")
def block() -> Works:
    return load_works("scenarios/block-line.yaml")


HAPPENINGS = {
    "features": {"top face": {"roughness": {"loss_at_limit": 0}}},
    "casting": {"heats": {"of": 60, "life": "20 %", "force": "10 %"}, "sand": {"chance": "0.05 %"}},
    "later": {"field": {"gasket": {"weights": {"top face": {"roughness": 1}}, "cost": "400 EUR"}}},
    "operations": {
        "Op 30": {"clamping": {"bends": "12 um"}, "warm_up": {"rise": "30 um"}},
        "Op 40": {"fixtures": {"count": 3, "position": "6 um"}},
        "Op 60": {"turns_bad": {"chance": "0.2 %", "shift": "15 um"}},
        "Op 100": {"test": {"weights": {"top face": {"roughness": 1}}}},
    },
}


@pytest.fixture(scope="module")
def eventful(block: Works) -> Works:
    """The block line, with something of every kind that is not known well."""
    cutters = {"fine blade": {"setting": {"error": "4 um"}}}
    return changed(block, {"lines": {"block": HAPPENINGS}, "cutters": cutters})


@pytest.fixture(scope="module")
def short() -> Works:
    return changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "2 days"}})


# --- Morris on functions whose effects are known ---


def morris(function: Any, count: int, trajectories: int = 20) -> list[Any]:
    points = morris_points(count, trajectories, 7)
    return effects_of(points, np.array([function(row) for row in points]), 0.95, 7)


def test_a_plane_has_its_slopes_for_effects_and_no_spread() -> None:
    """Exact for any trajectories: an elementary effect of a plane is its slope."""
    slopes = (4.0, -2.5, 0.0, 1.0)
    found = morris(lambda x: float(np.dot(slopes, x)), 4)
    assert [effect.mu_star for effect in found] == pytest.approx([4.0, 2.5, 0.0, 1.0])
    assert [effect.mu for effect in found] == pytest.approx(list(slopes))
    assert [effect.sigma for effect in found] == pytest.approx([0.0] * 4, abs=1e-12)


def test_inputs_that_lean_on_each_other_have_spread() -> None:
    """x0 x1 + x2: the effect of x0 is x1, which takes 0, 1/3, 2/3 and 1 alike; mean 1/2, standard deviation 0.373."""
    found = morris(lambda x: float(x[0] * x[1] + x[2]), 3, trajectories=400)
    assert [effect.mu_star for effect in found] == pytest.approx([0.5, 0.5, 1.0], abs=0.06)
    assert [effect.sigma for effect in found] == pytest.approx([0.373, 0.373, 0.0], abs=0.03)


def test_effects_of_either_sign_do_not_cancel() -> None:
    found = morris(lambda x: (x[0] - 0.5) ** 2, 2, trajectories=200)
    assert abs(found[0].mu) < 0.1
    assert found[0].mu_star == pytest.approx(1 / 3, abs=0.02)


def test_the_function_of_sobol_ranks_as_published() -> None:
    """g with a = 0, 1, 4.5, 9, 99 (Saltelli and Sobol 1995): the smaller a, the greater the effect."""

    def g(x: Any) -> float:
        return math.prod(
            (abs(4.0 * u - 2.0) + a) / (1.0 + a) for u, a in zip(x, (0.0, 1.0, 4.5, 9.0, 99.0), strict=True)
        )

    stars = [effect.mu_star for effect in morris(g, 5, trajectories=100)]
    assert stars == sorted(stars, reverse=True)


def test_the_same_seed_gives_the_same_points() -> None:
    assert (morris_points(5, 4, 3) == morris_points(5, 4, 3)).all()
    assert morris_points(5, 4, 3).shape == (24, 5)


def test_without_salib_the_error_says_what_to_do(monkeypatch: pytest.MonkeyPatch, short: Works) -> None:
    for name in ("SALib", "SALib.sample", "SALib.sample.morris"):
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(StudyError, match=r"pip install 'linesim\[screening\]'"):
        list(asked(DriverStudy, {"works": short, "policy": "every 60 parts", "trajectories": 2}).steps())


# --- inputs ---


def test_every_input_has_a_range_about_1_and_a_reason(block: Works) -> None:
    found = inputs_of(block)
    assert len({one.name for one in found}) == len(found)
    for one in found:
        assert 0.0 < one.low < 1.0 < one.high
        assert len(one.reason) > 20
        assert "{" not in one.words
        assert one.found_at in ("floor", "books", "customer")


def test_every_kind_of_the_data_file_can_be_shifted(eventful: Works) -> None:
    assert {one.kind for one in inputs_of(eventful)} == set(SWINGS)


def test_all_of_a_kind_go_together(block: Works, eventful: Works) -> None:
    found = together(inputs_of(eventful))
    assert [one.name for one in found] == list(SWINGS)
    life = found[0]
    assert set(life.targets) == set(block.cutters)


def test_own_ranges_go_over_those_of_the_file(block: Works) -> None:
    own = {"life": (0.9, 1.1), "life of bore reamer": (0.4, 3.0)}
    found = {one.name: (one.low, one.high) for one in ranged(inputs_of(block), own)}
    assert found["life of bore reamer"] == (0.4, 3.0)
    assert found["life of deck mill"] == (0.9, 1.1)
    assert found["price of deck mill"] == (0.9, 1.2)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (
            {"life of bore reemer": (0.5, 2.0)},
            '"life of bore reemer" is no input of this works; did you mean "life of bore reamer"?',
        ),
        (
            {"life": (2.0, 0.5)},
            'the range of "life" is 2 to 0.5; two factors above 0, the lower one first, were expected',
        ),
    ],
)
def test_ranges_that_cannot_be_are_refused(block: Works, given: Any, told: str) -> None:
    with pytest.raises(StudyError) as error:
        ranged(inputs_of(block), given)
    assert str(error.value) == told


@pytest.mark.parametrize("text", ["life", "life=2", "life=a:b", "life=2:1", "=1:2"])
def test_ranges_as_typed_are_refused_with_an_example(text: str) -> None:
    with pytest.raises(StudyError, match="one such as"):
        parse_range(text)


def test_a_range_is_walked_by_ratio() -> None:
    one = Input("x", "life", ("a",), "x", 0.5, 2.0, "")
    assert [one.factor(share) for share in (0.0, 0.5, 1.0)] == pytest.approx([0.5, 1.0, 2.0])


# --- shifts ---


def numbers(works: Works, policy: str) -> dict[str, np.ndarray[Any, Any]]:
    """Every column of the plan by table and name."""
    plan = make_plan(works, policy)
    tables = (
        "lines",
        "operations",
        "machines",
        "mounts",
        "strokes",
        "cuts",
        "kinds",
        "features",
        "gauges",
        "rules",
        "times",
        "tests",
        "placings",
        "holdings",
    )
    return {f"{table}.{name}": column for table in tables for name, column in getattr(plan, table)._asdict().items()}


CHANGES = {
    "life of finish blade": {"cuts.life_min", "mounts.expected_life_min"},
    "life of block stones": {"cuts.life_min", "mounts.expected_life_min"},
    "life of bore reamer": {"cuts.life_min", "mounts.expected_life_min"},
    "life scatter of fine blade": {"kinds.life_cv"},
    "wear curve of deck mill": {"cuts.aim_um", "cuts.wear_gamma", "kinds.wear_gamma"},
    "roughness growth of block stones": {"cuts.roughness_growth"},
    "force growth of rough mill": {"cuts.wear_force_n", "cuts.wear_slope_n_um"},
    "breaking of block drills": {"kinds.break_scale"},
    "stiffness of block / Op 60": {
        "cuts.stiffness_n_um",
        "cuts.follow_share",
        "cuts.follow_um_n",
        "placings.led_form_um",
    },
    "chip chance of block / Op 80": {"operations.chip_chance"},
    "casting spread of block / top face": {"features.spread_um"},
    "stress release of EN-GJL-250": {"cuts.stress_um"},
    "change minutes of bottom mill": {"times.p1"},
    "price of rough mill": set(),
    "worth of block": set(),
    "casting price of block": set(),
    "loss of block / cylinder bores": set(),
}
"""What each input moves in the plan, and nothing else; prices and losses are in the ledger alone."""


@pytest.mark.parametrize("name", CHANGES)
def test_an_input_moves_what_it_says_and_nothing_else(block: Works, name: str) -> None:
    works = as_minutes(block, "by its place in the line")
    one = next(each for each in inputs_of(works) if each.name == name)
    before = numbers(works, "by its place in the line")
    after = numbers(with_factors(works, [(one, 1.3)]), "by its place in the line")
    moved = {column for column in before if not np.array_equal(before[column], after[column])}
    assert moved == CHANGES[name]
    for column in moved:
        ratios = after[column][before[column] != after[column]] / before[column][before[column] != after[column]]
        # A bar stands in series with the machine and its blades push each other; a centred aim follows the wear.
        if "stiffness" not in name and column != "cuts.aim_um":
            assert ratios == pytest.approx(np.full(len(ratios), 1.3))


HAPPENED = {
    "run-out of deck mill": {"cuts.sharp_roughness_um", "kinds.mounted_sigma"},
    "heats of block": {"lines.heat_life_cv", "lines.heat_force_cv"},
    "sand of block": {"cuts.hit_chance"},
    "setting error of fine blade": {"kinds.setting_error_um"},
    "warming of block / Op 30": {"holdings.rise_um"},
    "clamping of block / Op 30": {"placings.own_form_um", "placings.clamped_form_um"},
    "fixtures of block / Op 40": {"holdings.position_um"},
    "fault chance of block / Op 60": {"operations.fault_chance"},
    "rejects at tests of block / Op 100": {"tests.strength", "tests.strength_sd"},
    "field failures of block": set(),
}
"""What befalls the line: the columns of the plan that each such input moves."""


@pytest.mark.parametrize("name", HAPPENED)
def test_what_befalls_a_line_moves_its_own_columns(eventful: Works, name: str) -> None:
    one = next(each for each in inputs_of(eventful) if each.name == name)
    before, after = (numbers(each, "full life") for each in (eventful, with_factors(eventful, [(one, 1.3)])))
    assert {column for column in before if not np.array_equal(before[column], after[column])} == HAPPENED[name]


def test_clamps_failures_and_castings_are_multiplied_as_they_stand(eventful: Works) -> None:
    by_name = {one.name: one for one in inputs_of(eventful)}
    wanted = ("clamping of block / Op 30", "field failures of block", "casting spread of block / top face")
    line = with_factors(eventful, [(by_name[name], 1.5) for name in wanted]).lines["block"]
    clamping = line.operations["Op 30"].clamping
    assert clamping is not None
    assert (clamping.bends, line.later.field["gasket"].cost) == (18.0, 600.0)
    assert line.features["top face"].as_cast.spread == 525.0


def test_a_test_multiplied_keeps_its_anchors_in_order(eventful: Works) -> None:
    one = next(each for each in inputs_of(eventful) if each.kind == "rejects at tests")
    test = with_factors(eventful, [(one, 40.0)]).lines["block"].operations["Op 100"].test
    assert test is not None
    assert 0.0 < test.at_limit < test.at_twice < 1.0


def test_prices_move_the_ledger(short: Works) -> None:
    for name, field in (
        ("price of rough mill", "cutters"),
        ("worth of flange", "lines"),
        ("loss of flange / face", "lines"),
    ):
        one = next(each for each in inputs_of(short) if each.name == name)
        assert getattr(with_factors(short, [(one, 1.1)]), field) != getattr(short, field)


def test_two_shifts_of_one_grade_hold_together(block: Works) -> None:
    by_name = {one.name: one for one in inputs_of(block)}
    factors = {"life of deck mill": 2.0, "wear curve of deck mill": 1.2, "life of bottom mill": 0.5}
    works = with_factors(block, [(by_name[name], factor) for name, factor in factors.items()])
    before, after = make_plan(block, "full life").cuts, make_plan(works, "full life").cuts
    deck = list(make_plan(block, "full life").names.cuts).index("top finish")
    bottom = list(make_plan(block, "full life").names.cuts).index("bottom finish")
    assert after.life_min[deck] == pytest.approx(2.0 * before.life_min[deck])
    assert after.wear_gamma[deck] == pytest.approx(1.2 * before.wear_gamma[deck])
    assert after.life_min[bottom] == pytest.approx(0.5 * before.life_min[bottom])
    assert after.wear_gamma[bottom] == before.wear_gamma[bottom]


def test_the_shop_keeps_to_its_minutes_whatever_the_life_is(block: Works) -> None:
    policy = "by its place in the line"
    works = as_minutes(block, policy)
    plan, written = make_plan(block, policy), make_plan(works, policy)
    assert (plan.rules.interval[plan.mounts.rule] == written.rules.interval[written.mounts.rule]).all()
    one = next(each for each in inputs_of(works) if each.name == "life of finish blade")
    shifted = make_plan(with_factors(works, [(one, 0.5)]), policy)
    assert (shifted.rules.interval[shifted.mounts.rule] == written.rules.interval[written.mounts.rule]).all()


@pytest.mark.parametrize(
    "time",
    [
        {"exponential": {"mean": 4}}, {"lognormal": {"mean": 4, "cv": 0.3}}, {"weibull": {"shape": 2, "scale": 4}},
        {"uniform": {"low": 2, "high": 6}}, {"triangular": {"low": 1, "mode": 4, "high": 7}}, {"listed": [3, 4, 5]},
        {"in_order": [3, 4, 5]},
        {"erlang": {"mean": 4, "phases": 3}}, {"gamma": {"mean": 4, "cv": 0.5}}, {"fixed": 4},
    ],
)  # fmt: skip
def test_times_are_scaled_whatever_their_law(time: Any) -> None:
    spread = Spread.model_validate(time)
    assert mean_minutes(scaled(spread, 1.5)) == pytest.approx(1.5 * mean_minutes(spread))


# --- the study ---


@pytest.mark.longer
def test_a_dominant_input_comes_first_both_ways(short: Works) -> None:
    """A loss of 400 at the limit in place of 5: what a poor face costs outweighs all else but what is in the books."""
    face = {"features": {"face": {"size": {"loss_at_limit": 400}}}}
    works = changed(short, {"lines": {"flange": {**face, "worth": 0, "casting": {"price": 0.01}}}})
    found = drivers(works, "every 60 parts", measured="quality_loss_per_good_part", trajectories=3, replications=2)
    assert found.one_at_a_time["input"].iloc[0] == "loss of flange / face"
    assert found.screening["input"].iloc[0] == "loss of flange / face"
    assert found.screening["mu_star"].is_monotonic_decreasing
    assert "ask what a complaint costs" in " ".join(found.sentences)


def test_the_sentence_names_what_is_told_to_swing_widest_of_what_can_be_measured(short: Works) -> None:
    found = drivers(short, "every 60 parts", replications=4)
    assert {found.place_of(name) for name in found.one_at_a_time["input"]} == {"floor", "books", "customer"}
    swings = {
        row["words"]: max(abs(row[end]) * row[f"{end}_is_told"] for end in ("at_low", "at_high"))
        for row in found.one_at_a_time.to_dict(orient="records")
        if found.place_of(row["input"]) == "floor"
    }
    widest = max(swings, key=lambda words: swings[words])
    assert swings[widest] > 0.0
    assert found.sentences[0].startswith(f"Measure {widest} first: at ")


def test_answers_come_along_the_way(short: Works) -> None:
    steps = list(
        asked(
            DriverStudy,
            {"works": short, "policy": "every 60 parts", "trajectories": 2, "replications": 2, "are_together": True},
        ).steps()
    )
    assert steps[-1].is_final
    assert steps[-1].done == steps[-1].total
    told = [len(step.answer.alone) for step in steps if step.answer is not None]
    assert told == sorted(told)
    assert steps[-1].answer is not None
    assert len(steps[-1].answer.screened) == len(steps[-1].answer.inputs)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"replications": 1}, "1 replications were asked for"),
        ({"trajectories": 1}, "1 trajectories were asked for"),
        ({"measured": "speed"}, '"speed" is no measure'),
        ({"confidence": 1.0}, "a confidence of 1 cannot be"),
    ],
)
def test_studies_that_cannot_be_are_refused(short: Works, wrong: dict[str, Any], told: str) -> None:
    with pytest.raises(StudyError, match=told):
        list(asked(DriverStudy, {"works": short, "policy": "every 60 parts", **wrong}).steps())


def test_every_shift_of_the_tests_own_works_can_be_run() -> None:
    works = as_minutes(a_works(), next(iter(a_works().policies)))
    for one in inputs_of(works):
        make_plan(with_factors(works, [(one, one.high)]), next(iter(works.policies)))


def test_the_data_file_reads_as_it_is_documented() -> None:
    text = files("linesim.study.search.sensitivity").joinpath("data", "inputs.yaml").read_text(encoding="utf-8")
    for entry in yaml.safe_load(text)["inputs"].values():
        assert set(entry) == {"of", "found_at", "low", "high"}
