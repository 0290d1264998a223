"""Flank wear against the open milling tests of A. Agogino and K. Goebel (2007); see tests/data/SOURCES.md."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import least_squares

from linesim.cutting.life import extended_taylor_life_min, wear_growth, wear_land_mm
from linesim.handbook import grades

LIMIT_MM = 0.3
READINGS = pd.read_csv(Path(__file__).parents[1] / "data" / "milling_wear_open.csv").dropna()
IRON = READINGS[READINGS.material == "cast iron"]


def minutes_to_limit(case: int) -> float:
    """Cutting time at which the running maximum of the readings passes the limit, by interpolation."""
    run = READINGS[READINGS.case == case].sort_values("time_min")
    land = np.maximum.accumulate(run.flank_wear_mm.to_numpy())
    after = int(np.argmax(land > LIMIT_MM))
    return float(np.interp(LIMIT_MM, land[after - 1 : after + 1], run.time_min.to_numpy()[after - 1 : after + 1]))


@pytest.mark.parametrize(
    ("case", "minutes"),
    [(1, 29.3), (2, 43.8), (3, 59.4), (4, 20.5), (5, 6.2), (7, 14.2), (8, 6.0), (15, 6.7)],
)
def test_minutes_to_the_limit(case: int, minutes: float) -> None:
    """Four runs in cast iron, four in steel (derived from the data)."""
    assert minutes_to_limit(case) == pytest.approx(minutes, abs=0.06)


def fitted() -> tuple[np.ndarray, np.ndarray]:
    """Least squares on the iron runs, one life each and one curve; parameters and misses."""
    share_of = [(IRON.case == case).to_numpy() for case in (1, 2, 3, 4)]

    def misses(p: np.ndarray) -> np.ndarray:
        life = sum(mask * p[k] for k, mask in enumerate(share_of))
        share = IRON.time_min.to_numpy() / life
        return np.array([wear_land_mm(w, LIMIT_MM, *p[4:]) for w in share]) - IRON.flank_wear_mm.to_numpy()

    start = [29.0, 44.0, 59.0, 20.0, 0.3, 0.1, 1.3]
    fit = least_squares(misses, start, bounds=([5.0] * 4 + [0.0, 0.005, 1.0], [200.0] * 4 + [0.9, 1.0, 3.0]))
    return fit.x, fit.fun


def test_the_handbook_curve_is_the_fit() -> None:
    """b 0.32, tau 0.057, gamma 1.40, misses 0.031 mm rms, lives 28.0, 41.9, 52.7, 24.1 min (derived)."""
    p, misses = fitted()
    carbide = grades()["coated carbide", "grey iron"]
    assert (carbide.wear_b, carbide.wear_tau, carbide.wear_gamma) == (0.32, 0.057, 1.40)
    assert p[4] == pytest.approx(carbide.wear_b, abs=0.02)
    assert p[5] == pytest.approx(carbide.wear_tau, abs=0.01)
    assert p[6] == pytest.approx(carbide.wear_gamma, abs=0.05)
    assert p[:4] == pytest.approx([28.0, 41.9, 52.7, 24.1], abs=0.5)
    assert float(np.sqrt((misses**2).mean())) == pytest.approx(0.031, abs=0.002)


def test_the_curve_foretells_a_later_reading_from_an_earlier_one() -> None:
    """Case 3: life from the readings up to 0.30 mm, then the land at 75 min, 0.44 mm as read."""
    run = IRON[(IRON.case == 3) & (IRON.flank_wear_mm <= 0.30)]
    curve = (0.32, 0.057, 1.40)

    def misses(life: np.ndarray) -> np.ndarray:
        return np.array([LIMIT_MM * wear_growth(t / life[0], *curve) for t in run.time_min]) - run.flank_wear_mm

    life = least_squares(misses, [50.0]).x[0]
    assert wear_land_mm(75.0 / life, LIMIT_MM, *curve) == pytest.approx(0.44, abs=0.06)


@pytest.mark.parametrize(("case", "depth", "feed_rev", "life"), [
    (1, 1.5, 0.5, 28.0), (2, 0.75, 0.5, 41.9), (3, 0.75, 0.25, 52.7), (4, 1.5, 0.25, 24.1),
])  # fmt: skip
def test_handbook_lives_of_coated_carbide_are_within_a_factor_of_two(
    case: int, depth: float, feed_rev: float, life: float
) -> None:
    """Six inserts, so a sixth of the feed per tooth; speed 182-200 m/min as stated, 190 taken."""
    grade = grades()["coated carbide", "grey iron"]
    reference = (grade.ref_life_min, grade.ref_speed_m_min, grade.ref_feed_mm, grade.ref_depth_mm)
    ours = extended_taylor_life_min(190.0, feed_rev / 6.0, depth, *reference, grade.n, grade.p, grade.q, 1.0)
    assert 0.5 < ours / life < 2.0, f"case {case}"


def test_depth_costs_more_life_than_feed_here() -> None:
    """Against the order of the textbooks: power of depth about 1, of feed 0.1-0.3 (derived, four runs)."""
    lives = fitted()[0][:4]
    design = np.array([[1.0, np.log(d), np.log(f)] for d, f in ((1.5, 0.5), (0.75, 0.5), (0.75, 0.25), (1.5, 0.25))])
    _, depth, feed = np.linalg.lstsq(design, np.log(lives), rcond=None)[0]
    assert -1.2 < depth < -0.6
    assert abs(feed) < 0.3
