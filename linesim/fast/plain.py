"""Short cuts that leave the result as it is.

For machines whose round is nothing but their minutes, and for buffers that have one machine before and one behind
them, where nobody else could be served first.
"""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.castings import casting
from linesim.fast.common import enter, make_ready, pass_by, stay_in, wait
from linesim.fast.compiled import inlined
from linesim.fast.drawers import line_at, machine_at, mount_at, part_at, pool_at
from linesim.fast.edges import count_part, minutes_of_work, wear_freely
from linesim.fast.standing import account_buffer, account_line, oldest, stand
from linesim.fast.state import Machine, Pool, World
from linesim.plan.tables import NONE

__all__ = ["cut_plainly", "give_directly", "take_directly"]


@inlined
def cut_plainly(w: World, m: Machine) -> int:
    """All of the cut at once, if it ends without a breakdown and within the time that is to be run; no edge breaks."""
    part_at(w.parts, m.part).tries = 0
    m.is_first_try = 1
    cut_min = minutes_of_work(w, m)
    if m.to_failure_min < cut_min or m.now + cut_min >= w.until:
        return steps.PLAIN
    enter(w, m, codes.STATE_CUTTING)
    m.to_failure_min -= cut_min
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        wear_freely(mount, cut_min)
        count_part(mount)
    m.worked += 1
    return wait(w, m, cut_min, steps.PASS_ON)


@inlined
def take_directly(w: World, m: Machine) -> int:
    """Take a part, if there is one, from the machine before or from what it has put into the buffer."""
    pass_by(w, m, codes.STATE_WAITING_FOR_PART)
    p = pool_at(w.pools, m.source)
    if p.way == steps.YARD:
        return _take_casting(w, m, p)
    account_buffer(w, p)
    giver = p.first_giver
    if p.stock > 0:
        m.part = oldest(w, p)
        stood = w.now - part_at(w.parts, m.part).since_min
        if stood > 0.0:
            p.had_to_wait += 1
            p.waited_min += stood
        if giver != NONE:
            stand(w, p, machine_at(w.machines, giver).part)
    elif giver != NONE:
        m.part = machine_at(w.machines, giver).part
    else:
        stay_in(w, m, codes.STATE_WAITING_FOR_PART)
        p.first_claim = m.index
        m.step = steps.GOT_PART
        return steps.BLOCKED
    p.served += 1
    if giver != NONE:
        p.first_giver = NONE
        make_ready(w, giver)
    return steps.GOT_PART


@inlined
def _take_casting(w: World, m: Machine, p: Pool) -> int:
    account_line(w, m.line)
    if line_at(w.lines, m.line).serial < line_at(w.lines, m.line).limit:
        m.part = casting(w, m.line)
        p.served += 1
        return steps.GOT_PART
    stay_in(w, m, codes.STATE_WAITING_FOR_PART)
    m.step = steps.GOT_PART
    return steps.BLOCKED


@inlined
def give_directly(w: World, m: Machine) -> int:
    """Hand a part to the machine behind, or put it into the buffer if there is room."""
    pass_by(w, m, codes.STATE_HELD_UP)
    p = pool_at(w.pools, m.target)
    account_buffer(w, p)
    taker = p.first_claim
    if taker != NONE:
        p.first_claim = NONE
        p.served += 1
        machine_at(w.machines, taker).part = m.part
        make_ready(w, taker)
        return steps.LEFT
    if p.stock < p.capacity:
        stand(w, p, m.part)
        return steps.LEFT
    stay_in(w, m, codes.STATE_HELD_UP)
    p.first_giver = m.index
    m.step = steps.LEFT
    return steps.BLOCKED
