"""Which runs go with what has survived so far: edges that have come whole, and not worn out, to the parts stated."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from scipy import special

from linesim.chance import Purpose, uniforms
from linesim.cutting.knowing import kind_life_factor
from linesim.cutting.life import edge_life_factor, wear_land_mm
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats

__all__ = ["RARE", "Survived", "survivors"]

RARE = 0.02
"""A state to which fewer edges than this come by the scenario's figures is taken as stated, and said to be strange."""

_FIRST = 400
_MOST = 200_000
"""Luck drawn for one forecast at most, edge by edge."""
_OWN_INDEX = 2**45
"""Index of the draws by which a run is taken or left: far behind any edge that a mount ever has."""


class Survived(NamedTuple):
    """Runs that go with the state.

    Attributes
    ----------
    replications : list of int
        Whose edges have come as far as stated.
    shares : dict of int to float
        By mount: share of all edges that come as far; only those that have done parts.
    strange : list of int
        Mounts whose edges hardly ever come as far by the scenario's figures; their state is taken as stated.
    """

    replications: list[int]
    shares: dict[int, float]
    strange: list[int]


class _Mount(NamedTuple):
    """One edge that has done parts, with the laws of its life."""

    mount: int
    kind: int
    share: float
    life_cv: float
    known_sigma: float
    shape: float
    scale: float
    looks: Floats
    """Life shares of an average edge at the looks that left it in."""
    past_mm: float
    error_mm: float
    land: tuple[float, ...]


def survivors(plan: Plan, seed: int, count: int, first: int = 0) -> Survived:
    """The first replications whose edges would have come to the state that a plan begins from.

    A run draws the life of an edge that has done parts as that of any edge. Of all runs those are taken in which it
    has lasted so long: each with the chance that an edge of this life has not broken at the parts stated and was left
    in by every look at it. What is taken follows the lives of edges given what they have survived, exactly.

    Parameters
    ----------
    plan : Plan
        What is run.
    seed : int
        Key of all chance.
    count : int
        Runs wanted.
    first : int
        Replication to begin with.

    Returns
    -------
    Survived
        Fewer runs than wanted only where hardly any goes with the state.
    """
    mounts = [*_mounts(plan)]
    trial = range(first, first + min(_FIRST, max(1, _MOST // max(1, len(mounts)))))
    shares = {each.mount: float(np.mean([_chance(each, seed, at) for at in trial])) for each in mounts}
    strange = [mount for mount, share in shares.items() if share < RARE]
    asked = [each for each in mounts if each.mount not in strange]
    replications: list[int] = []
    at, last = first, first + max(count, _MOST // max(1, len(asked)))
    while len(replications) < count and at < last:
        if all(_luck(seed, at, each.mount) < _chance(each, seed, at) for each in asked):
            replications.append(at)
        at += 1
    return Survived(replications, shares, strange)


def _luck(seed: int, replication: int, mount: int) -> float:
    return uniforms(seed, replication, Purpose.EDGE, mount, _OWN_INDEX, 0)[0]


def _mounts(plan: Plan) -> Iterator[_Mount]:
    begins = plan.begins
    for mount in np.flatnonzero(begins.parts > 0).tolist() if begins is not None else []:
        assert begins is not None
        k, rule, parts = int(plan.mounts.kind[mount]), int(plan.mounts.rule[mount]), int(begins.parts[mount])
        kinds, rules, per_part = plan.kinds, plan.rules, float(begins.share_per_part[mount])
        first, every = float(rules.first_look[rule]), float(rules.interval[rule])
        looks: Floats = np.arange(min(first, parts + 1.0), parts + 0.5, every) * per_part
        yield _Mount(
            mount, k, parts * per_part, float(kinds.life_cv[k]), float(kinds.known_sigma[k]),
            float(kinds.break_shape[k]), float(kinds.break_scale[k]), looks, float(rules.limit_mm[rule]),
            float(rules.look_error_mm[rule]),
            tuple(float(getattr(kinds, name)[k]) for name in ("wear_limit_mm", "wear_b", "wear_tau", "wear_gamma")),
        )  # fmt: skip


def _chance(of: _Mount, seed: int, replication: int) -> float:
    """The chance that an edge of the life that this run draws has come as far as stated."""
    factor = edge_life_factor(of.life_cv, uniforms(seed, replication, Purpose.EDGE, of.mount, 0, 0)[0])
    if of.known_sigma > 0.0:
        luck = uniforms(seed, replication, Purpose.KIND_LIFE, of.kind, 0, 0)[0]
        factor *= kind_life_factor(of.known_sigma, luck)
    chance = 1.0 if math.isinf(of.scale) else math.exp(-((of.share / factor / of.scale) ** of.shape))
    for look in of.looks:
        gap_mm = of.past_mm - wear_land_mm(float(look) / factor, *of.land)
        if of.error_mm > 0.0:
            chance *= float(special.ndtr(gap_mm / of.error_mm))
        elif gap_mm <= 0.0:
            return 0.0
    return chance
