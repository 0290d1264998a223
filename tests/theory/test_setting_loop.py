"""Aim against a curved drift with a periodic change, setting anew, and the loop of first pieces, in closed form.

Sources: exact arithmetic, derived, by quadrature of the wear curve and of the normal density; the curve is the
handbook's (break-in 0.32 over 0.057 of life, exponent 1.40), receding 31.53 µm over a life. Where nothing is drawn the
only difference is that between a sum over parts and an integral, 1 in 1000. The seed was fixed beforehand: 20261126.
Statistical checks allow four standard errors: a false alarm in 16 000, for each figure.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.study.one.runs import run_plan
from linesim.works import Works
from tests.floors import PLAIN, a_blade, a_cut, a_shop

SEED = 20261126
_PARTS = 1_400
"""Parts of one edge, which is changed at 0.7 of its life."""
_CHANGES = 20_000
HOUSE = {"grades": {"house": PLAIN["grades"]["plain"] | {"wear_b": 0.32, "wear_tau": 0.057, "wear_gamma": 1.4}}}


def fast(works: Works) -> Tally:
    return run_plan(make_plan(works, "as stated"), SEED, 0, engine="fast")


def rms_um(tally: Tally) -> float:
    return math.sqrt(float(tally.square[0, 0] / tally.places[0]))


def curved(**levers: Any) -> Works:
    """One machine, a minute a part, whose blade lasts 2000 parts and wears by the house's curve."""
    blade = a_blade(grade="house", life=2_000.0, clearance_angle=6.0)
    operation: dict[str, Any] = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}
    if "rezero" in levers:
        operation["first_piece"] = {"bad": "pass", "tries": 1}
    return a_shop({"Op 10": operation}, line={"features": {"face": {"size": {"limits": [99.0, 101.0]}}}},
                  cutters={"blade": blade}, length=2 * _PARTS + 1, handbook=HOUSE,
                  policies={"as stated": {"default": {"parts": _PARTS}, **levers}})  # fmt: skip


@pytest.mark.parametrize(
    ("levers", "expected"),
    [
        ({}, 15.5745),
        ({"aims": {"blade": 14.6906}}, 5.17216),
        ({"aims": {"blade": "centred"}}, 5.17216),
        ({"rezero": {"blade": 343}}, 6.96107),
        ({"aims": {"blade": "centred"}, "rezero": {"blade": 343}}, 3.27380),
    ],
    ids=["set to size", "aimed off", "centred", "set anew", "centred and set anew"],
)
def test_aim_and_setting_anew_against_a_drift_that_ends_with_the_edge(levers: dict[str, Any], expected: float) -> None:
    """Root mean square from the aim; set anew by the reading of the part cut at 0.171 of the life, the 343rd."""
    assert rms_um(fast(curved(**levers))) == pytest.approx(expected, rel=1e-3)


def test_the_aim_that_is_centred_is_the_mean_of_the_drift() -> None:
    """14.6906 µm over 0.7 of the life; after setting anew at 0.171 of it another 5.5706, and 7.648 before."""
    (aim,) = make_plan(curved(aims={"blade": "centred"}), "as stated").cuts.aim_um.tolist()
    assert aim == pytest.approx(14.6906, rel=1e-3)
    cuts = make_plan(curved(aims={"blade": "centred"}, rezero={"blade": 343}), "as stated").cuts
    assert cuts.aim_um.tolist() == pytest.approx([7.6481], rel=2e-3)
    assert cuts.rezero_aim_um.tolist() == pytest.approx([5.5706], rel=2e-3)


class Loop(NamedTuple):
    """What a loop of first pieces comes to after one change.

    Attributes
    ----------
    pieces, at_once : float
        Pieces gauged; share of changes released at the first.
    left_um2 : float
        Mean square of the setting error that is left.
    per_part_um2 : float
        Mean square of the error over all parts of the change, the pieces among them.
    """

    pieces: float
    at_once: float
    left_um2: float
    per_part_um2: float


def loop_of(setting: float, scatter: float, gauge: float, accept: float, parts: int) -> Loop:
    """By a grid over the setting error: released within what is accepted, else corrected by the whole reading."""
    e, step = np.linspace(-60.0, 60.0, 12_001, retstep=True)
    noise = math.hypot(scatter, gauge)
    density = np.exp(-0.5 * (e / setting) ** 2) / (setting * math.sqrt(2.0 * math.pi))
    cdf = np.frompyfunc(lambda z: 0.5 * math.erfc(-z / math.sqrt(2.0)), 1, 1)
    released = (cdf((accept - e) / noise) - cdf((-accept - e) / noise)).astype(float)
    pieces = left = total = 0.0
    at_once = float((density * released).sum() * step)
    for piece in range(1, 30):
        pieces += float(density.sum() * step)
        total += float((density * (e**2 + scatter**2)).sum() * step)
        left += float((density * released * e**2).sum() * step)
        total += (parts - piece) * float((density * released * (e**2 + scatter**2)).sum() * step)
        # The new error is what scatter and gauge put into the reading, e' = -n, where e + n is not accepted.
        of = np.exp(-0.5 * (e / noise) ** 2) / (noise * math.sqrt(2.0 * math.pi))
        mass, cumulated = density, np.concatenate([[0.0], np.cumsum(density)]) * step
        low, high = (np.clip(np.searchsorted(e, e + side), 0, len(e)) for side in (-accept, accept))
        density = of * (float(mass.sum() * step) - (cumulated[high] - cumulated[low]))
    return Loop(pieces, at_once, left, total / parts)


def set_with_error(parts: int, first_piece: dict[str, Any]) -> Works:
    """One machine that changes a blade set with an error of 6 µm after so many parts, scatter 1.5 µm."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut(repeatability=1.5)}}},
        "first_piece": {"error": 0.5, "bad": "pass", **first_piece},
    }
    return a_shop({"Op 10": operation}, line={"features": {"face": {"size": {"limits": [99.0, 101.0]}}}},
                  cutters={"blade": a_blade(life=1e9, setting={"error": 6.0})}, rule={"parts": parts},
                  length=_CHANGES * parts)  # fmt: skip


def test_first_pieces_until_one_is_accepted() -> None:
    """Setting 6, scatter 1.5, gauge 0.5, accepted 3 µm: 0.371255 at once, 1.79144 pieces, 1.78256 µm left."""
    parts = 25
    exact = loop_of(6.0, 1.5, 0.5, 3.0, parts)
    assert (exact.at_once, exact.pieces, math.sqrt(exact.left_um2)) == pytest.approx(
        (0.371255, 1.79144, 1.78256), rel=2e-3
    )
    tally = fast(set_with_error(parts, {"accept": 3.0, "tries": 20}))
    changes, n = int(tally.places[0]) / parts, math.sqrt(_CHANGES)
    gauged, corrected = float(tally.first_gauged[0]), float(tally.first_corrected[0])
    # A change is released after its last piece, so that all others were corrected.
    assert gauged - corrected == pytest.approx(changes, abs=1.0)
    assert gauged / changes == pytest.approx(1.79144, abs=4.0 * 0.76 / n)
    # Variances of a change's sum of squares: of what is left (normal), and of the first piece.
    reach = 4.0 * math.hypot(math.sqrt(2.0) * exact.left_um2, math.sqrt(2.0) * 38.25 / parts) / n
    assert float(tally.square[0, 0] / tally.places[0]) == pytest.approx(exact.per_part_um2, abs=reach)


def test_one_piece_that_is_always_corrected() -> None:
    """What is left is scatter and gauge of one reading, 1.58114 µm: 2.5 and 2.25 of scatter, and the first 38.25."""
    parts = 25
    tally = fast(set_with_error(parts, {"accept": 0.0, "tries": 1}))
    assert math.hypot(1.5, 0.5) == pytest.approx(1.58114, abs=5e-6)
    expected = (38.25 + (parts - 1) * 4.75) / parts
    reach = 4.0 * math.hypot(math.sqrt(2.0) * 2.5, math.sqrt(2.0) * 38.25 / parts) / math.sqrt(_CHANGES)
    assert float(tally.square[0, 0] / tally.places[0]) == pytest.approx(expected, abs=reach)
    assert float(tally.first_gauged[0]) == pytest.approx(_CHANGES, abs=1.0)
