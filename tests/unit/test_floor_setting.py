"""How fresh edges are set on the floor: aims, errors of setting, and what a policy has a gauge correct; by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.plan.tally import Cause, State
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop


def faces(rule: Any = None, length: float = 12.0, cuts: dict[str, Any] | None = None, **policy: Any) -> Seen:
    """Faces cut by a blade that draws back 0.3 µm for each part, a minute each, changed every five unless told."""
    blade = policy.pop("blade", {})
    gauges = policy.pop("gauges", {})
    operation = {"strokes": {"stroke": {"cuts": cuts or {"cut": a_cut()}}}, "gauges": gauges}
    policies = {"as stated": {"default": rule or {"parts": 5}, **policy}}
    works = a_shop({"Op 10": operation}, line={"features": {"face": {}}}, cutters={"blade": a_blade(**blade)},
                   length=length, policies=policies)  # fmt: skip
    return run_shop(works)


def test_a_fresh_edge_stands_as_much_deeper_as_it_is_aimed() -> None:
    seen = faces(aims={"blade": "2 um"})
    assert seen.errors("Op 10")[:6] == pytest.approx([-2.0, -1.7, -1.4, -1.1, -0.8, -2.0])


def test_an_operation_may_have_an_aim_of_its_own() -> None:
    seen = faces(aims={"blade": 9, "Op 10 / blade": -1})
    assert seen.errors("Op 10")[0] == pytest.approx(1.0)


def test_a_centred_aim_takes_out_the_mean_of_the_drift_over_the_planned_interval() -> None:
    """Five parts drift 0, 0.3 ... 1.2 µm: the mean is 0.6.."""
    seen = faces(aims={"blade": "centred"})
    assert seen.errors("Op 10")[:5] == pytest.approx([-0.6, -0.3, 0.0, 0.3, 0.6])
    seen = faces({"life": 0.2}, aims={"blade": "centred"}, length=40.0)
    assert sum(seen.errors("Op 10")[:20]) == pytest.approx(0.0, abs=1e-9)


def test_the_error_of_setting_is_one_for_all_parts_of_a_change() -> None:
    """Sharp parts scatter by 4 µm about the bias of 3 µm deeper; within a change they only drift.

    The first 400 changes: mean within 4 x 4/20 = 0.8, standard deviation within 4 x 4/sqrt(800) = 0.57.
    """
    seen = faces(length=2000.0, blade={"setting": {"error": "4 um", "bias": "3 um"}})
    errors = seen.errors("Op 10")
    changes = [errors[at : at + 5] for at in range(0, 1995, 5)]
    for parts in changes:
        assert [error - parts[0] for error in parts] == pytest.approx([0.0, 0.3, 0.6, 0.9, 1.2])
    first = [parts[0] for parts in changes]
    mean = sum(first) / len(first)
    assert abs(mean + 3.0) < 0.8
    assert abs(math.sqrt(sum((error - mean) ** 2 for error in first) / len(first)) - 4.0) < 0.57


def test_a_named_seat_has_an_error_of_setting_unless_it_is_given() -> None:
    for entries, expected in (
        ({}, 0.0),
        ({"seat": "pressed"}, 15.0),
        ({"seat": "pressed", "setting": {"error": 2}}, 2.0),
    ):
        assert faces(length=2.0, blade=entries).plan.kinds.setting_error_um.tolist() == [expected]


def test_all_cuts_of_a_set_share_its_error() -> None:
    cuts = {"cut": a_cut(minutes=0.5), "again": a_cut(minutes=0.5, feature="other")}
    operation = {"strokes": {name: {"cuts": {name: cut}} for name, cut in cuts.items()}}
    blade = a_blade(setting={"error": "4 um"})
    works = a_shop({"Op 10": operation}, line={"features": {"face": {}, "other": {}}}, cutters={"blade": blade},
                   rule={"parts": 1}, length=9.0)  # fmt: skip
    parts = run_shop(works).of_parts("complete", "Op 10")
    assert len({values.error_um[0] for values in parts}) == len(parts) > 5
    for values in parts:
        assert values.error_um[1] == pytest.approx(values.error_um[0] + 0.15)


GAUGE = {"gauge": {"feature": "face", "limits": [99.0, 101.0], "corrects": {"cut": "cut", "share": 1.0}}}


@pytest.mark.parametrize(
    ("change", "errors"),
    [
        ({"share": 0.5}, [0.0, 0.3, 0.45, 0.525]),
        ({"dead_band": "0.5 um"}, [0.0, 0.3, 0.6, 0.3]),
        ({"share": 0}, [0.0, 0.3, 0.6, 0.9]),
    ],
)
def test_a_policy_changes_what_a_gauge_does_with_its_readings(change: dict[str, Any], errors: list[float]) -> None:
    """Each part is 0.3 µm more than the one before; what is read of one is put right for the next."""
    seen = faces("run out", gauges=GAUGE, corrections={"gauge": change})
    assert seen.errors("Op 10")[:4] == pytest.approx(errors)
    named = faces("run out", gauges=GAUGE, corrections={"Op 10 / gauge": change})
    assert named.errors("Op 10")[:4] == pytest.approx(errors)


@pytest.mark.parametrize(
    ("levers", "said"),
    [
        ({"aims": {"blad": "centred"}}, "blade"),
        ({"aims": {"blade": "middle"}}, "length"),
        ({"corrections": {"gauge": {"share": 1}}}, "a gauge that corrects a cut"),
        ({"corrections": {"gauge": {}}}, "dead_band"),
    ],
)
def test_levers_that_cannot_act_are_refused(levers: dict[str, Any], said: str) -> None:
    with pytest.raises(ScenarioError, match=said):
        faces(**levers)


# --- the first piece ----------------------------------------------------------------------------------------------

SETTER = {"people": {"setters": {}}}


def firsts(first_piece: dict[str, Any], length: float = 12.0, limits: Any = None, **entries: Any) -> Seen:
    """As `faces`, changed every five parts, with a first piece; an edge is set 4 µm deeper than it was meant to be."""
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "first_piece": first_piece}
    features = {"face": {"size": {"limits": limits}} if limits else {}}
    policy = {"default": {"parts": 5}, **entries.pop("policy", {})}
    blade = a_blade(**({"setting": {"bias": "4 um"}} | entries.pop("blade", {})))
    works = a_shop({"Op 10": operation | entries}, line={"features": features}, cutters={"blade": blade},
                   length=length, policies={"as stated": policy}, **SETTER)  # fmt: skip
    return run_shop(works)


def test_the_reading_of_the_first_piece_sets_the_offset() -> None:
    """The first part reads -4; it is put right in full, and the second, which has drifted by 0.3, is within 0.5."""
    seen = firsts({"accept": 0.5, "minutes": 2}, length=12.5)
    assert seen.errors("Op 10")[:6] == pytest.approx([-4.0, 0.3, 0.6, 0.9, 1.2, -4.0])
    assert seen.spans_in("Op 10", State.FIRST_PIECE) == [(1.0, 3.0), (4.0, 6.0), (10.0, 12.0)]
    assert seen.tally.first_gauged.tolist() == [3]
    assert seen.tally.first_corrected.tolist() == [2]


def test_a_reading_that_is_accepted_leaves_the_offset_alone() -> None:
    assert firsts({"accept": 4.5}).errors("Op 10")[:3] == pytest.approx([-4.0, -3.7, -3.4])


def test_there_are_no_more_first_pieces_than_tries() -> None:
    """Nothing is accepted: each of the first two is put right, and the third drifts on from there."""
    seen = firsts({"tries": 2}, length=4.5)
    assert seen.errors("Op 10") == pytest.approx([-4.0, 0.3, 0.3, 0.6])
    assert seen.tally.first_gauged.tolist() == [2]


def test_the_first_piece_is_held_against_the_aim() -> None:
    seen = firsts({"accept": 0.5}, policy={"aims": {"blade": 2}})
    assert seen.errors("Op 10")[:3] == pytest.approx([-6.0, -1.7, -1.4])


def test_somebody_gauges_it_and_is_paid() -> None:
    seen = firsts({"by": "setters", "minutes": 2, "accept": 9}, length=10.0)
    assert seen.spans_in("Op 10", State.FIRST_PIECE) == [(1.0, 3.0), (8.0, 10.0)]
    assert seen.tally.busy_min[0] == pytest.approx(4.0)
    assert seen.tally.jobs[0] == 2


@pytest.mark.parametrize(("bad", "scrapped"), [("scrap", 1), ("salvage", 0), ("pass", 0)])
def test_a_bad_first_piece_is_scrapped_salvaged_or_passed(bad: str, scrapped: int) -> None:
    seen = firsts({"accept": 0.5, "bad": bad}, limits=[99.997, 100.003], length=5.5)
    assert seen.tally.scrapped.sum() == scrapped
    assert seen.tally.first_salvaged[0, Cause.CUT_AWAY] == seen.tally.first_salvaged.sum() == (bad == "salvage")
    assert seen.tally.first_scrapped.tolist() == [int(bad == "scrap")]
    first = {"scrap": [], "salvage": [0.0], "pass": [-4.0]}[bad]
    assert seen.errors("Op 10")[: len(first) + 2] == pytest.approx([*first, 0.3, 0.6])


def test_metal_left_on_is_cut_again_at_the_new_offset() -> None:
    """Set 4 µm too shallow: +4 is read, past the limit of 3; cut again by an edge that has drawn back 0.3 µm.

    The second part meets it at 0.6, which is more than is accepted, and is put right for the third.
    """
    seen = firsts({"accept": 0.5}, limits=[99.997, 100.003], length=4.5, blade={"setting": {"bias": -4}})
    assert seen.errors("Op 10")[:3] == pytest.approx([0.3, 0.6, 0.3])
    assert seen.tally.recut[0, Cause.METAL_LEFT] == 1


def test_an_edge_is_set_anew_after_so_many_parts() -> None:
    """After the third part, which reads 0.6, the drift is taken out."""
    seen = firsts({"accept": 0.1, "tries": 1}, policy={"rezero": {"blade": 3}}, length=6.5)
    assert seen.errors("Op 10")[:5] == pytest.approx([-4.0, 0.3, 0.6, 0.3, 0.6])


def test_set_anew_and_centred_the_mean_is_taken_out_of_both_stretches() -> None:
    seen = firsts(
        {"accept": 0.1, "tries": 1}, policy={"rezero": {"blade": 3}, "aims": {"blade": "centred"}}, length=6.5
    )
    assert seen.errors("Op 10")[:5] == pytest.approx([-4.3, 0.0, 0.3, -0.15, 0.15])


@pytest.mark.parametrize(
    ("entry", "said"),
    [({"by": "nobody"}, "a pool of people"), ({"after": ["blade", "blad"]}, "blad"), ({"tries": 0}, "tries")],
)
def test_a_first_piece_that_cannot_be_is_refused(entry: dict[str, Any], said: str) -> None:
    with pytest.raises(ScenarioError, match=said):
        firsts(entry)
