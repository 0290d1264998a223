"""Parts that stand somewhere: the array of parts, those that wait in buffers and yards, and how long they do.

They stand in a chain as claims and sets do (`linesim.fast.chains`), but for one thing: nobody reads what stands before
the first one, so that it is not cleared when another one goes. Every part in every buffer would pay for that write.
"""

from __future__ import annotations

from linesim.fast import steps
from linesim.fast.chains import chain_of
from linesim.fast.common import add, first_claim, make_ready
from linesim.fast.compiled import inlined
from linesim.fast.drawers import line_at, machine_at, part_at, pool_at
from linesim.fast.state import Pool, World
from linesim.plan.tables import NONE

_put_behind = chain_of(part_at)[0]


@inlined
def new_part(w: World) -> int:
    """A free record in the array of parts; the run stops for more of them while there are enough for one more turn."""
    number = w.first_free
    w.first_free = part_at(w.parts, number).next
    w.n_free -= 1
    if w.n_free < w.n_needed and w.trouble == 0:
        w.trouble = steps.FULL
    return number


@inlined
def forget_part(w: World, number: int) -> None:
    """The record of a part is free again."""
    part_at(w.parts, number).next = w.first_free
    w.first_free = number
    w.n_free += 1


@inlined
def stand(w: World, p: Pool, number: int) -> None:
    """Put a part behind those that stand in a buffer."""
    part = part_at(w.parts, number)
    part.since_min = w.now
    part.next, part.prev = NONE, p.last
    if p.last == NONE:
        p.first = number
    else:
        part_at(w.parts, p.last).next = number
    p.last = number
    p.stock += 1


@inlined
def stand_in_order(w: World, p: Pool, number: int) -> None:
    """Put a part behind those that stand somewhere, and before those of higher number that came at this moment."""
    part, before = part_at(w.parts, number), p.last
    while before != NONE:
        other = part_at(w.parts, before)
        if other.since_min < w.now or other.serial < part.serial:
            break
        before = NONE if before == p.first else other.prev
    part.since_min = w.now
    p.first, p.last = _put_behind(w.parts, number, before, p.first, p.last)
    p.stock += 1


@inlined
def oldest(w: World, p: Pool) -> int:
    """Take out the part that has stood longest."""
    number = p.first
    p.first = part_at(w.parts, number).next
    if p.first == NONE:
        p.last = NONE
    p.stock -= 1
    return number


@inlined
def newest(w: World, p: Pool) -> int:
    """Take out the part that came last."""
    number = p.last
    p.stock -= 1
    if p.stock == 0:
        p.first = p.last = NONE
    else:
        p.last = part_at(w.parts, number).prev
        part_at(w.parts, p.last).next = NONE
    return number


@inlined
def count_wait(w: World, p: Pool, since_min: float) -> None:
    """Count a part that is taken, and how long it stood."""
    p.served += 1
    stood = w.now - since_min
    if stood > 0.0:
        p.had_to_wait += 1
        p.waited_min += stood


@inlined
def take_out(w: World, p: Pool, number: int) -> None:
    """Take a part out from among those that stand in a buffer."""
    part = part_at(w.parts, number)
    if number == p.first:
        p.first = part.next
    else:
        part_at(w.parts, part.prev).next = part.next
    if number == p.last:
        p.last = NONE if p.first == NONE else part.prev
    else:
        part_at(w.parts, part.next).prev = part.prev
    p.stock -= 1


@inlined
def hand_over(w: World, p: Pool, number: int, since_min: float) -> None:
    """Give a part to the machine that has waited longest."""
    count_wait(w, p, since_min)
    take_out(w, p, number)
    machine = first_claim(w, p)
    machine_at(w.machines, machine).part = number
    make_ready(w, machine)


@inlined
def account_line(w: World, line: int) -> None:
    """Count the parts in the line and the castings that stand before it, up to now."""
    row = line_at(w.lines, line)
    p = pool_at(w.pools, row.yard)
    passed = w.now - p.since_min
    if passed > 0.0:
        add(w.in_line_min, line, row.inside * passed)
        p.level_min += p.stock * passed
        p.extreme = max(p.extreme, p.stock)
        p.since_min = w.now


@inlined
def account_buffer(w: World, p: Pool) -> None:
    """Count what stands in a buffer, up to now."""
    passed = w.now - p.since_min
    if passed > 0.0:
        p.level_min += p.stock * passed
        p.extreme = max(p.extreme, p.stock)
        p.since_min = w.now
