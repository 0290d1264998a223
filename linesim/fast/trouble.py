"""Hidden faults: a machine turns bad unseen, and is set right once a gauge has found it."""

from __future__ import annotations

from linesim.chance import normals
from linesim.fast import codes, steps
from linesim.fast.common import add, count, enter, four_uniforms, minutes_of
from linesim.fast.compiled import compiled
from linesim.fast.drawers import machine_at, operation_at, visit_at
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.state import Line, Machine, World


@compiled
def meet_fault(w: World, m: Machine) -> float:
    """A part is clamped: the machine may turn bad, and if it is, it shifts the cuts. Returns by how much, µm."""
    spec, ordinal = operation_at(w.operations, m.operation), m.begun
    m.begun += 1
    if m.is_bad == 0 and four_uniforms(w, codes.PURPOSE_FAULT, m.index, ordinal, 0)[0] < spec.fault_chance:
        m.is_bad, m.bad_since_min = 1, m.now
        m.spell += 1
        count(w.turned_bad, m.index)
    m.fault_um = 0.0
    if m.is_bad:
        normal = normals(w.seed, w.replication, codes.PURPOSE_FAULT, m.index, ordinal, 1)[0]
        m.fault_um = spec.fault_moved_um + spec.fault_scatter_um * normal
        count(w.made_bad, m.index)
        visit_at(w.visits, m.part * w.most_operations + m.position).fault = m.spell
    return m.fault_um


@compiled
def fault_found(w: World, machine: int, spell: int, gauge: int) -> None:
    """A gauge has turned a part down for the fault of this spell."""
    m = machine_at(w.machines, machine)
    if m.is_bad and m.is_found == 0 and m.spell == spell:
        m.is_found = 1
        count(w.faults_found, machine)
        count(w.found_by, gauge * w.n_operations + m.operation)
        add(w.unfound_min, machine, w.now - m.bad_since_min)


@compiled
def count_shipped_faults(w: World, row: Line, part: int, is_out: bool) -> None:
    """Count a shipped part for each operation whose machine was bad as it cut it."""
    for position in range(row.end_operation - row.first_operation):
        if visit_at(w.visits, part * w.most_operations + position).fault > 0:
            count(w.bad_shipped, row.first_operation + position)
            if is_out:
                count(w.bad_shipped_out, row.first_operation + position)


@compiled
def see_to_fault(w: World, m: Machine, step: int) -> int:
    """Steps of a machine that is known to be bad. Returns the step after."""
    if step == steps.CALL_FOR_RIGHTING:
        return _call_for_righting(w, m)
    return _set_right(w, m) if step == steps.RIGHTING else _righted(w, m)


@compiled
def _call_for_righting(w: World, m: Machine) -> int:
    """Call a setter, where the operation has any."""
    setters = operation_at(w.operations, m.operation).setters
    return call_people(w, m, setters, codes.STATE_WAITING_FOR_SETTER, steps.RIGHTING)


@compiled
def _set_right(w: World, m: Machine) -> int:
    """Setting the machine right takes its minutes."""
    enter(w, m, codes.STATE_SETTING_RIGHT)
    time = operation_at(w.operations, m.operation).fault_time
    return work(w, m, minutes_of(w, time, codes.PURPOSE_RIGHTING, m.index, m.spell), steps.RIGHTED)


@compiled
def _righted(w: World, m: Machine) -> int:
    """The machine is good again; its cutters are seen to next."""
    let_go(w, m)
    m.is_bad = m.is_found = 0
    return steps.GOT_PART
