"""What every part of the compiled engine uses: chance, lengths of time, states, claims, the trace."""

from __future__ import annotations

from typing import cast

import numpy as np

from linesim.chance import drawn, listed_at, normal_from_uniform, uniforms
from linesim.chance.numbers import Block, block_of
from linesim.fast import codes, steps
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.chains import chain_of
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    claim_at,
    line_at,
    part_at,
    place_at,
    pool_at,
    real_at,
    set_at,
    time_at,
    trace_at,
    whole_at,
)
from linesim.fast.roughness import settle_roughness
from linesim.fast.shapes import note_shapes
from linesim.fast.state import Claim, Machine, Pool, World
from linesim.plan.tables import NONE

# --- counting ------------------------------------------------------------------------------------------------------


@inlined
def count(address: int, at: int) -> None:
    """Add one to a count of the tally."""
    whole_at(address, at).value += 1


@inlined
def add(address: int, at: int, value: float) -> None:
    """Add to a sum of the tally."""
    real_at(address, at).value += value


# --- chance and time ----------------------------------------------------------------------------------------------

_NOTHING = np.uint64(0)
NO_BLOCK = cast("Block", (_NOTHING, _NOTHING, _NOTHING, _NOTHING))
"""Stands for a block that has not been made."""


@inlined
def by_calendar(w: World, minute: float) -> float:
    """A moment of the run by the calendar: worked minutes from the start of the week in which the run begins."""
    return minute + w.calendar_min


@inlined
def first_normal(w: World, purpose: int, spot: int, index: int, draw: int) -> float:
    """The first of four normal numbers."""
    return normal_from_uniform(uniforms(w.seed, w.replication, purpose, spot, index, draw)[0])


@inlined
def block(w: World, purpose: int, spot: int, index: int, number: int) -> Block:
    """A block of eight numbers, for whoever goes on from one to the next (`four_of`, `number_of`)."""
    return block_of(w.seed, w.replication, purpose, spot, index, number)


@inlined
def four_uniforms(w: World, purpose: int, spot: int, index: int, draw: int) -> tuple[float, float, float, float]:
    """Four numbers uniform on (0, 1)."""
    return uniforms(w.seed, w.replication, purpose, spot, index, draw)


@compiled
def minutes_of(w: World, time: int, purpose: int, spot: int, index: int) -> float:
    """The length of time number ``time`` for this spot and index, minutes; 0 where there is none."""
    if time == NONE:
        return 0.0
    row = time_at(w.times, time)
    if row.distribution == codes.DISTRIBUTION_FIXED:
        return row.p1
    if row.distribution == codes.DISTRIBUTION_LISTED:
        at = listed_at(row.list_end - row.list_first, w.seed, w.replication, purpose, spot, index)
        return real_at(w.listed, row.list_first + at).value
    if row.distribution == codes.DISTRIBUTION_IN_ORDER:
        return real_at(w.listed, row.list_first + index % (row.list_end - row.list_first)).value
    return drawn(row.distribution, row.p1, row.p2, row.p3, w.seed, w.replication, purpose, spot, index)


@inlined
def wait(w: World, m: Machine, minutes: float, step: int) -> int:
    """Let minutes pass and go on at a step, when all the others have come as far; at once if no time has to pass."""
    if minutes > 0.0:
        m.now += minutes
    if m.now > w.now:
        m.step = step
        enter_in_agenda(w, m.now, m.index)
        return steps.BLOCKED
    return step


@inlined
def wait_apart(w: World, m: Machine, minutes: float, step: int) -> int:
    """As `wait`, for minutes in which nobody else has to do with the machine: it may go ahead of the others.

    It goes ahead only within the time that is to be run, so that all that it counts belongs there.
    """
    if m.goes_ahead and m.now + minutes < w.until:
        m.now += minutes
        return step
    return wait(w, m, minutes, step)


@inlined
def enter(w: World, m: Machine, state: int) -> None:
    """Begin to do something else."""
    now = m.now
    passed = now - m.state_since
    if passed > 0.0:
        add(w.state_min, m.index * w.n_states + m.state, passed)
        m.state_since = now
    m.state = state
    m.last_entry = now
    if w.is_traced:
        tell(w, steps.ENTERS, m.index, state)


@inlined
def pass_by(w: World, m: Machine, state: int) -> None:
    """Enter a state that may be over at this very moment: then only who is told of everything hears of it."""
    if w.is_traced:
        enter(w, m, state)


@inlined
def stay_in(w: World, m: Machine, state: int) -> None:
    """The state that was passed by lasts after all."""
    if w.is_traced == 0:
        enter(w, m, state)


# --- claims -------------------------------------------------------------------------------------------------------

_put_behind, _take_out = chain_of(claim_at)


@inlined
def call(w: World, pool: int) -> None:
    """Say that a pool has a new claim or something new to give."""
    p = pool_at(w.pools, pool)
    if p.is_called == 0:
        p.is_called = 1
        whole_at(w.called, w.n_called).value = pool
        w.n_called += 1


@inlined
def make_ready(w: World, who: int) -> None:
    """Somebody has been given what it waited for."""
    at = w.ready_end
    whole_at(w.ready, at).value = who
    w.ready_end = at + 1 if at < w.ready_last else 0


@inlined
def _claim_ahead(w: World, c: Claim, last: int) -> int:
    """The claim behind which a new one stands: the last one that is older, or as old and of lower rank."""
    before = last
    while before != NONE:
        other = claim_at(w.claims, before)
        if other.since_min < c.since_min or (other.since_min == c.since_min and other.rank <= c.rank):
            return before
        before = other.prev
    return before


@inlined
def queue_claim(w: World, p: Pool, number: int) -> None:
    """Put a claim where it belongs among those that wait to be given something."""
    c = claim_at(w.claims, number)
    c.since_min = w.now
    _stand_behind(w, p, number, _claim_ahead(w, c, p.last_claim))


@compiled
def queue_claim_since(w: World, p: Pool, number: int, since_min: float) -> None:
    """The same for one whose turn goes by an earlier moment."""
    c = claim_at(w.claims, number)
    c.since_min = since_min
    _stand_behind(w, p, number, _claim_ahead(w, c, p.last_claim))


@inlined
def _stand_behind(w: World, p: Pool, number: int, before: int) -> None:
    """Put a claim behind another one; ``NONE``: before all."""
    p.first_claim, p.last_claim = _put_behind(w.claims, number, before, p.first_claim, p.last_claim)
    p.n_claims += 1


@inlined
def first_claim(w: World, p: Pool) -> int:
    """Take out the claim that is served first."""
    number = p.first_claim
    p.first_claim, p.last_claim = _take_out(w.claims, number, number, p.last_claim)
    p.n_claims -= 1
    return number


@compiled
def take_out_claim(w: World, p: Pool, number: int) -> None:
    """Take out a claim that is served before its turn."""
    p.first_claim, p.last_claim = _take_out(w.claims, number, p.first_claim, p.last_claim)
    p.n_claims -= 1


@inlined
def queue_giver(w: World, p: Pool, number: int) -> None:
    """Put a claim where it belongs among those that wait to be rid of a part."""
    c = claim_at(w.claims, number)
    c.since_min = w.now
    before = _claim_ahead(w, c, p.last_giver)
    p.first_giver, p.last_giver = _put_behind(w.claims, number, before, p.first_giver, p.last_giver)


@inlined
def first_giver(w: World, p: Pool) -> int:
    """Take out the machine that is rid of its part first."""
    number = p.first_giver
    p.first_giver, p.last_giver = _take_out(w.claims, number, number, p.last_giver)
    return number


# --- the trace ----------------------------------------------------------------------------------------------------


@compiled
def tell(w: World, what: int, machine: int, subject: int) -> None:
    """Write one event into the trace."""
    row = trace_at(w.trace_rows, w.n_trace)
    row.minute = w.now
    row.what = what
    row.machine = machine
    row.subject = subject
    row.count = 0
    row.life_share = 0.0
    row.role = 0
    w.n_trace += 1


@compiled
def tell_part(w: World, what: int, machine: int, part: int, serial: int) -> None:
    """Write down that a part moves, with what it is like now."""
    first = w.n_trace * w.most_places
    for place in range(line_at(w.lines, part_at(w.parts, part).line).n_places):
        true = place_at(w.part_places, part * w.most_places + place)
        settle_roughness(w, true)
        copy = place_at(w.trace_places, first + place)
        copy.error_um = true.error_um
        copy.roughness_um = true.roughness_um
        copy.scratch_um = true.scratch_um
        copy.is_clean = true.is_clean
        copy.is_machined = true.is_machined
    if w.most_shapes:
        note_shapes(w, part)
    tell(w, what, machine, serial)


@compiled
def tell_set(w: World, number: int, where: int, machine: int) -> None:
    """Write down where a set outside the machines has come to; ``machine`` is the one for which it is drawn."""
    cutter_set = set_at(w.sets, number)
    tell(w, steps.SET_MOVES, machine, cutter_set.kind)
    row = trace_at(w.trace_rows, w.n_trace - 1)
    row.role = where
    row.count = cutter_set.number


@compiled
def tell_change(w: World, machine: int, mount: int, role: int, life_share: float, parts: int) -> None:
    """Write down that a cutter set is changed."""
    tell(w, steps.SET_CHANGED, machine, mount)
    row = trace_at(w.trace_rows, w.n_trace - 1)
    row.role = role
    row.life_share = life_share
    row.count = parts
