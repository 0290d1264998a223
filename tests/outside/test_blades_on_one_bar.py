"""Two blades on one bar: beam theory (standard), coupling solved by hand with matrices (derived)."""

from __future__ import annotations

import numpy as np
import pytest

from linesim.cutting.bar import (
    between_bearings_um_n,
    cantilever_um_n,
    followed_um,
    tandem_shares,
    unsteady_um,
)

LEADER = cantilever_um_n(230.0, 230.0, 66.0, 206e3, 25.0)
BETWEEN = cantilever_um_n(200.0, 230.0, 66.0, 206e3, 25.0)
FOLLOWER = cantilever_um_n(200.0, 200.0, 66.0, 206e3, 25.0)


def test_compliance_of_a_held_bar() -> None:
    assert pytest.approx((0.061137, 0.057025, 0.053898), abs=6e-7) == (LEADER, BETWEEN, FOLLOWER)
    assert pytest.approx(16.357, abs=6e-4) == 1.0 / LEADER


def test_line_bar_between_bearings() -> None:
    middle = between_bearings_um_n(240.0, 240.0, 480.0, 50.0, 206e3)
    assert 1.0 / middle == pytest.approx(27.431, abs=6e-4)
    aside = between_bearings_um_n(240.0, 120.0, 480.0, 50.0, 206e3)
    assert aside == pytest.approx(0.025063, abs=6e-7)
    assert aside == between_bearings_um_n(120.0, 240.0, 480.0, 50.0, 206e3)
    assert aside / middle == pytest.approx(0.6875)


@pytest.mark.parametrize(
    ("across", "cosine", "leader", "follower"),
    [(1.0, 1.0, 0.0069520, 0.0064845), (-1.0, -1.0, None, -0.0063080), (0.41585 / 0.1144, 0.0, None, 0.023334)],
)
def test_one_stroke_copies_nearly_what_its_leader_copies(
    across: float, cosine: float, leader: float | None, follower: float
) -> None:
    """Same side, opposed, and at 90° with the leader's tangential force."""
    left = tandem_shares(0.1144, 0.24339, across, LEADER, BETWEEN, FOLLOWER, cosine)
    assert left[1] == pytest.approx(follower, abs=6e-7)
    if leader is not None:
        assert left[0] == pytest.approx(leader, abs=6e-7)


def test_two_strokes_are_sixty_four_times_better() -> None:
    apart = (0.1144 * LEADER / (1.0 + 0.1144 * LEADER)) * (0.24339 * LEADER / (1.0 + 0.24339 * LEADER))
    together = tandem_shares(0.1144, 0.24339, 1.0, LEADER, BETWEEN, FOLLOWER, 1.0)[1]
    assert together / apart == pytest.approx(64.0, abs=1.0)


def test_the_shares_solve_the_beam_with_both_forces() -> None:
    """Forces and bends by matrices, for a case drawn once by hand."""
    cosine, across, k_a, k_b = 0.5, 0.9, 0.2, 0.35
    compliance = np.array([[LEADER, cosine * BETWEEN], [across * BETWEEN, FOLLOWER]])
    forces = np.linalg.solve(np.eye(2) + np.array([[k_a, 0.0], [-k_b, k_b]]) @ compliance, np.array([k_a, 0.0]))
    shares = tandem_shares(k_a, k_b, across, LEADER, BETWEEN, FOLLOWER, cosine)
    assert shares == pytest.approx(tuple(compliance @ forces))


def test_a_worn_rough_blade_moves_the_finish_bore() -> None:
    """198.75 N more on the leader: 11.334 µm over its life and back at its change; the tolerance was ± 4."""
    assert followed_um(0.0, 300.0, BETWEEN, 198.75 / 20.0, 20.0) == pytest.approx(11.334, abs=6e-4)


@pytest.mark.parametrize(("force", "share", "form"), [(312.15, 0.2, 3.56)])
def test_unsteady_force_prints_a_form(force: float, share: float, form: float) -> None:
    """A fifth of the rough blade's force in skin (assumed) prints some micrometres of roundness."""
    assert unsteady_um(BETWEEN, share, force) == pytest.approx(form, abs=6e-3)
