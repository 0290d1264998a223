"""Orders that take no time, carried out on the floor: rules, changes, offsets, chips, gauges, whom a setter serves."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from linesim.floor.decider import Decider
from linesim.floor.run import Floor
from linesim.plan.tables import NONE
from linesim.rules import kind_of
from linesim.training import orders as kinds
from linesim.training.binding import Bound, Looks
from linesim.training.directory import Directory
from linesim.training.holding import InHand, ordered_rule

__all__ = ["Ordered"]


class Ordered(Decider):
    """A floor on which orders take hold.

    Parameters
    ----------
    directory : Directory
        Names of the plan.
    looks : Looks
        What a look takes.
    """

    def __init__(self, directory: Directory, looks: Looks) -> None:
        self.directory = directory
        self.looks = looks
        self.chip_ways: dict[int, tuple[int, float, float]] = {}
        """By operation: the time of cleaning, and the chance of a chip with it and without."""
        self.bound: list[Bound] = []
        """Orders that have taken hold, in that order."""
        self.true_wear: dict[int, list[tuple[str, float]]] = defaultdict(list)
        """By decision: the sets that it concerned and their life shares then; for the debrief alone."""
        self.priority: dict[int, list[int]] = {}

    def take_over(self, floor: Floor) -> None:
        """The shift begins: rules come into the trainee's hands."""
        self.floor = floor
        self.site = floor.site
        self.mounts = {mount.index: mount for machine in floor.machines.values() for mount in machine.mounts}
        self.held = {index: InHand(self.mounts[index].rule) for index in self.mounts}
        ways, rows = self.site.plan.rules.way, self.site.rows.mounts
        for index, mount in self.mounts.items():
            mount.rule = self.held[index]
            if not kind_of(ways[rows[index].rule]).looks:
                mount.look_as = (self.looks.minutes, self.looks.error_mm)

    def take_hold(self, bound: Bound) -> None:
        """Carry out an order that takes no time, where it is bound to."""
        self.bound.append(bound)
        order = bound.order
        match order:
            case kinds.RuleOrder() | kinds.Change() | kinds.Leave():
                self._at_sets(order, bound.number)
            case kinds.Offset():
                for machine in self.directory.machines(order.machine):
                    cut = self.directory.cut(machine, order.cut)
                    mount = self.floor.machines[machine].mounts[self.site.rows.cuts[cut].slot]
                    # Where the set is about to be changed, the new edge is set so.
                    is_due = self.held[mount.index].is_due(mount.edge, self.site.by_calendar(self.site.env.now))
                    offsets = mount.preset if is_due else mount.offsets
                    offsets[cut] = offsets.get(cut, 0.0) + order.deeper
            case kinds.Chips():
                for machine in self.directory.machines(order.machine):
                    self.set_chips(machine, order.clean)
            case kinds.GaugeNow():
                gauge, machines = self.directory.gauge(order.gauge)
                for machine in machines:
                    self.floor.machines[machine].gauge_once.add(gauge)
            case kinds.GaugeEvery() | kinds.Correct():
                self._at_gauge(order)
            case kinds.First():
                served = [machine for name in order.machines for machine in self.directory.machines(name)]
                self.priority[self.directory.pool(order.people)] = served

    def _at_sets(self, order: Any, number: int) -> None:
        """Orders for mounted sets."""
        for machine in self.directory.machines(order.machine):
            for index in self.directory.mounts(machine, order.set):
                held, mount = self.held[index], self.mounts[index]
                self.true_wear[number].append((mount.edge.set_name, mount.life_share))
                if isinstance(order, kinds.RuleOrder):
                    held.rule = (
                        held.plans if order.rule == "the plan's" else ordered_rule(order.rule, mount, self.site.plan)
                    )
                elif isinstance(order, kinds.Leave):
                    held.leave_until = mount.edge.parts + order.parts
                else:
                    held.is_wanted = True
                    mount.is_given_up = order.dull == "given up"

    def _at_gauge(self, order: Any) -> None:
        """Orders on how a gauge is used; the row of the gauge is the trainee's own from now on."""
        gauge, _ = self.directory.gauge(order.gauge)
        row = self.site.rows.gauges[gauge]
        if isinstance(order, kinds.GaugeEvery):
            self.site.rows.gauges[gauge] = row._replace(every=order.parts)
            return
        row = row._replace(correction_share=order.share, dead_band_um=order.dead_band)
        if row.corrects_cut < 0 <= row.recut_cut:
            row = row._replace(corrects_cut=row.recut_cut, corrects_operation=row.maker_operation)
        self.site.rows.gauges[gauge] = row if order.share > 0.0 else row._replace(corrects_cut=-1)

    def set_chips(self, machine: int, is_cleaned: bool) -> None:
        """Clean the locating faces at a machine's operation from now on, or leave it."""
        operation = self.directory.operation_of[machine]
        time, cleaned, uncleaned = self.chip_ways[operation]
        row = self.site.rows.operations[operation]
        changed = row._replace(
            chip_clean_time=time if is_cleaned else NONE, chip_chance=cleaned if is_cleaned else uncleaned
        )
        self.site.rows.operations[operation] = changed
        for other in range(row.first_machine, row.end_machine):
            self.floor.machines[other].spec = changed
