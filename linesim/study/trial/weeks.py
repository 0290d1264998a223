"""One run week by week, as whoever carries out a trial sees it: changes, readings before them, scrap, loss, money."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from linesim.cutting.component import Component
from linesim.cutting.life import wear_land_mm
from linesim.fast.run import FastFloor
from linesim.floor.part import Part
from linesim.floor.run import Floor
from linesim.ledger import ITEMS, Item, Ledger
from linesim.plan.plan import Plan
from linesim.plan.states import State
from linesim.plan.tally import Tally
from linesim.result.lines import line_columns
from linesim.study.search.common.set_at import SetAt
from linesim.study.trial.quantities import Surface
from linesim.works import Works

__all__ = ["Seen", "TrialWeek", "weeks_of_trial"]

BROKEN = "broken"


class Seen(NamedTuple):
    """What is seen at one change of the set.

    Attributes
    ----------
    is_broken : bool
        Whether an edge had broken; then nothing is read.
    parts : float
        Since the last change.
    wear_mm, size_um, ra_um : float
        Wear land of an average edge of that share of life; size as the drawing reads it less the aim, and Ra, of the
        last part; not a number where the set leaves nothing that a gauge reads.
    """

    is_broken: bool
    parts: float
    wear_mm: float
    size_um: float
    ra_um: float


class TrialWeek(NamedTuple):
    """One week.

    Attributes
    ----------
    seen : tuple of Seen
        Changes of the set on all machines of its operation, in time.
    scrap, shipped : float
        Parts of its line scrapped and shipped.
    loss, money : float
        Quality loss of its line; worth of all good parts less all costs of the works; in the scenario's currency.
    """

    seen: tuple[Seen, ...]
    scrap: float
    shipped: float
    loss: float
    money: float


@dataclass
class _Listener:
    """Hears of the set's changes, and knows the last part that each machine has done."""

    plan: Plan
    surface: Surface | None
    mounts: frozenset[int]
    machines: frozenset[int]
    at: int
    seen: list[Seen] = field(default_factory=list)
    last: dict[int, tuple[float, float]] = field(default_factory=dict)

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Of no interest here."""

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:  # noqa: ARG002
        """Note what the machine has left on the part."""
        if what == "complete" and machine in self.machines and self.surface is not None:
            error = float(part.values_um(Component.SIZE)[self.at]) * self.surface.scale
            size = error if self.surface.scale else np.nan
            self.last[machine] = (size, float(part.values_um(Component.ROUGHNESS)[self.at]))

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:  # noqa: ARG002
        """Note the change."""
        if mount not in self.mounts:
            return
        kinds, kind = self.plan.kinds, int(self.plan.mounts.kind[mount])
        curve = (float(getattr(kinds, name)[kind]) for name in ("wear_limit_mm", "wear_b", "wear_tau", "wear_gamma"))
        size, ra = self.last.get(machine, (np.nan, np.nan))
        self.seen.append(Seen(why.startswith(BROKEN), float(parts), wear_land_mm(life_share, *curve), size, ra))


def weeks_of_trial(
    works: Works, plan: Plan, ledger: Ledger, set_at: SetAt, surface: Surface | None, run: tuple[int, int, int, str]
) -> Iterator[TrialWeek]:
    """Run a plan week by week.

    Parameters
    ----------
    works, plan, ledger : Works, Plan, Ledger
        What is run; first its warm-up, of which nothing is counted.
    set_at : SetAt
        The set.
    surface : Surface or None
        What it leaves.
    run : (int, int, int, str)
        Seed, replication, weeks, engine.

    Yields
    ------
    TrialWeek
    """
    seed, replication, count, engine = run
    listener = _listener(works, plan, set_at, surface)
    floor = (FastFloor if engine == "fast" else Floor)(plan, seed, replication, [listener])
    week_min = works.calendar.minutes_per()["week"]
    floor.run_until(plan.warm_up_min)
    for number in range(1, count + 1):
        floor.start_counting()
        listener.seen.clear()
        floor.run_until(plan.warm_up_min + number * week_min)
        yield _week(works, plan, set_at, ledger, (floor.finish(), listener.seen))


def _listener(works: Works, plan: Plan, set_at: SetAt, surface: Surface | None) -> _Listener:
    """Whoever listens at all operations of the set's name on its line."""
    line = list(works.lines).index(set_at.line)
    names = [name for of in works.lines.values() for name in of.operations]
    first = next(at for at, name in enumerate(names) if name == set_at.operation and plan.operations.line[at] == line)
    machines = np.flatnonzero(plan.machines.operation == first)
    kind = plan.names.kinds.index(set_at.cutter)
    mounts = np.flatnonzero(np.isin(plan.mounts.machine, machines) & (plan.mounts.kind == kind))
    at = 0
    if surface is not None:
        features = [(name, feature) for name in works.lines for feature in works.lines[name].features]
        at = int(plan.features.first_place[features.index((set_at.line, surface.feature))])
    return _Listener(plan, surface, frozenset(mounts.tolist()), frozenset(machines.tolist()), at)


def _week(works: Works, plan: Plan, set_at: SetAt, ledger: Ledger, seen: tuple[Tally, list[Seen]]) -> TrialWeek:
    tally, line = seen[0], list(works.lines).index(set_at.line)
    sums, hours = ledger.sums(tally), tally.counted_min / 60.0
    loss = sums[:, ITEMS.index(Item.QUALITY_LOSS.value)]
    columns = line_columns(works, plan, tally, sums.sum(axis=1), loss)
    money = float(columns["contribution_per_hour"].sum()) * hours
    scrap, shipped = float(tally.scrapped_parts[line]), float(tally.shipped[line])
    return TrialWeek(tuple(seen[1]), scrap, shipped, float(loss[line]) / 100.0, money)
