"""Stock by hand, the passes on paper, and both against the line."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from linesim.chance import Purpose, normals
from linesim.cutting.form import bar_stiffness_n_um, series_stiffness_n_um
from linesim.cutting.step import PlaceState, cut_place
from linesim.errors import StudyError
from linesim.routing import check_stock_plan, stock_plan
from linesim.routing.least_stock import StockRules, least_stock_um
from linesim.routing.passes import CutPass, after_pass, passes_of, state_as_cast
from linesim.works import changed, load_works
from tests.builders import by_its_cuts

POLICY, BY_PARTS = "by its place in the line", "by parts"


def test_the_rule_of_the_least_stock_by_hand() -> None:
    # Rz 40, T 50, ρ 30, ε 40 µm: a face asks for 160, a bore for 40 + 50 + 50 = 140 per side, 280 on the diameter.
    assert least_stock_um(40.0, 50.0, 30.0, 40.0, is_bore=False) == pytest.approx(160.0)
    assert 2.0 * least_stock_um(40.0, 50.0, 30.0, 40.0, is_bore=True) == pytest.approx(280.0)


def test_a_scratch_deeper_than_the_roughness_takes_its_place() -> None:
    assert least_stock_um(4.0, 0.0, 10.0, 0.0, is_bore=False, reaches_um=18.0) == pytest.approx(28.0)
    assert least_stock_um(40.0, 0.0, 10.0, 0.0, is_bore=False, reaches_um=18.0) == pytest.approx(50.0)


def of_the_size_alone(line: str, feature: str) -> dict[str, Any]:
    """A finish that any cut leaves."""
    rough = {"limits": None, "aim": None, "limit": "50 um"}
    return {"lines": {line: {"features": {feature: {"roughness": rough}}}}}


def test_the_plans_terms_are_those_of_the_rule() -> None:
    works = load_works("scenarios/block-line.yaml")
    first = stock_plan(works, "top face", policy=POLICY).as_it_stands.iloc[0]
    # As cast: Ra 25 and 5 Ra = 125, skin 300, three times 350 µm, three times 1 µm with the clamps' bend of 12 µm.
    assert first["least_mm"] == pytest.approx((125.0 + 300.0 + 1050.0 + math.hypot(3.0, 12.0)) / 1000.0)


def test_a_cut_that_leaves_too_little_is_warned_of() -> None:
    thin = {"Op 80": {"strokes": {"finish": {"cuts": {"top finish": {"depth": "0.01 mm"}}}}}}
    works = changed(load_works("scenarios/block-line.yaml"), {"lines": {"block": {"operations": thin}}})
    told = stock_plan(works, "top face", policy=POLICY).warnings
    assert len(told) == 1
    assert told[0].startswith("Op 80, top finish: takes 0.010 mm per side, and the rule asks for 0.0")


def test_a_bar_gives_by_its_length_to_the_third() -> None:
    """F L³ / 3 E I: Isakov, *Cutting Tool Engineering*, July 2019 prints 0.0757 mm (read); the routing takes it."""
    assert 911.1 / bar_stiffness_n_um(25.4, 101.6, 206_000.0) == pytest.approx(75.7, abs=0.05)
    works = load_works("scenarios/block-line.yaml")
    rough = next(each for each in passes_of(works, "block", "cylinder bores") if isinstance(each, CutPass))
    bar = bar_stiffness_n_um(66.0, 230.0, 206_000.0)
    head = works.lines["block"].operations["Op 60"].stiffness
    assert head is not None
    assert rough.figures.stiffness_n_um == pytest.approx(series_stiffness_n_um(head, bar))


def test_the_pass_on_paper_has_mean_and_spread_of_the_law_of_the_cut() -> None:
    """40 000 parts through one cut; bands of 4.5 standard errors, false alarms below 1 in 100 000 each."""
    works = by_its_cuts("block")
    cut = next(each for each in passes_of(works, "block", "top face", "full life") if isinstance(each, CutPass))
    state = state_as_cast(works, "block", "top face")
    end, of, count = after_pass(state, cut), cut.figures, 40_000
    sigma = math.sqrt(math.log1p(of.life_cv**2))
    values = np.empty(count)
    for part in range(count):
        cast, life, repeat, stress = normals(11, 0, int(Purpose.CASTING), 0, part, 0)
        share = (part + 0.5) / count * cut.change_share / math.exp(sigma * life - sigma * sigma / 2.0)
        before = PlaceState(state.sd_um * cast, 25.0, 0.0, True)
        values[part] = cut_place(before, cut.conditions, share, 1.0, 0.0, 0.0, repeat, stress, 0.0, False, 1.0)[0]
    assert end.mean_um == pytest.approx(values.mean(), abs=4.5 * end.sd_um / math.sqrt(count) + 0.01 * end.mean_um)
    assert end.sd_um == pytest.approx(values.std(), rel=4.5 / math.sqrt(2.0 * count) + 0.02)


@pytest.mark.parametrize(("line", "feature"), [("block", "top face"), ("crankcase", "upper face")])
def test_the_plan_holds_in_the_line(line: str, feature: str) -> None:
    """Paper leaves out recuts; within a quarter of the spread, and nothing is left with its skin on.

    Sets are changed by parts, as paper has it: a rule by the share of life would change them later at a lighter cut.
    """
    works = changed(by_its_cuts(line), of_the_size_alone(line, feature))
    plan = stock_plan(works, feature, policy=BY_PARTS, wanted_cpk=4.0 / 3.0)
    assert len(plan.plan) == 2
    runs = check_stock_plan(plan, BY_PARTS, 3, 2)
    assert runs["sd_um"].mean() == pytest.approx(plan.plan["sd_um"].iloc[-1], rel=0.25)
    assert (runs["cpk"] >= 4.0 / 3.0).all()
    assert (runs["share_not_cleaned_up"] == 0.0).all()


def test_more_capability_never_asks_for_fewer_cuts() -> None:
    """Of the size alone; where no choice will do, the routing has too few cuts."""
    works = changed(load_works("scenarios/crankcase-line.yaml"), of_the_size_alone("crankcase", "upper face"))
    plans = [stock_plan(works, "upper face", policy=POLICY, wanted_cpk=wanted) for wanted in (0.5, 1.0, 2.0, 9.0)]
    counts = [len(each.plan) or len(each.as_it_stands) + 1 for each in plans]
    assert counts == sorted(counts)
    assert 1 <= counts[0] < counts[-1]


def test_no_choice_is_said_to_be_enough_where_none_is() -> None:
    plan = stock_plan(load_works("scenarios/crankcase-line.yaml"), "upper face", policy=POLICY, wanted_cpk=9.0)
    assert plan.plan.empty
    assert plan.sentences[0].startswith("No choice of the routing's cuts brings upper face to a Cpk of 9 on paper")
    assert (plan.choices["lacks"] != "").all()
    assert check_stock_plan(plan, POLICY, 1, 1).empty


def test_a_feature_that_nothing_cuts_has_no_plan() -> None:
    works = changed(load_works("scenarios/smallest.yaml"), {"lines": {"flange": {"features": {"rim": {}}}}})
    with pytest.raises(StudyError, match='nothing cuts "rim"'):
        stock_plan(works, "rim")


def test_a_rough_turned_blank_has_no_skin() -> None:
    works = load_works("scenarios/head-line.yaml")
    row = stock_plan(works, "valve seats", rules=StockRules(skin_um=300.0)).as_it_stands.iloc[0]
    assert row["damaged_um"] == 0.0
