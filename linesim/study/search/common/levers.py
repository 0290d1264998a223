"""Levers beside the intervals that a search may move: where fresh edges are aimed, and what gauges do with readings.

An aim is sought where a set makes the last cut of a feature whose size costs something or is gauged, and no gauge
corrects that cut; share, dead band and one part in how many where a gauge corrects one (what a gauge that only sorts
reads is for the control plan to say). Those of a whole line are in `line_levers`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from linesim.cutting.error_terms import worn_um
from linesim.plan.levers import centred_um
from linesim.plan.mounted import PlannedSet
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, conditions_of
from linesim.study.crew.parcels import plan_at_hand
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.line_levers import changes_of_line, line_levers, value_on_line
from linesim.works import Works
from linesim.works.policies import Policy
from linesim.works.setting import Aim, CorrectionChange

__all__ = ["centred_values", "levers_of", "levers_under", "with_levers"]

_GRID_UM = 0.5
_GRID_SHARE = 0.05
_FARTHEST_UM = 1000.0
_FULL = 1.0
_OF_LINE = ("batches", "overhauls", "sequences")
_MOST_SELDOM = 4.0
"""No gauge is tried that reads a smaller share of parts than a quarter of what the policy has it read."""
_LEAST_STEP_UM = 1.0
_STEP_SHARE = 0.4


def levers_of(works: Works, policy: str) -> tuple[Lever, ...]:
    """The levers that matter in a works, with steps in proportion to what the edges drift.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        Whose intervals the drift is worked out for.

    Returns
    -------
    tuple of Lever
        Aims in the order of the routing, then gauges, batches and overhauls.
    """
    plan = plan_at_hand(works, policy)
    read = set(plan.gauges.feature[plan.gauges.reads_size != 0].tolist())
    features = [feature for line in works.lines.values() for feature in line.features.values()]
    costly = [
        number in read or (feature.size is not None and feature.size.loss_at_limit > 0.0)
        for number, feature in enumerate(features)
    ]
    return (*_aims(plan, costly), *_corrections(plan), *line_levers(plan))


def levers_under(works: Works, policy: str, levers: Iterable[Lever]) -> tuple[float, ...]:
    """Values of levers as a policy has them."""
    plan = plan_at_hand(works, policy)
    gauges = plan.gauges
    columns = {
        "aim": plan.cuts.aim_um, "share": gauges.correction_share, "dead band": gauges.dead_band_um,
        "every": gauges.every,
    }  # fmt: skip
    values = (
        (lever, float(columns[lever.kind][lever.at]) if lever.kind in columns else value_on_line(plan, lever))
        for lever in levers
    )
    return tuple(lever.snapped(value if math.isfinite(value) else 0.0) for lever, value in values)


def centred_values(works: Works, policy: Policy, values: Sequence[float], levers: Sequence[Lever]) -> tuple[float, ...]:
    """The same values with every aim as makes the mean of the drift 0 over the intervals of a policy."""
    plan = plan_at_hand(works.model_copy(update={"policies": {"trial": policy}}), "trial")
    return tuple(
        lever.snapped(centred_um(_set_of(plan, lever.at), lever.at)[0]) if lever.kind == "aim" else value
        for lever, value in zip(levers, values, strict=True)
    )


def with_levers(policy: Policy, levers: Iterable[Lever], values: Iterable[float]) -> Policy:
    """A policy with the values of levers in place of its own."""
    aims: dict[str, Aim] = dict(policy.aims)
    changes = {name: change.model_dump(exclude_none=True) for name, change in policy.corrections.items()}
    of_line: dict[str, dict[str, Any]] = {name: dict(getattr(policy, name)) for name in _OF_LINE}
    for lever, value in zip(levers, values, strict=True):
        if lever.kind == "aim":
            aims[lever.key] = value
        elif lever.kind in ("batches", "overhaul", "sequence"):
            entry, change = changes_of_line(lever, value)
            of_line[entry][lever.key] = change
        else:
            name = lever.kind.replace(" ", "_")
            before = changes.get(lever.key, changes.get(lever.key.partition(" / ")[2], {}))
            changes[lever.key] = {**before, name: round(value) if lever.kind == "every" else value}
    corrections = {name: CorrectionChange(**change) for name, change in changes.items()}
    return policy.model_copy(update={"aims": aims, "corrections": corrections, **of_line})


def _aims(plan: Plan, costly: Sequence[bool]) -> Iterator[Lever]:
    last = {int(feature): cut for cut, feature in enumerate(plan.cuts.feature.tolist())}
    corrected = set(plan.gauges.corrects_cut.tolist())
    known: set[str] = set()
    for feature, cut in sorted(last.items(), key=lambda item: item[1]):
        of = _set_of(plan, cut)
        key = f"{plan.names.operations[of.number]} / {_kind_of(plan, of)}"
        if not costly[feature] or cut in corrected or key in known:
            continue
        known.add(key)
        scatter = float(plan.kinds.setting_error_um[plan.mounts.kind[of.mount]] + plan.cuts.repeatability_um[cut])
        share = min(of.interval.parts / of.parts_per_edge, 1.0) if math.isfinite(of.parts_per_edge) else 0.0
        step = max(0.5 * share * worn_um(conditions_of(plan.cuts, cut), 1.0), scatter, _LEAST_STEP_UM)
        yield Lever("aim", key, step, -_FARTHEST_UM, _FARTHEST_UM, _GRID_UM, cut)


def _corrections(plan: Plan) -> Iterator[Lever]:
    for gauge, cut in enumerate(plan.gauges.corrects_cut.tolist()):
        if cut == NONE:
            continue
        operation = next(at for at, end in enumerate(plan.operations.end_gauge.tolist()) if gauge < end)
        key = f"{plan.names.operations[operation]} / {plan.names.gauges[gauge]}"
        scatter = float(plan.gauges.error_um[gauge] + plan.cuts.repeatability_um[cut])
        yield Lever("share", key, _STEP_SHARE, _GRID_SHARE, _FULL, _GRID_SHARE, gauge)
        yield Lever("dead band", key, max(scatter, _LEAST_STEP_UM), 0.0, _FARTHEST_UM, _GRID_UM, gauge)
        every = float(plan.gauges.every[gauge])
        yield Lever("every", key, max(0.5 * every, 1.0), 1.0, _MOST_SELDOM * every, 1.0, gauge)


def _set_of(plan: Plan, cut: int) -> PlannedSet:
    """The set that makes a cut."""
    stroke = next(at for at, end in enumerate(plan.strokes.end_cut.tolist()) if cut < end)
    ends = plan.operations.end_stroke.tolist()
    operation = next(at for at, end in enumerate(ends) if stroke < end)
    return PlannedSet(plan, operation, int(plan.cuts.slot[cut]))


def _kind_of(plan: Plan, of: PlannedSet) -> str:
    return plan.names.kinds[int(plan.mounts.kind[of.mount])]
