"""Handling: time that is put into a part, loading it, and passing it on."""

from __future__ import annotations

from linesim.chance.addresses import cleaning_spot, loading_spot, round_tries, unloading_spot
from linesim.fast import codes, steps
from linesim.fast.changeover import before_part
from linesim.fast.changing import ask_rules
from linesim.fast.common import (
    call,
    enter,
    minutes_of,
    queue_claim,
    queue_giver,
    tell,
    tell_part,
    wait,
    wait_apart,
)
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import line_at, mount_at, operation_at, part_at, pool_at, visit_at
from linesim.fast.edges import count_part
from linesim.fast.flow import count_recut, scrap
from linesim.fast.holding import sit
from linesim.fast.load_monitor import count_part_if
from linesim.fast.mishaps import disturb, locate, scratch_on_the_way
from linesim.fast.plain import cut_plainly, give_directly, take_directly
from linesim.fast.room_side import HAS_ROOM, SWEPT, goes_on_to, is_stopped_at_the_door, keep, send_back
from linesim.fast.set_aside import dial_in, is_put_aside
from linesim.fast.state import Machine, World
from linesim.fast.trouble import meet_fault
from linesim.fast.unseen import is_hurt, is_probed_now
from linesim.plan.tables import NONE


@inlined
def put_in(w: World, m: Machine, time: int, purpose: int, spot: int) -> float:
    """A length of time that is put into the part, minutes."""
    minutes = minutes_of(w, time, purpose, spot, part_at(w.parts, m.part).serial)
    if minutes > 0.0 and line_at(w.lines, m.line).keeps_visits:
        visit_at(w.visits, m.part * w.most_operations + m.position).spent_min += minutes
    return minutes


@inlined
def spend(w: World, m: Machine, time: int, purpose: int, spot: int, step: int) -> int:
    """Let it pass, and go on at a step."""
    minutes = put_in(w, m, time, purpose, spot)
    if step == steps.CLEANED or step == steps.LOADED:  # noqa: PLR1714 - compiled code has no sets
        return wait_apart(w, m, minutes, step)
    return wait(w, m, minutes, step)


@inlined
def take(w: World, m: Machine) -> int:
    """Ask for a part; the cutters may be seen to before."""
    if w.is_eager:
        if m.is_asked == 0 and m.first_mount < m.end_mount:
            m.is_asked, m.cursor = 1, m.first_mount
            return steps.LOOK
        m.is_asked = 0
    if pool_at(w.pools, m.source).is_direct:
        return take_directly(w, m)
    if m.asks:
        return m.asks
    enter(w, m, codes.STATE_WAITING_FOR_PART)
    queue_claim(w, pool_at(w.pools, m.source), m.index)
    call(w, m.source)
    m.step = m.offered
    return steps.BLOCKED


@inlined
def got_part(w: World, m: Machine) -> int:
    """A part has been given; first the machine is set right if it is known to be bad, and the cutters are seen to."""
    if m.is_found | m.is_due | m.is_mixed:
        step = before_part(w, m)
        if step != steps.GOT_PART:
            return step
    m.serial = part_at(w.parts, m.part).serial
    m.cursor = m.first_mount
    if m.first_mount == m.end_mount:
        return steps.LOAD
    return steps.LOOK if m.has_looks else ask_rules(w, m)


@inlined
def begin_part(w: World, m: Machine) -> None:
    """The part at hand is begun; one that comes back repaired is cut again."""
    part = part_at(w.parts, m.part)
    part.tries = 0
    m.is_first_try = 1
    if line_at(w.lines, m.line).keeps_visits:
        visit = visit_at(w.visits, m.part * w.most_operations + m.position)
        visit.machine = m.index
        visit.fault = 0
        if part.rounds == 0:
            visit.spent_min = 0.0
        else:
            part.tries = round_tries(part.rounds)
            count_recut(w, m, codes.CAUSE_TEST)
    if w.is_traced:
        tell(w, steps.PART_LOADED, m.index, part.serial)


@inlined
def load(w: World, m: Machine) -> int:
    """The part comes onto the machine; the locating faces are cleaned where that is done."""
    if m.is_plain:
        return cut_plainly(w, m)
    if m.attends:
        return steps.LOAD_ATTENDED
    begin_part(w, m)
    enter(w, m, codes.STATE_LOADING)
    time = operation_at(w.operations, m.operation).chip_clean_time
    return spend(w, m, time, codes.PURPOSE_OTHER, cleaning_spot(m.operation), steps.CLEANED)


@inlined
def cleaned(w: World, m: Machine) -> int:
    """Loading takes its minutes."""
    time = operation_at(w.operations, m.operation).load_time
    return spend(w, m, time, codes.PURPOSE_OTHER, loading_spot(m.operation), steps.LOADED)


@inlined
def loaded(w: World, m: Machine) -> int:
    """The part is clamped."""
    m.lift_um = locate(w, m)
    if operation_at(w.operations, m.operation).fault_chance > 0.0:
        meet_fault(w, m)
    if w.is_held:
        sit(w, m)
        if m.is_bad:
            m.turned_um += operation_at(w.operations, m.operation).fault_tilt_um
    if m.runs_on:
        dial_in(w, m)
    m.cursor = operation_at(w.operations, m.operation).first_stroke
    return steps.NEXT_STROKE


@inlined
def cut_done(w: World, m: Machine) -> int:
    """All cuts are made; unload, or probe the part before."""
    for number in range(m.first_mount, m.end_mount):
        if m.picks:
            count_part_if(w, m, number)
        else:
            count_part(mount_at(w.mounts, number))
    if m.is_spoiled:
        return scrap(w, m, codes.CAUSE_OTHER)
    if line_at(w.lines, m.line).keeps_visits:
        visit_at(w.visits, m.part * w.most_operations + m.position).done_min = m.now
    operation = operation_at(w.operations, m.operation)
    if operation.first_disturbance < operation.end_disturbance:
        disturb(w, m)
    m.worked += 1
    if m.has_unseen:
        return _look_for_breaks(w, m)
    return _to_probes(w, m)


@compiled
def _look_for_breaks(w: World, m: Machine) -> int:
    """The probe looks for broken cutters where it is its turn."""
    if not is_probed_now(w, m):
        return _go_on_unhurt(w, m, False)
    enter(w, m, codes.STATE_CHECKING)
    return spend(
        w, m, operation_at(w.operations, m.operation).probe_time, codes.PURPOSE_BREAK_PROBE, m.operation, steps.PROBED
    )


@compiled
def probed(w: World, m: Machine) -> int:
    """The probe has looked."""
    return _go_on_unhurt(w, m, True)


@compiled
def _go_on_unhurt(w: World, m: Machine, looks: bool) -> int:
    """A part that was cut with an edge of which is known that it has broken is scrap."""
    if is_hurt(w, m, looks):
        return scrap(w, m, codes.CAUSE_BROKEN_CUTTER)
    return _to_probes(w, m)


@inlined
def _to_probes(w: World, m: Machine) -> int:
    """Gauges that read from the spindle come before the part is unloaded."""
    if m.has_probes:
        m.is_probing, m.cursor = 1, operation_at(w.operations, m.operation).first_gauge
        return steps.GAUGE_NEXT
    return unload(w, m)


@inlined
def unload(w: World, m: Machine) -> int:
    """The part is taken out, by whoever attends the machine."""
    if m.attends:
        return steps.UNLOAD_ATTENDED
    enter(w, m, codes.STATE_LOADING)
    operation = operation_at(w.operations, m.operation)
    return spend(w, m, operation.unload_time, codes.PURPOSE_OTHER, unloading_spot(m.operation), steps.UNLOADED)


@inlined
def unloaded(w: World, m: Machine) -> int:
    """The first piece after a change and the gauges come next, where there are any."""
    return steps.FIRST_ASK if m.has_firsts else to_gauges(w, m)


@inlined
def to_gauges(w: World, m: Machine) -> int:
    """The gauges come next, where there are any, and then a test."""
    operation = operation_at(w.operations, m.operation)
    m.cursor = operation.first_gauge
    if operation.first_gauge < operation.end_gauge:
        return steps.GAUGE_NEXT
    return steps.PASS_ON if m.test == NONE else steps.TEST


@inlined
def _complete(w: World, m: Machine) -> None:
    """The part at hand is done here and goes on its way, on which it can be scratched."""
    m.passed += 1
    m.first_pass += m.is_first_try
    if not m.is_plain and line_at(w.lines, m.line).n_places > 0:
        scratch_on_the_way(w, m)
    if w.is_traced:
        tell_part(w, steps.PART_COMPLETE, m.index, m.part, m.serial)


@compiled
def _goes_apart(w: World, m: Machine) -> int:
    """A first piece may go to its bench, others to the measuring room, or to be sorted before they are shipped.

    Returns the step after; PASS_ON if the part goes on.
    """
    if m.runs_on and is_put_aside(w, m):
        queue_giver(w, pool_at(w.pools, m.aside), m.index)
        call(w, m.aside)
        m.step = steps.TAKE
        return steps.BLOCKED
    if m.room_ways & HAS_ROOM:
        step: int = keep(w, m)
        if step != steps.PASS_ON:
            return step
    if m.room_ways & SWEPT and is_stopped_at_the_door(w, m):
        _complete(w, m)
        send_back(w, m, goes_on_to(w, m))
        return steps.TAKE
    return steps.PASS_ON


@inlined
def pass_on(w: World, m: Machine) -> int:
    """Move the part on; until there is room for it the machine keeps it."""
    if m.runs_on | m.room_ways:
        step = _goes_apart(w, m)
        if step != steps.PASS_ON:
            return step
    _complete(w, m)
    if pool_at(w.pools, m.target).is_direct:
        return give_directly(w, m)
    enter(w, m, codes.STATE_HELD_UP)
    target = goes_on_to(w, m)
    queue_giver(w, pool_at(w.pools, target), m.index)
    call(w, target)
    m.step = steps.LEFT
    return steps.BLOCKED


@inlined
def left(w: World, m: Machine) -> int:
    """The part is gone."""
    if w.is_traced:
        tell(w, steps.PART_LEFT, m.index, m.serial)
    return steps.TAKE
