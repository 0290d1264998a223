"""A floor that begins from a given state: used edges, parts that wait, machines that are down, warmth."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.cutting.error_terms import worn_um
from linesim.cutting.life import edge_break_share_after, wear_growth
from linesim.floor.buffer import Buffer
from linesim.floor.holding import held_of
from linesim.floor.machine import Machine
from linesim.floor.mishaps import disturb, scratch_on_the_way
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.stroke import apply_cuts
from linesim.floor.yard import Yard
from linesim.plan.magazines import mounted_sets
from linesim.plan.tables import Begins
from linesim.rules.looking import parts_since_look

__all__ = ["fill_shelves", "rounds_of", "stand_as_now"]

Steps = Generator[Event, Any, Any]


def stand_as_now(
    site: Site, begins: Begins, machines: dict[int, Machine], yards: list[Yard], buffers: dict[int, Buffer]
) -> None:
    """Put everything as it stands when the run begins.

    Parameters
    ----------
    site : Site
        Nothing has happened on it yet.
    begins : Begins
        How it stands.
    machines, yards, buffers
        All of the floor; machines and buffers by their number in the plan.
    """
    for index, machine in machines.items():
        machine.warmth.warmth = float(begins.warmth[index])
        for mount in machine.mounts:
            _use(site, begins, mount)
    for line, yard in enumerate(yards):
        first, end = yard.first_operation, int(site.plan.lines.end_operation[line])
        for operation in reversed(range(first, end)):
            for _ in range(int(begins.waiting[operation])):
                part = yard.bring_in()
                for before in range(first, operation):
                    _make(site, part, machines[site.rows.operations[before].first_machine])
                if operation == first:
                    yard.standing.append(part)
                else:
                    buffers[operation].parts.append((0.0, part))
                    # A conveyor that does not accumulate stands from now on, if the first part is not taken at once.
                    site.foreman.call(buffers[operation].number)


def rounds_of(begins: Begins | None, machine: Machine) -> Steps:
    """A machine's round, for ever; where it is down as the run begins, once it is repaired."""
    if begins is not None and begins.down_min[machine.index] > 0.0:
        yield from machine.spindle.finish_repair(float(begins.down_min[machine.index]))
    yield from machine.run()


def _use(site: Site, begins: Begins, mount: Mount) -> None:
    """The edge has done its parts, whole so far; where a gauge sets its offset, what it has worn is taken out."""
    parts, kind, edge = int(begins.parts[mount.index]), mount.kind, mount.edge
    if parts == 0:
        return
    mount.life_share = parts * float(begins.share_per_part[mount.index]) / mount.life_factor
    luck = site.timing.uniforms(Purpose.EDGE, mount.index, mount.ordinal)[1]
    mount.break_share = edge_break_share_after(mount.life_share, kind.break_shape, kind.break_scale, luck)  # type: ignore[arg-type]
    edge.parts, edge.cut_min = parts, parts * float(begins.min_per_part[mount.index])
    edge.mounted_min = site.by_calendar(-edge.cut_min)
    rules, rule = site.plan.rules, site.rows.mounts[mount.index].rule
    edge.parts_since_look = parts_since_look(parts, float(rules.interval[rule]), float(rules.first_look[rule]))
    mount.first_left, mount.is_rezeroed = 0, 0 < mount.rezero_parts <= parts
    for cut in mount.offsets:
        if begins.is_corrected[cut]:
            row = site.rows.cuts[cut]
            growth = wear_growth(mount.life_share, row.wear_b, row.wear_tau, row.wear_gamma)
            mount.offsets[cut] = mount.aim_now_um(row) + worn_um(site.conditions[cut], growth)


def _make(site: Site, part: Part, machine: Machine) -> None:
    """What an operation has done to a part that waits further down the line, as its first machine stands now."""
    part.comes_to(machine.position, machine.index)
    held, spec, operation = held_of(site, machine.index, part), machine.spec, machine.operation
    for stroke in range(spec.first_stroke, spec.end_stroke):
        row = site.rows.strokes[stroke]
        felt = machine.warmth.felt(held, 0.0)
        machine.warmth.runs(0.0, 0.0)
        apply_cuts(site, machine.mounts, part, range(row.first_cut, row.end_cut), felt, False)
    part.done_min.append(0.0)
    disturb(site, operation, machine.position, part)
    scratch_on_the_way(site, operation, machine.position, part)


def fill_shelves(site: Site) -> None:
    """What is not mounted at the start stands sharp in the crib, unless the works is said to stand otherwise."""
    mounted, crib, begins = mounted_sets(site.plan), site.crib, site.plan.begins
    for kind, count in enumerate(site.plan.kinds.sets.tolist()):
        for number in range(count - mounted[kind]):
            cutter_set = crib.new_set(kind)
            if begins is None or number < begins.sharp[kind]:
                crib.shelves[kind].put(cutter_set)
            elif number < begins.sharp[kind] + begins.at_grinder[kind]:
                crib.begin_at_grinder(cutter_set)
            else:
                crib.begin_on_order(cutter_set)
