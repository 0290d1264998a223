"""The demonstration scenarios: they hold together, they run, and what they show follows from the physics.

Seed, replications, run length and intervals below were fixed before these runs were looked at; the scenarios carry
seeds of their own. That the cost of a part falls and then rises with the interval between changes is Taylor's finding
("On the Art of Cutting Metals", Trans. ASME 28, 1907; W. W. Gilbert, "Economics of Machining", ASM 1950, from memory).
That the interval which pays is longer at a bottleneck, where each change costs the output of the whole line, is common
practice.

They run on the compiled engine, which leaves the floor's figures to the last bit (`tests/agree`, all their policies).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from linesim.fast.run import run_fast
from linesim.ledger import ITEMS
from linesim.plan.build import make_plan
from linesim.plan.figures import cut_figures
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.result import Result
from linesim.works import Works, changed, load_works
from linesim.works.operations import Cut, Operation

FOLDER = Path(__file__).parents[2] / "scenarios"
NAMES = ("smallest", "crankcase-line", "block-line", "head-line", "works", "mixed-line", "centres")
LINES = ("crankcase", "block", "head")
SEED, REPLICATIONS, LENGTH_MIN, WARM_UP_MIN = 2718, 2, 4 * 2400.0, 960.0


@cache
def scenario(name: str) -> Works:
    return load_works(FOLDER / f"{name}.yaml")


def ran(works: Works, policy: str, replication: int = 0, length_min: float = LENGTH_MIN) -> Result:
    short = changed(works, {"run": {"length": length_min, "warm_up": WARM_UP_MIN}})
    plan = make_plan(short, policy)
    return Result(short, plan, run_fast(plan, SEED, replication), SEED, replication, "fast")


@cache
def full_life(name: str) -> Result:
    return ran(scenario(name), "full life")


@cache
def today(name: str) -> Result:
    return ran(scenario(name), scenario(name).todays_policy)


@cache
def todays_runs(name: str) -> tuple[Result, ...]:
    """As `linesim compare` runs them: the scenario's own length, seed and eight replications."""
    works = scenario(name)
    plan = make_plan(works, works.todays_policy)
    seed = works.run.seed
    return tuple(Result(works, plan, run_fast(plan, seed, each), seed, each, "fast") for each in range(8))


def busy_shares(result: Result) -> NDArray[np.float64]:
    """Share of its time in which each machine is neither waiting for a part nor held up."""
    idle = result.tally.state_min[:, [State.WAITING_FOR_PART, State.HELD_UP]].sum(axis=1)
    return np.asarray(1.0 - idle / result.tally.counted_min)


def cost_per_good_part(works: Works, policy: dict[str, Any]) -> float:
    """Mean over the replications; of one line."""
    tried = changed(works, {"policies": {"tried": policy}})
    costs = [ran(tried, "tried", replication).lines["cost_per_good_part"][0] for replication in range(REPLICATIONS)]
    return float(np.mean(costs))


def cuts_in_order(operations: dict[str, Operation]) -> list[tuple[str, Cut]]:
    strokes = [(name, stroke) for name, operation in operations.items() for stroke in operation.strokes.values()]
    return [(name, cut) for name, stroke in strokes for cut in stroke.cuts.values()]


# --- all of them ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_every_policy_runs_and_ships_parts_of_every_line(name: str) -> None:
    works = scenario(name)
    assert len(works.policies) >= 5
    for policy in works.policies:
        result = ran(works, policy, length_min=2400.0)
        assert not result.tally.is_stuck
        assert (result.lines["shipped"] > 50).all()
        assert result.tally.state_min.sum(axis=1) == pytest.approx(2400.0)


@pytest.mark.parametrize("name", NAMES)
def test_every_cut_takes_a_believable_time_and_leaves_the_machine_power_to_spare(name: str) -> None:
    works = scenario(name)
    for (line, operation, _, _), figures in cut_figures(works).items():
        rating_kw = works.lines[line].operations[operation].power
        assert 0.2 < figures.cut_min < 15.0
        assert rating_kw is None or figures.power_kw < 0.9 * rating_kw


def test_every_item_of_the_ledger_is_met_with() -> None:
    """All but the concession for parts out of the drawing, maintenance and transport: these lines name none of them."""
    policies = ("full life", "run until it breaks")
    met = {
        item
        for name in ("crankcase-line", "block-line", "head-line")
        for policy in policies
        for item in ran(scenario(name), policy).ledger["item"]
    }
    assert met == set(ITEMS) - {"out of drawing", "maintenance", "transport and pallets"}


@pytest.mark.parametrize("name", ["crankcase-line", "block-line", "head-line"])
def test_a_line_looks_like_a_decent_small_works(name: str) -> None:
    result = today(name)
    line = result.lines.iloc[0]
    assert 0.003 < line["scrap_share"] < 0.04
    assert 0.0 < line["quality_loss_per_good_part"] < 0.25 * line["cost_per_good_part"]
    assert line["cost_per_good_part"] < scenario(name).lines[line["line"]].worth
    breaks = [operation.breakdowns is not None for operation in scenario(name).lines[line["line"]].operations.values()]
    repairs = [each.tally.state_min[breaks, State.UNDER_REPAIR] / each.tally.counted_min for each in todays_runs(name)]
    assert 0.03 < np.mean(repairs) < 0.08


@pytest.mark.parametrize("name", ["crankcase-line", "block-line", "head-line"])
def test_the_stations_of_a_line_are_balanced(name: str) -> None:
    """Each is neither starved nor held up for 85 to 95 % of its time, as of a balanced line (common practice)."""
    busy = np.mean([busy_shares(result) for result in todays_runs(name)], axis=0)
    assert busy.size >= 9
    assert (np.round(busy, 2) >= 0.85).all()
    assert (np.round(busy, 2) <= 0.95).all()


def test_lines_that_share_their_people_stay_balanced_within_a_per_cent() -> None:
    """Who waits for a setter on another line holds up his own: 84 to 95 %; with one fitter for all of them below 80."""
    works = scenario("works")
    busy = np.mean([busy_shares(result) for result in todays_runs("works")], axis=0)
    assert busy.size == sum(len(line.operations) for line in works.lines.values())
    assert (np.round(busy, 2) >= 0.84).all()
    assert (np.round(busy, 2) <= 0.95).all()
    alone = make_plan(changed(works, {"people": {"fitters": {"count": 1}}}), works.todays_policy)
    fewer = Result(works, alone, run_fast(alone, works.run.seed, 0), works.run.seed, 0, "fast")
    assert busy_shares(fewer).mean() < 0.8


def test_a_line_of_two_types_is_balanced_over_the_types_that_a_station_works_on() -> None:
    """85 to 95 %; two blocks in three have a thermostat, so that its station works for two thirds of the time at most.

    A basket that fills works on nothing, so that the washer is held to what it washes and handles (common practice).
    """
    results = todays_runs("mixed-line")
    names = results[0].plan.names.operations
    busy = dict(zip(names, np.mean([busy_shares(result) for result in results], axis=0), strict=True))
    filling = [result.tally.state_min[:, State.FILLING] / result.tally.counted_min for result in results]
    busy["wash"] -= np.mean(filling, axis=0)[names.index("wash")]
    batches = [kind.batch for kind in scenario("mixed-line").lines["block"].parts.values()]
    busy["Op 40"] *= sum(batches) / batches[0]
    assert all(0.85 <= round(share, 2) <= 0.95 for share in busy.values()), busy
    repairs = [result.tally.state_min[:3, State.UNDER_REPAIR] / result.tally.counted_min for result in results]
    assert 0.03 < np.mean(repairs) < 0.08


def test_centres_are_loaded_as_far_as_there_is_somebody_to_serve_them() -> None:
    """Nights without a setter and breaks of the one operator cannot be worked, so calendar time is no measure here.

    The centres are held to the time in which an operator is there, without his break of half an hour in eight; washer
    and press to the two shifts in which inspectors release what the night has made. 85 to 95 % (common practice).
    """
    works, results = scenario("centres"), todays_runs("centres")
    share = np.mean([result.tally.state_min / result.tally.counted_min for result in results], axis=0)
    away = [State.WAITING_FOR_PART, State.HELD_UP, State.WAITING_FOR_SETTER, State.WAITING_FOR_OPERATOR, State.FILLING]
    works_at = 1.0 - share[:, away].sum(axis=1)
    [rest] = works.people["operators"].breaks
    attended = 1.0 - rest.minutes / works.calendar.shift
    by_day = sum(works.people["inspectors"].by_shift) / works.calendar.shifts_per_day
    loads = works_at / np.array([attended] * 4 + [by_day] * 2)
    assert (np.round(loads, 2) >= 0.85).all(), loads
    assert (np.round(loads, 2) <= 0.95).all(), loads
    assert 0.03 < share[:4, State.UNDER_REPAIR].mean() < 0.08
    assert share[:4, State.WAITING_FOR_SETTER].mean() < 0.1


@pytest.mark.parametrize("name", ["crankcase-line", "block-line", "head-line", "mixed-line", "centres"])
def test_a_line_holds_what_its_drawing_asks_as_such_works_do(name: str) -> None:
    """Cpk of 1 to 2, neither hopeless nor beyond belief (common practice); 0.95 to 2.2 for eight runs.

    What chips tilt is all but nothing on most parts and far out on a few: its Cpk says little, and the share does. Form
    has no scatter from part to part in the model but that of the stress let go, so that its mean is held to its limit.
    """
    asked = [result.characteristics.set_index(["feature", "characteristic"]) for result in todays_runs(name)]
    cpk = sum(each["cpk"] for each in asked) / len(asked)
    for characteristic in ("size", "roughness", "position"):
        if characteristic in cpk.index.get_level_values(1):
            assert cpk.xs(characteristic, level=1).between(0.95, 2.2).all(), characteristic
    out = sum(each["share_above"] + each["share_below"] for each in asked) / len(asked)
    assert out.max() < 0.015
    if "form" in cpk.index.get_level_values(1):
        form = asked[0].xs("form", level=1)
        assert (form["mean"] / form["upper"]).between(0.15, 0.7).all()


# --- one by one ----------------------------------------------------------------------------------------------------


def test_the_smallest_is_read_in_a_minute() -> None:
    works = scenario("smallest")
    assert len((FOLDER / "smallest.yaml").read_text(encoding="utf-8").splitlines()) < 60
    [line] = works.lines.values()
    assert (len(line.operations), len(works.cutters), len(line.features), len(works.policies)) == (3, 2, 1, 5)


def test_the_bores_are_bored_in_four_cuts_by_two_strokes_of_two_blades_then_reamed_and_honed() -> None:
    line = scenario("block-line").lines["block"]
    assert line.features["cylinder bores"].places == 3
    strokes = [list(stroke.cuts.values()) for stroke in line.operations["Op 60"].strokes.values()]
    assert [[cut.feature for cut in cuts] for cuts in strokes] == [["cylinder bores"] * 2] * 2
    blades = [cut.cutter for cuts in strokes for cut in cuts]
    assert len(set(blades)) == 4
    depths = [cut.depth for cuts in strokes for cut in cuts]
    assert depths == sorted(depths, reverse=True)
    processes = [cut.process for _, cut in cuts_in_order(line.operations) if cut.feature == "cylinder bores"]
    assert processes == ["boring"] * 4 + ["reaming", "honing"]
    assert len(line.operations) == 12
    assert line.operations["Op 120"].about == "Washed"


def shipped(plan: Plan, works: Works) -> int:
    """Parts shipped in 48 replications of one plan."""
    return sum(int(run_fast(plan, works.run.seed, each).shipped.sum()) for each in range(48))


def test_the_boring_mill_is_what_the_block_line_waits_for() -> None:
    """It is the busiest by a few per cent: time saved there brings blocks, and saved behind it brings next to none."""
    works, names = scenario("block-line"), todays_runs("block-line")[0].plan.names.operations
    busy = np.mean([busy_shares(result) for result in todays_runs("block-line")], axis=0)
    assert names[int(np.argmax(busy))] == "Op 60"
    quicker = {"Op 60": "0.1 min", "Op 70": "0.5 min", "Op 80": "2.5 min"}  # to load, each 0.7 min less
    more, before = {}, shipped(todays_runs("block-line")[0].plan, works)
    for name, load in quicker.items():
        tried = changed(works, {"lines": {"block": {"operations": {name: {"load": load}}}}})
        plan = make_plan(tried, works.todays_policy)
        more[name] = shipped(plan, works) - before
    assert more["Op 60"] > 0
    assert more["Op 60"] > 2 * max(more["Op 70"], more["Op 80"])


def test_the_foreman_aims_the_finish_blade_so_that_the_bores_come_out_right_for_honing() -> None:
    """The plug gauge behind the reamer turns down few; without the aim bores stand small, and it turns down many."""
    works = scenario("block-line")
    unset = changed(works, {"policies": {"by parts": {"aims": {"finish blade": 0.0}}}})
    bad = []
    for each in (works, unset):
        plan = make_plan(each, "by parts")
        gauges = Result(each, plan, run_fast(plan, SEED, 0), SEED, 0, "fast").gauges.set_index("gauge")
        bad.append(float(gauges.loc["plug gauge", "bad_turned_down"] / gauges.loc["plug gauge", "readings"]))
    assert bad[0] < 0.03
    assert bad[1] > 2.0 * bad[0]


def test_the_faces_of_the_crankcase_are_milled_in_three_cuts_each_shallower_than_the_last() -> None:
    operations = scenario("crankcase-line").lines["crankcase"].operations
    for face in ("lower face", "upper face"):
        depths = [cut.depth for _, cut in cuts_in_order(operations) if cut.feature == face]
        assert len(depths) == 3
        assert depths == sorted(depths, reverse=True)


def test_line_boring_after_the_studs_and_caps_takes_out_what_they_disturb() -> None:
    works = scenario("crankcase-line")
    operations = works.lines["crankcase"].operations
    order = list(operations)
    disturbing = [name for name, operation in operations.items() if "main bearings" in operation.disturbs]
    assert len(disturbing) == 2
    assert max(map(order.index, disturbing)) < order.index("Op 90")
    bars = [cut.bar for name, cut in cuts_in_order(operations) if name == "Op 90"]
    assert [bar.held for bar in bars if bar is not None] == ["both ends"] * 2
    too_early = changed(works, {"lines": {"crankcase": {"operations": {"Op 90": {"after": "Op 65"}}}}})
    late_sd, early_sd = (
        result.characteristics.query("feature == 'main bearings' and characteristic == 'size'")["sd"].item()
        for result in (full_life("crankcase-line"), ran(too_early, "full life"))
    )
    # Left as they are, 15 and 20 µm per side make 2 sqrt(15² + 20²) = 50 µm on the diameter.
    assert early_sd == pytest.approx(0.050, rel=0.1)
    assert late_sd < 0.005


def test_the_depth_gauge_holds_the_chambers() -> None:
    works = scenario("head-line")
    gauge = works.lines["head"].operations["Op 30"].gauges["depth gauge"]
    assert gauge.corrects is not None
    left_alone = {"lines": {"head": {"operations": {"Op 30": {"gauges": {"depth gauge": {"corrects": None}}}}}}}
    off_mm = [
        abs(13.0 - result.characteristics.query("feature == 'chambers' and characteristic == 'size'")["mean"].item())
        for result in (full_life("head-line"), ran(changed(works, left_alone), "full life"))
    ]
    assert off_mm[0] < 0.005
    assert off_mm[1] > 3.0 * off_mm[0]


def test_the_late_light_cut_takes_scratches_out_of_the_joint_face() -> None:
    works = scenario("head-line")
    late = full_life("head-line")
    early = ran(changed(works, {"lines": {"head": {"operations": {"Op 80": {"after": "Op 20"}}}}}), "full life")
    shares = [
        result.characteristics.query("feature == 'joint face' and characteristic == 'scratch'")["share_above"].item()
        for result in (late, early)
    ]
    assert shares[1] > shares[0] + 0.005


def test_the_valve_seats_are_ground_by_a_dressed_wheel_and_read_as_run_out() -> None:
    works = scenario("head-line")
    line = works.lines["head"]
    seats = line.features["valve seats"]
    assert seats.kind == "run-out"
    assert seats.size is not None
    assert seats.size.limits == (0.0, 0.05)
    [(operation, cut)] = [pair for pair in cuts_in_order(line.operations) if pair[1].feature == "valve seats"]
    assert cut.process == "grinding"
    assert works.cutters[cut.cutter].renewal.dressed is not None
    assert [gauge.feature for gauge in line.operations[operation].gauges.values()] == ["valve seats"]


def test_the_works_is_the_three_lines_with_people_and_crib_in_common() -> None:
    works = scenario("works")
    assert tuple(works.lines) == LINES
    for name in LINES:
        alone = scenario(f"{name}-line")
        assert works.lines[name] == alone.lines[name]
        assert set(alone.policies) <= set(works.policies)
        for policy in alone.policies:
            assert works.policies[policy].default == alone.policies[policy].default
    pools = {operation.setters for line in works.lines.values() for operation in line.operations.values()}
    assert pools == {"setters", None}


# --- what they show ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name",
    [
        "smallest",
        *(pytest.param(name, marks=pytest.mark.longer) for name in ("crankcase-line", "block-line", "head-line")),
    ],
)
def test_cost_falls_and_then_rises_with_the_interval_of_all_sets(name: str) -> None:
    works = scenario(name)
    costs = {life: cost_per_good_part(works, {"default": {"life": life}}) for life in (0.15, 0.4, 0.8, 1.3, 2.0)}
    best = min(costs, key=lambda life: costs[life])
    assert best in (0.4, 0.8, 1.3)
    assert costs[0.15] > 1.05 * costs[best]
    assert costs[2.0] > 1.05 * costs[best]


def test_long_batches_give_output_and_short_ones_lose_it_in_changeovers() -> None:
    """At the desk 63 min of changeovers in each cycle: with 24, 60 and 180 blocks in it."""
    works = scenario("mixed-line")
    results = {name: ran(works, name) for name in ("short batches", "by parts", "long batches")}
    good = [float(result.lines["good_per_hour"].iloc[0]) for result in results.values()]
    assert good[0] < good[1] < good[2]
    for name, result in results.items():
        kinds = result.types.set_index("part_type")["castings"]
        assert kinds["three-cylinder"] / kinds["two-cylinder"] == pytest.approx(2.0, rel=0.25), name


def test_centres_get_through_the_night_if_used_cutters_are_renewed_by_day() -> None:
    """The third shift has no setter: as much is made in it as the magazines hold, and half of it if they go down."""
    works = scenario("centres")
    waits = changed(works, {"lines": {"gear case": {"operations": {"Op 10": {"magazine": {"used_up": None}}}}}})
    tallies = [run_fast(make_plan(each, "by count"), SEED, 0) for each in (works, waits)]
    shipped = [int(tally.shipped.sum()) for tally in tallies]
    lost = [tally.state_min[:4, State.WAITING_FOR_SETTER].sum() / (4.0 * tally.counted_min) for tally in tallies]
    assert shipped[0] > 1.15 * shipped[1]
    assert lost[0] < 0.5 * lost[1]
    assert lost[1] < 1.0 / 3.0 + 0.05


@pytest.mark.longer
def test_the_best_interval_is_longer_at_the_boring_mill_than_where_there_is_time_to_spare() -> None:
    works = scenario("block-line")
    blades = ("rough blade", "semi-finish blade", "fine blade", "finish blade")
    best = {}
    for sets in (blades, ("deck mill",)):
        costs = {
            life: cost_per_good_part(
                works, {"default": {"life": 0.7}, "exceptions": {name: {"life": life} for name in sets}}
            )
            for life in (0.35, 1.1, 2.0)
        }
        best[sets] = min(costs, key=lambda life: costs[life])
    assert best == {blades: 1.1, ("deck mill",): 0.35}
