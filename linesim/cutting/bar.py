"""Blades on one bar in one stroke: how the leading blade moves the one that follows.

The follower is pushed by the leader's force at that moment. So two blades in one stroke are one cut as far as the
unevenness of the casting goes; in two strokes their copying factors multiply.

Sources: beam theory (from memory, standard); coupling derived. A US Army boring-bar manual (TM 9-4910-579-14&P, read)
names a roughing tool worn down and then a new finishing tool as a cause of varying bore size. The unsteadiness of the
leader's force (0.2 in skin, 0.1 in sound metal) is an assumption.
"""

from __future__ import annotations

import math

from linesim.law import law

UNSTEADY_IN_SKIN, UNSTEADY = 0.2, 0.1
"""Share of the leader's force that is unsteady, in the casting's skin and in sound metal (assumed)."""

TANGENTIAL_ADDED = 0.3
"""What wear adds to the tangential force over what it adds to the radial one: 150 over 500 N/mm² (assumed)."""


@law
def cantilever_um_n(
    near_mm: float, far_mm: float, diameter_mm: float, modulus_n_mm2: float, machine_n_um: float
) -> float:
    """Compliance between two stations of a bar held at one end: x1**2 (3 x2 - x1) / (6 E I) + 1 / k.

    Parameters
    ----------
    near_mm, far_mm : float, mm
        Stations from the held end, near at most far.
    diameter_mm : float, mm
    modulus_n_mm2 : float, N/mm²
    machine_n_um : float, N/µm
        Machine, fixture and work.

    Returns
    -------
    float, µm/N
        What a force of one newton at one station moves the other one, the same both ways.
    """
    section_mm4 = math.pi * (diameter_mm * diameter_mm) * (diameter_mm * diameter_mm) / 64.0
    bent_mm_n = near_mm * near_mm * (3.0 * far_mm - near_mm) / (6.0 * modulus_n_mm2 * section_mm4)
    return 1000.0 * bent_mm_n + 1.0 / machine_n_um


@law
def between_bearings_um_n(
    station_mm: float, force_mm: float, span_mm: float, diameter_mm: float, modulus_n_mm2: float
) -> float:
    """Compliance of a line bar between two free bearings, without the machine's own.

    Parameters
    ----------
    station_mm, force_mm : float, mm
        Where it is read and where the force acts, from one bearing.
    span_mm, diameter_mm : float, mm
    modulus_n_mm2 : float, N/mm²

    Returns
    -------
    float, µm/N
    """
    near_mm, far_mm = min(station_mm, force_mm), max(station_mm, force_mm)
    rest_mm = span_mm - far_mm
    section_mm4 = math.pi * (diameter_mm * diameter_mm) * (diameter_mm * diameter_mm) / 64.0
    inside = span_mm * span_mm - rest_mm * rest_mm - near_mm * near_mm
    return 1000.0 * rest_mm * near_mm * inside / (6.0 * modulus_n_mm2 * section_mm4 * span_mm)


@law
def tandem_shares(
    leader_n_um: float, follower_n_um: float, across: float,
    leader_um_n: float, between_um_n: float, follower_um_n: float, cosine: float,
) -> tuple[float, float]:  # fmt: skip
    """Shares of the unevenness that the leader finds which the leader and the follower leave, both cutting at once.

    Parameters
    ----------
    leader_n_um, follower_n_um : float, N/µm
        Cutting stiffness of each, 0 or more.
    across : float
        What one newton of the leader's radial force is in the follower's radial direction: the cosine of the angle
        between the blades plus its sine times the leader's tangential over its radial stiffness.
    leader_um_n, between_um_n, follower_um_n : float, µm/N
        Compliance at the leader's station, between the two, and at the follower's.
    cosine : float
        Of the angle between the blades, by which the follower's force acts on the leader.

    Returns
    -------
    tuple of float, float
        Left by the leader, left by the follower; a minus is on the other side of the bore.

    Notes
    -----
    With y = W F: F_a = k_a (g - y_a), F_b = k_b (y_a - y_b), solved for g = 1.
    """
    lead_a = 1.0 + leader_n_um * leader_um_n
    lead_b = leader_n_um * cosine * between_um_n
    follow_a = follower_n_um * (across * between_um_n - leader_um_n)
    follow_b = 1.0 + follower_n_um * (follower_um_n - cosine * between_um_n)
    determinant = lead_a * follow_b - lead_b * follow_a
    force_a = leader_n_um * follow_b / determinant
    force_b = -leader_n_um * follow_a / determinant
    left_by_leader = leader_um_n * force_a + cosine * between_um_n * force_b
    return left_by_leader, across * between_um_n * force_a + follower_um_n * force_b


@law
def followed_um(share: float, found_um: float, across_um_n: float, pushed_um: float, stiffness_n_um: float) -> float:
    """What the blade that leads adds to the error of the one that follows, in the same stroke.

    Parameters
    ----------
    share : float
        Left by the follower of the unevenness that the leader finds, beyond what each leaves for itself.
    found_um : float, µm
        Error that the leader finds at this place.
    across_um_n : float, µm/N
        What one newton that wear adds to the leader's radial force moves the follower.
    pushed_um, stiffness_n_um : float, µm, N/µm
        By how much wear has pushed the leader away, and against which stiffness: their product is the force added.

    Returns
    -------
    float, µm

    >>> followed_um(0.01, 300.0, 0.05, 2.0, 10.0)
    4.0
    """
    return share * found_um + across_um_n * (pushed_um * stiffness_n_um)


@law
def unsteady_um(across_um_n: float, share: float, force_n: float) -> float:
    """Form that the leader's unsteady force prints into the follower's bore: w phi F."""
    return across_um_n * share * force_n
