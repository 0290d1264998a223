"""The law of one cut, against the model's own equation worked out by hand."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import linesim
from linesim.chance import Purpose, normals
from linesim.cutting.conditions import CutConditions
from linesim.cutting.error_terms import ErrorMoments, moments_after_cut
from linesim.cutting.step import PlaceState, cut_place, cut_place_by_numbers

BEFORE = {"error_um": 100.0, "roughness_um": 25.0, "scratch_um": 0.0, "is_clean": True}
EDGE = {"life_share": 0.0, "finish_factor": 1.0, "offset_um": 0.0, "moved_um": 0.0}
NORMALS = {"normal_repeat": 0.0, "normal_stress": 0.0, "normal_roughness": 0.0}
CUT = {
    "depth_mm": 0.5,
    "radial_force_n": 40.0,
    "cutting_stiffness_n_um": 2.0,
    "stiffness_n_um": 18.0,
    "wear_force_n": 36.0,
    "wear_limit_mm": 0.3,
    "wear_b": 0.32,
    "wear_tau": 0.057,
    "wear_gamma": 1.4,
    "tan_clearance": math.tan(math.radians(7.0)),
    "repeatability_um": 3.0,
    "stress_um": 2.0,
    "sharp_roughness_um": 1.5,
    "roughness_growth": 0.6,
    "roughness_power": 1.0,
    "roughness_sigma": 0.1,
    "roughness_floor_um": 0.4,
    "wear_slope_n_um": 1.8,
    "roughness_past": 0.5,
    "least_metal_um": 0.0,
    "least_metal_rise_um": 0.0,
}


def a_cut(is_recut: bool = False, **changes: Any) -> tuple[float, float, float, bool]:
    """One cut with some of the arguments changed."""
    assert set(changes) <= set(BEFORE) | set(EDGE) | set(NORMALS) | set(CUT)
    before, edge, drawn, cut = (
        {name: changes.get(name, value) for name, value in group.items()} for group in (BEFORE, EDGE, NORMALS, CUT)
    )
    return cut_place(PlaceState(**before), CutConditions(**cut), *edge.values(), *drawn.values(), is_recut, 1.0)


def test_a_recut_takes_only_what_stands_above() -> None:
    """It is set no deeper, lets no stress go (2 um) and takes no scratch out; it never adds metal."""
    assert a_cut(True, error_um=50.0, scratch_um=30.0, normal_stress=1.0)[0::2] == (pytest.approx(5.0), 30.0)
    assert a_cut(True, error_um=50.0, life_share=1.0, moved_um=200.0)[0] == 50.0
    assert a_cut(True, error_um=-1.0, roughness_um=9.0, scratch_um=3.0, is_clean=False) == (-1.0, 9.0, 3.0, False)
    assert a_cut(True, error_um=50.0, normal_repeat=1.0)[0] == pytest.approx(8.0)


def test_a_sharp_edge_copies_a_share_of_the_error() -> None:
    """2 / (2 + 18) of 100 um; roughness below its mean by exp(-0.005)."""
    error, roughness, scratch, is_clean = a_cut()
    assert error == pytest.approx(10.0)
    assert roughness == pytest.approx(1.5 * math.exp(-0.005))
    assert (scratch, is_clean) == (0.0, True)


def test_a_worn_edge_copies_more_deflects_and_recedes() -> None:
    """At w = 1, by hand: k 3.8 of 21.8; 40 x 0.9 / 18 = 2; 300 tan 7 = 36.835."""
    error, roughness, _, _ = a_cut(life_share=1.0)
    assert error == pytest.approx(100.0 * 3.8 / 21.8 + 2.0 + 36.835, abs=1e-3)
    assert roughness == pytest.approx(1.5 * 1.6 * math.exp(-0.005))


def test_half_worn_by_hand() -> None:
    """w = 0.5: g = 0.32 (1 - e**(-8.772)) + 0.68 x 0.5**1.4 = 0.57763."""
    g = 0.31995 + 0.68 * 0.5**1.4
    k = 2.0 * (1.0 + 0.9 * g)
    by_hand = 100.0 * k / (k + 18.0) + 40.0 * 0.9 * g / 18.0 + 300.0 * g * 0.1227846
    assert a_cut(life_share=0.5)[0] == pytest.approx(by_hand, abs=2e-3)


def test_offset_cuts_deeper_and_shift_leaves_metal_on() -> None:
    """In um, one for one."""
    assert a_cut(offset_um=4.0)[0] == pytest.approx(6.0)
    assert a_cut(moved_um=7.0)[0] == pytest.approx(17.0)


def test_each_normal_acts_on_its_own_figure() -> None:
    """Repeatability 3 um, stress 2 um, roughness 10 %."""
    plain = a_cut()
    assert a_cut(normal_repeat=1.5)[0] - plain[0] == pytest.approx(4.5)
    assert a_cut(normal_stress=-2.0)[0] - plain[0] == pytest.approx(-4.0)
    assert a_cut(normal_roughness=1.0)[1] / plain[1] == pytest.approx(math.exp(0.1))
    assert a_cut(normal_roughness=1.0)[0] == plain[0]


def test_roughness_does_not_fall_below_the_floor() -> None:
    """Even on a smooth draw."""
    assert a_cut(sharp_roughness_um=0.3, normal_roughness=-3.0)[1] == 0.4


def test_scatter_of_roughness_leaves_its_mean() -> None:
    """Lognormal of mean 1, by integration over the normal."""
    z = np.linspace(-8.0, 8.0, 4001)
    weight = np.exp(-0.5 * z * z)
    values = np.array([a_cut(normal_roughness=float(x), roughness_sigma=0.3, roughness_floor_um=0.0)[1] for x in z])
    assert float((values * weight).sum() / weight.sum()) == pytest.approx(1.5, rel=1e-9)


def test_a_rigid_machine_copies_nothing_and_does_not_give() -> None:
    """Infinite stiffness: only the recession is left."""
    assert a_cut(stiffness_n_um=math.inf)[0] == 0.0
    assert a_cut(stiffness_n_um=math.inf, life_share=1.0)[0] == pytest.approx(36.835, abs=1e-3)


def test_an_abrasive_without_force_copies_its_own_factor() -> None:
    """Stiffnesses 0.1 and 0.9 stand for a copying factor of 0.1."""
    changes = {
        "cutting_stiffness_n_um": 0.1,
        "stiffness_n_um": 0.9,
        "radial_force_n": 0.0,
        "wear_force_n": 0.0,
    }
    assert a_cut(**changes)[0] == pytest.approx(10.0)


def test_a_cut_takes_out_the_scratches_it_is_deeper_than() -> None:
    """500 um of depth."""
    assert a_cut(scratch_um=30.0)[2] == 0.0
    assert a_cut(scratch_um=620.0)[2] == pytest.approx(120.0)


def test_where_the_metal_is_not_there_the_old_skin_stays() -> None:
    """Error -600 um below a cut of 500: 100 um too low, old roughness and scratch."""
    assert a_cut(error_um=-600.0, roughness_um=25.0, scratch_um=9.0, life_share=0.7) == (
        -100.0,
        25.0,
        9.0,
        False,
    )
    assert a_cut(error_um=-500.0)[3] is False
    assert a_cut(error_um=-499.9)[3] is True


def test_a_later_cut_that_finds_metal_cleans_up() -> None:
    """A place that the first cut missed by 100 um is reached by a second of 0.5 mm."""
    error, roughness, scratch, is_clean = a_cut(error_um=-600.0, scratch_um=9.0)
    error, roughness, scratch, is_clean = a_cut(
        error_um=error, roughness_um=roughness, scratch_um=scratch, is_clean=is_clean
    )
    assert (error, scratch, is_clean) == (pytest.approx(-10.0), 0.0, True)


def test_a_dull_edge_costs_more_in_form_than_it_did_when_sharp() -> None:
    """Error and roughness rise with w, and go on past the end of life, the roughness the faster."""
    results = [a_cut(life_share=0.1 * k)[:2] for k in range(16)]
    assert results == sorted(results)
    assert len(set(results)) == 16


@pytest.mark.parametrize("changes", [{}, {"life_share": 0.6, "normal_roughness": 1.0}, {"error_um": -600.0}])
@pytest.mark.parametrize("is_recut", [False, True])
def test_the_door_for_plain_numbers_leads_to_the_same_law(changes: dict[str, float], is_recut: bool) -> None:
    before, edge, drawn, cut = (
        {name: changes.get(name, value) for name, value in group.items()} for group in (BEFORE, EDGE, NORMALS, CUT)
    )
    before_cut = tuple(before.values())
    by_numbers = cut_place_by_numbers(before_cut, *edge.values(), *drawn.values(), is_recut, 1.0, *CutConditions(**cut))
    assert by_numbers == a_cut(is_recut, **changes)


PLAIN_SCRIPT = """
from linesim.cutting.conditions import CutConditions
from linesim.cutting.step import cut_place_by_numbers
from linesim.law import IS_COMPILED
print(IS_COMPILED)
cut = CutConditions(0.5, 41.0, 0.3, 11.0, 37.0, 0.3, 0.32, 0.057, 1.4, 0.12, 1.0, 2.0, 1.5, 0.6, 1.3, 0.1, 0.4, 0.0,
    1.0, 0.2, 0.5, 9.0, 15.0)
for k in range(300):
    w, e = 0.005 * k, 7.0 * k - 700.0
    normals = 0.01 * k - 1.0, 1.0 - 0.02 * k, 0.5
    print(cut_place_by_numbers((e, 25.0, 0.5 * k, True), w, 1.1, 0.1, 0.2, *normals, k % 2 == 0, 1.0, *cut))
"""


def test_plain_python_gives_the_same_cut_bit_for_bit() -> None:
    """The same text compiled and not compiled."""
    folder = str(Path(linesim.__file__).parents[1])
    outputs = []
    for plain in ("0", "1"):
        surroundings = {**os.environ, "LINESIM_PLAIN": plain, "NUMBA_DISABLE_JIT": "0", "PYTHONPATH": folder}
        command = [sys.executable, "-W", "error", "-c", PLAIN_SCRIPT]
        done = subprocess.run(command, env=surroundings, capture_output=True, text=True, check=True)
        outputs.append(done.stdout.splitlines())
    assert (outputs[0][0], outputs[1][0]) == ("True", "False")
    assert outputs[0][1:] == outputs[1][1:]
    assert len(outputs[0]) == 301


def test_the_moments_are_those_of_many_cuts() -> None:
    """20 000 parts through the law itself; bands of 4.5 standard errors, false alarms below 1 in 100 000 each."""
    cut, count = CutConditions(**CUT), 20_000
    growths = np.array([0.1, 0.4, 0.9])
    # With b = 0 and tau beyond reach g is w itself, so that the shares of life are the growths.
    straight = cut._replace(wear_b=0.0, wear_gamma=1.0)
    values = np.empty(count)
    for part in range(count):
        cast, repeat, stress, _ = normals(3, 0, int(Purpose.CASTING), 0, part, 0)
        before = PlaceState(40.0 + 30.0 * cast, 25.0, 0.0, True)
        share = float(growths[part % 3])
        values[part] = cut_place(before, straight, share, 1.0, 0.0, 0.0, repeat, stress, 0.0, False, 1.0)[0]
    mean, variance = moments_after_cut(ErrorMoments(40.0, 900.0), straight, growths)
    sd = math.sqrt(variance)
    assert mean == pytest.approx(values.mean(), abs=4.5 * sd / math.sqrt(count))
    assert sd == pytest.approx(values.std(), rel=4.5 / math.sqrt(2.0 * count))


def test_the_moments_where_a_gauge_holds_the_wear() -> None:
    """By hand, sharp: 2 of 20 copied; 0.01 x 400 + 3**2 + 2**2 + 6**2 / 3 = 29."""
    held = moments_after_cut(ErrorMoments(10.0, 400.0), CutConditions(**CUT), np.array([0.0]), 5.0, 6.0)
    assert held.mean_um == pytest.approx(6.0)
    assert held.variance_um2 == pytest.approx(29.0)
