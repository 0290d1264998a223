"""The event loop: everything due at an instant happens first; then people, sets and parts are given out."""

from __future__ import annotations

from linesim.fast import steps
from linesim.fast.ageing import begin_span
from linesim.fast.agenda import close_agenda, next_minute, take_from_agenda
from linesim.fast.arriving import arrive, send_next
from linesim.fast.batch import start_batch
from linesim.fast.beginning import mount_all, stand_as_now, stand_set
from linesim.fast.beside import beside_the_round
from linesim.fast.changing import ask_rules, call_setter, change, changed, look_at_edges, note_look
from linesim.fast.choosing import hand_out_castings, hand_out_parts
from linesim.fast.common import make_ready
from linesim.fast.compiled import compiled, inlined, woven
from linesim.fast.crib import give_out_counter, go_on_with_set
from linesim.fast.cutting import (
    cut_again,
    failed,
    next_stroke,
    plain_minutes,
    repair,
    repaired,
    run_spindle,
    spun,
)
from linesim.fast.drawers import line_at, machine_at, pool_at, whole_at
from linesim.fast.flow import ship_all, turn_away
from linesim.fast.gauging import gauge, next_gauge, read, read_notes
from linesim.fast.handling import cleaned, cut_done, got_part, left, load, loaded, pass_on, take, unloaded
from linesim.fast.joining import deliver
from linesim.fast.people import give_out_people
from linesim.fast.shelves import give_out_sets
from linesim.fast.shifts import begin_shifts, first_of_rosters, ring
from linesim.fast.state import Pool, World
from linesim.fast.ways import give_out_way
from linesim.floor.foreman import MOST_ROUNDS
from linesim.plan.tables import NONE

# --- what machines, sets and castings do ---------------------------------------------------------------------------


@compiled
def _rarely(w: World, machine: int, step: int) -> int:
    """Steps for cutters, breakdowns and gauges. Returns the step after."""
    m = machine_at(w.machines, machine)
    if step == steps.LOOK:
        return look_at_edges(w, m)
    if step == steps.LOOKED:
        return note_look(w, m)
    if step == steps.ASK:
        return ask_rules(w, m)
    if step == steps.CALL_SETTER:
        return call_setter(w, m)
    if step == steps.CHANGE:
        return change(w, m)
    if step == steps.CHANGED:
        return changed(w, m)
    if step == steps.FAILED:
        return failed(w, m)
    if step == steps.REPAIR:
        return repair(w, m)
    if step == steps.REPAIRED:
        return repaired(w, m)
    if step == steps.AGAIN:
        return cut_again(w, m)
    if step >= steps.TEST:
        return beside_the_round(w, m, step)
    if step == steps.GAUGE_NEXT:
        return next_gauge(w, m)
    return gauge(w, m) if step == steps.GAUGE else read(w, m)


@woven
def _go_on(w: World, machine: int) -> None:  # noqa: PLR0912 - the round of a machine reads from top to bottom
    """A machine goes on with its round until it has to wait again."""
    m = machine_at(w.machines, machine)
    step = m.step
    m.now = w.now
    while step != steps.BLOCKED:
        # One after the other as the round goes: so compiled code runs straight on from each step to the next.
        if step == steps.PASS_ON:
            step = pass_on(w, m)
        if step == steps.LEFT:
            step = left(w, m)
        if step == steps.TAKE:
            step = take(w, m)
        if step == steps.GOT_PART:
            step = got_part(w, m)
        if step == steps.LOAD:
            step = load(w, m)
        if step == steps.CLEANED:
            step = cleaned(w, m)
        if step == steps.LOADED:
            step = loaded(w, m)
        if step == steps.NEXT_STROKE:
            step = next_stroke(w, m)
        if step == steps.PLAIN:
            step = plain_minutes(w, m)
        if step == steps.SPINDLE:
            step = run_spindle(w, m)
        if step == steps.SPUN:
            step = spun(w, m)
        if step == steps.CUT_DONE:
            step = cut_done(w, m)
        if step == steps.UNLOADED:
            step = unloaded(w, m)
        if step >= steps.FIRST_RARE:
            step = _rarely(w, machine, step)


@woven
def _act(w: World, who: int) -> None:
    """Somebody's moment has come."""
    if who < w.n_machines:
        _go_on(w, who)
    elif who < w.n_machines + w.n_sets:
        go_on_with_set(w, who - w.n_machines)
    elif who < first_of_rosters(w):
        arrive(w, who - w.n_machines - w.n_sets)
    elif w.n_rosters > 0:
        ring(w, who - first_of_rosters(w))


# --- giving out ---------------------------------------------------------------------------------------------------


@compiled
def _give_out_rarely(w: World, p: Pool) -> None:
    """The same for pools that few lines have."""
    if p.way == steps.WAY:
        give_out_way(w, p)
    elif p.way == steps.STARTS:
        start_batch(w, p.of)
    else:
        deliver(w, p)


@woven
def _give_out(w: World, pool: int) -> None:
    """Serve all claims on a pool that can be served now."""
    p = pool_at(w.pools, pool)
    if p.way == steps.BUFFER or p.way == steps.BENCH:  # noqa: PLR1714 - compiled code has no sets
        hand_out_parts(w, p)
    elif p.way == steps.YARD:
        hand_out_castings(w, p)
    elif p.way == steps.DISPATCH:
        ship_all(w, p)
    elif p.way == steps.SHELF:
        give_out_sets(w, p)
    elif p.way == steps.PEOPLE:
        give_out_people(w, p)
    elif p.way == steps.DOOR:
        turn_away(w, p.of)
    elif w.has_rare and p.way >= steps.STARTS:
        _give_out_rarely(w, p)
    else:
        give_out_counter(w)


@inlined
def _sort_called(w: World) -> None:
    """The pools that were called, in their fixed order: by turn, and then by number."""
    for last in range(1, w.n_called):
        at, pool = last, whole_at(w.called, last).value
        while at > 0 and whole_at(w.called, at - 1).value > pool:
            whole_at(w.called, at).value = whole_at(w.called, at - 1).value
            at -= 1
        whole_at(w.called, at).value = pool


@inlined
def _first_turn(w: World) -> int:
    """How many of the called pools give out now: those of the first turn; they are not called any more."""
    n = 0
    while n < w.n_called:
        p = pool_at(w.pools, whole_at(w.called, n).value)
        if p.turn != pool_at(w.pools, whole_at(w.called, 0).value).turn:
            break
        p.is_called = 0
        n += 1
    return n


@woven
def _settle(w: World) -> bool:
    """One round of giving out; False if there have been too many at this instant."""
    if w.now != w.instant:
        w.instant = w.now
        w.rounds = 0
    w.rounds += 1
    if w.rounds > MOST_ROUNDS:
        return False
    if w.n_notes > 0:
        read_notes(w)
    if w.n_called > 1:
        _sort_called(w)
    n = _first_turn(w)
    for at in range(n):
        _give_out(w, whole_at(w.called, at).value)
    # Later turns, and pools that were called meanwhile, belong to the next round.
    for at in range(n, w.n_called):
        whole_at(w.called, at - n).value = whole_at(w.called, at).value
    w.n_called -= n
    return True


# --- the loop -----------------------------------------------------------------------------------------------------


@inlined
def _first_ready(w: World) -> int:
    """Take out who has been given what it waited for."""
    at = w.ready_first
    who = whole_at(w.ready, at).value
    w.ready_first = at + 1 if at < w.ready_last else 0
    return who


@compiled
def run_world(w: World, until: float, budget: int) -> int:
    """Run until a moment, or for so many turns: as `linesim.fast.kernels.run_on_whole`."""
    w.until = until
    if w.n_free < w.n_needed:
        return steps.FULL
    for _ in range(budget):
        if w.is_traced and w.n_trace > w.n_trace_most:
            return steps.TRACE_FULL
        if w.ready_first != w.ready_end:
            who = _first_ready(w)
        else:
            close_agenda(w)
            minute = next_minute(w)
            if minute != w.now:
                # All that was due has happened; now things are given out, and then the clock goes on.
                if w.n_called > 0 or w.n_notes > 0:
                    if not _settle(w):
                        return steps.CIRCLE
                    if w.trouble:
                        return w.trouble
                    continue
                if minute >= w.until:
                    w.now = w.until
                    return steps.DONE
                w.now = minute
            who = take_from_agenda(w)
        _act(w, who)
        if w.trouble:
            return w.trouble
    return steps.GO_ON


@compiled
def begin_world(w: World, first_shelved: int) -> None:
    """Mount the first sets, let all begin; sets from number ``first_shelved`` on are not mounted."""
    for at in range(w.n_machines - w.n_benches):
        machine = whole_at(w.set_up_order, at).value
        begin_span(w, machine_at(w.machines, machine))
        mount_all(w, machine)
    for number in range(first_shelved, w.n_sets):
        stand_set(w, number)
    if w.begins:
        stand_as_now(w)
    for machine in range(w.n_machines):
        make_ready(w, machine)
    for line in range(w.n_lines):
        if line_at(w.lines, line).arrival_time != NONE:
            send_next(w, line)
    begin_shifts(w)
