"""Sentences on magazines, rules by load and unseen breaks: changes without a stop, false alarms, what was missed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesim.ledger.sharing import summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.result.floor_tables import by_operation
from linesim.words import keep
from linesim.works.model import Works

__all__ = ["load_sentences", "magazine_sentences", "unseen_sentences"]

_MANY, _SHARE = 10, 0.3
"""From so many false or missed alarms on, and from this share of the right ones on, they are worth a sentence."""


def magazine_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Operations whose machines hold sister cutters: changes in the cycle, and stops."""
    of_mount = plan.machines.operation[plan.mounts.machine]
    operations = len(plan.operations.line)
    changes = summed(of_mount, tally.planned + tally.joined + tally.unplanned, operations)
    in_cycle = summed(of_mount, tally.taken_over, operations)
    stops = by_operation(plan, tally.stops)
    names = {station.number: station.location.operation for station in stations_of(works, plan)}
    for operation in np.flatnonzero(plan.magazines.is_here * changes > 0).tolist():
        yield keep(
            "findings.sisters", changes=changes[operation], operation=names[operation], sisters=in_cycle[operation],
            stops=stops[operation],
        )  # fmt: skip


def load_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Cutters changed for the spindle's load too often or too late, with both counts and what to do."""
    names = {
        station.number: (station.location.line, station.location.operation) for station in stations_of(works, plan)
    }
    of_mount = plan.machines.operation[plan.mounts.machine]
    pairs = sorted({(int(at), int(kind)) for at, kind in zip(of_mount, plan.mounts.kind, strict=True)})
    for operation, kind in pairs:
        here = (of_mount == operation) & (plan.mounts.kind == kind)
        alarms, false, missed = (
            int(each[here].sum()) for each in (tally.load_alarms, tally.load_false, tally.load_missed)
        )
        right = alarms - false
        if not (false >= max(_MANY, _SHARE * right) or missed >= max(_MANY, _SHARE * right)):
            continue
        line, name = names[operation]
        rule = int(plan.mounts.rule[np.flatnonzero(here)[0]])
        heats = works.lines[line].casting.heats
        is_misled = heats is not None and heats.force > 0.0 and not plan.rules.load_per_heat[rule]
        yield keep(
            "findings.load_alarms", alarms=alarms, cutter=plan.names.kinds[kind], operation=name, false=false,
            missed=missed, cure=_cure(is_misled, false > missed, int(plan.rules.load_readings[rule])),
        )  # fmt: skip


def _cure(is_misled: bool, is_false: bool, readings: int) -> str:
    """What to do about it."""
    if is_misled:
        return keep("findings.cure_heats")
    if is_false:
        return keep("findings.cure_false")
    return keep("findings.cure_missed_mean" if readings > 1 else "findings.cure_missed")


def unseen_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Cutters that broke unseen: what was cut with them, what of it went on, and whether a probe finds them."""
    names = {station.number: station.location.operation for station in stations_of(works, plan)}
    of_mount = plan.machines.operation[plan.mounts.machine]
    for operation in range(len(plan.operations.line)):
        here = of_mount == operation
        broke, cut, probed = (
            int(each[here].sum()) for each in (tally.broke_unseen, tally.cut_unseen, tally.probe_found)
        )
        if broke == 0:
            continue
        spec = works.lines[plan.names.lines[int(plan.operations.line[operation])]].operations[names[operation]]
        yield keep(
            "findings.broke_unseen", operation=names[operation], cutters=keep("findings.cutters", count=broke),
            parts=keep("findings.parts_were", count=cut),
            probe=keep("findings.probe_found", found=probed) if spec.breakage_probe else keep("findings.no_probe"),
        )  # fmt: skip
