"""Offsets that a machine sets in whole steps only: floors worked out by hand, and the compiled engine part by part.

The blade of these floors draws back 0.3 µm for each part, a minute each.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.cutting.setting import in_steps
from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.routing.passes import CutPass, passes_of
from linesim.study.search.intervals.drift import PartCost, part_costs
from linesim.works import Works
from linesim.works.features import Feature
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop


def shop(setting: dict[str, Any], length: float, policy: dict[str, Any] | None = None, **entries: Any) -> Works:
    """Faces cut by one blade that is never changed unless told; the drawing allows 1 mm."""
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, **entries}
    features = {"face": {"size": {"limits": [99.0, 101.0]}}}
    policies = {"as stated": {"default": "run out", **(policy or {})}}
    blade = a_blade(setting=setting)
    return a_shop({"Op 10": operation}, line={"features": features}, cutters={"blade": blade}, length=length,
                  policies=policies)  # fmt: skip


def seen_of(works: Works) -> Seen:
    """What the floor did, which the compiled engine does as well, part by part."""
    assert_twins_agree(make_plan(works, "as stated"), 1)
    return run_shop(works)


def gauged(step: float, length: float, **corrects: Any) -> Seen:
    gauge = {"feature": "face", "corrects": {"cut": "cut", **corrects}}
    return seen_of(shop({"step": step}, length, gauges={"gauge": gauge}))


@pytest.mark.parametrize(
    ("by", "step", "put"),
    [
        (2.9, 2.0, 2.0),
        (3.0, 2.0, 4.0),
        (-3.0, 2.0, -4.0),
        (-0.9, 2.0, 0.0),
        (1.0, 2.0, 2.0),
        (7.3, 0.0, 7.3),
        (-12.4, 5.0, -10.0),
        (0.0, 2.0, 0.0),
    ],
)
def test_a_screw_is_turned_by_whole_steps_half_a_step_to_the_next(by: float, step: float, put: float) -> None:
    assert in_steps(by, step) == put


def test_what_a_first_piece_reads_is_put_on_in_whole_steps_and_what_rounds_to_none_asks_for_no_further_piece() -> None:
    """Set 4 µm too deep, it is taken back by one step of 3; the next piece reads -0.7, more than is accepted, no step.

    So two pieces are gauged though five would be allowed, and one of them moves the offset.
    """
    first = {"accept": 0.1, "tries": 5}
    seen = seen_of(shop({"bias": 4, "step": 3}, 6.5, first_piece=first))
    assert seen.errors("Op 10") == pytest.approx([-4.0, -0.7, -0.4, -0.1, 0.2, 0.5])
    assert (seen.tally.first_gauged.tolist(), seen.tally.first_corrected.tolist()) == ([2], [1])


def test_without_a_step_any_amount_is_put_on() -> None:
    seen = seen_of(shop({"bias": 4}, 6.5, first_piece={"accept": 0.1, "tries": 2}))
    assert seen.errors("Op 10")[:4] == pytest.approx([-4.0, 0.3, 0.3, 0.6])


def test_a_machine_that_runs_on_sets_whole_steps_too() -> None:
    """Read half a minute after the first part: the third is cut at the new offset, and asks for no other."""
    first = {"accept": 0.1, "tries": 5, "minutes": 0.5, "meanwhile": "runs on"}
    seen = seen_of(shop({"bias": 4, "step": 3}, 8.0, first_piece=first))
    assert seen.errors("Op 10")[:6] == pytest.approx([-4.0, -3.7, -0.4, -0.1, 0.2, 0.5])
    assert (seen.tally.first_gauged.tolist(), seen.tally.first_corrected.tolist()) == ([2], [1])


@pytest.mark.parametrize("more", [{}, {"minutes": 0.1, "meanwhile": "runs on"}], ids=["stands", "runs on"])
def test_an_edge_is_set_anew_by_whole_steps(more: dict[str, Any]) -> None:
    """-4 is eight steps of 0.5; after three parts 0.6 is read, one step. Run on, both come a part later."""
    works = shop({"bias": 4, "step": 0.5}, 7.5, {"rezero": {"blade": 3}},
                 first_piece={"accept": 0.1, "tries": 1, **more})  # fmt: skip
    late = bool(more)
    errors = [-4.0, -3.7, 0.6, 0.9, 0.7] if late else [-4.0, 0.3, 0.6, 0.4, 0.7]
    assert seen_of(works).errors("Op 10")[:5] == pytest.approx(errors)


def test_aims_and_what_is_wrong_with_a_setting_are_not_rounded() -> None:
    seen = seen_of(shop({"bias": 0.25, "step": 3}, 2.5, {"aims": {"blade": 1.5}}))
    assert seen.errors("Op 10") == pytest.approx([-1.75, -1.45])


def test_a_gauge_corrects_by_whole_steps_and_what_rounds_to_none_is_not_counted() -> None:
    """Steps of 0.7: 0 and 0.3 are left alone, 0.6 is a step, 0.2 is not, 0.5 is one, 0.1 is not."""
    seen = gauged(0.7, 6.5)
    assert seen.errors("Op 10") == pytest.approx([0.0, 0.3, 0.6, 0.2, 0.5, 0.1])
    assert seen.tally.corrections.tolist() == [2]


def test_the_share_is_taken_before_it_is_rounded_and_the_dead_band_before_that() -> None:
    """Half of 0.6 is no step of 0.7, half of 0.9 is one. In a band of 0.55, 0.5 is left alone and 0.8 is one step."""
    assert gauged(0.7, 5.5, share=0.5).errors("Op 10") == pytest.approx([0.0, 0.3, 0.6, 0.9, 0.5])
    assert gauged(0.7, 7.5, dead_band=0.55).errors("Op 10") == pytest.approx([0.0, 0.3, 0.6, 0.2, 0.5, 0.8, 0.4])


def test_an_answer_of_the_measuring_room_is_put_on_in_whole_steps() -> None:
    """Every part is read there half a minute after it is cut; 5.2 too deep is taken back by three steps of 2.

    The second part, cut meanwhile, reads -4.9 and takes back two more, 1.4 puts one on, 5.7 three, 4 two.
    """
    gauge = {"feature": "face", "corrects": {"cut": "cut"}, "where": "measuring room"}
    room = {"carry": 0.5}
    seen = seen_of(shop({"bias": 5.2, "step": 2}, 6.0, gauges={"gauge": gauge}, measuring_room=room))
    assert seen.errors("Op 10")[:5] == pytest.approx([-5.2, -4.9, 1.4, 5.7, 4.0])
    assert seen.tally.corrections.tolist() == [5]


def test_a_step_less_than_nothing_is_refused() -> None:
    with pytest.raises(ScenarioError, match="step"):
        shop({"step": -1}, 1.0)


# --- on paper ------------------------------------------------------------------------------------------------------


def test_the_desk_says_what_a_first_piece_leaves() -> None:
    """Read to 3 and cut to 4, a piece tells the edge to 5; four places halve that: 2.5, with 6 / sqrt(12) = 1.732."""
    cut = a_cut(repeatability=4.0)
    wanted = (
        'line, Op 10: once a first piece has put "blade" right, it stands off its aim by 3.04 µm rms: the piece is '
        "read to 2.5 µm, and the offset goes by steps of 6 µm. As it is set it stands off by 10 µm."
    )
    for setting, said in (({"error": 8, "bias": 6, "step": 6}, [wanted]), ({"error": 8, "bias": 6}, [])):
        works = a_shop(
            {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": cut}}}, "first_piece": {"error": 3}}},
            line={"features": {"face": {"places": 4}}}, cutters={"blade": a_blade(setting=setting)}, rule={"parts": 5},
        )  # fmt: skip
        assert [each for each in desk_figures(works, "as stated").remarks if "off its aim" in each] == said


@pytest.mark.parametrize(
    ("corrects", "band"), [({}, 2.0), ({"share": 0.25}, 8.0), ({"dead_band": 9, "share": 0.25}, 9.0)]
)
def test_a_pass_that_is_reset_is_held_within_what_rounds_to_no_step(corrects: dict[str, Any], band: float) -> None:
    gauge = {"feature": "face", "corrects": {"cut": "cut", **corrects}}
    [cut] = passes_of(shop({"step": 4}, 10.0, gauges={"gauge": gauge}), "line", "face")
    assert isinstance(cut, CutPass)
    assert cut.dead_band_um == band


@pytest.mark.parametrize(("share", "band", "step"), [(1.0, 2.0, 4.0), (0.5, 4.0, 4.0)])
def test_the_first_answer_of_a_search_takes_half_a_step_as_a_dead_band(share: float, band: float, step: float) -> None:
    """Of what is read a share of one half makes half a step of twice as much."""

    def costs(step: float, band: float) -> PartCost:
        gauge = {"feature": "face", "corrects": {"cut": "cut", "dead_band": band}}
        works = shop({"error": 6, "step": step}, 9.0, {"corrections": {"gauge": {"share": share}}},
                     gauges={"gauge": gauge})  # fmt: skip
        works.lines["line"].features["face"] = Feature(size={"limits": (99.0, 101.0), "loss_at_limit": 50.0})
        return part_costs(works, make_plan(works, "as stated"), 0)

    stepped, banded = costs(step, 0.0), costs(0.0, band)
    assert stepped.loss == pytest.approx(banded.loss)
    assert stepped.loss[-1] != pytest.approx(costs(0.0, 0.0).loss[-1])
