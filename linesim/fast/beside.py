"""Steps that few rounds have: tests, repairs, setting right, first pieces, overhauls, ways, changeovers, people."""

from __future__ import annotations

from linesim.fast import steps
from linesim.fast.ageing import overhaul
from linesim.fast.attending import attend
from linesim.fast.batch import batch_round
from linesim.fast.beginning import finish_repair
from linesim.fast.changeover import change_over
from linesim.fast.compiled import compiled
from linesim.fast.first_bench import gauge_first_piece
from linesim.fast.first_named import take_as_named
from linesim.fast.first_piece import first_piece
from linesim.fast.handling import probed
from linesim.fast.jobs import hand_over_or_take_up
from linesim.fast.magazine import exchanged
from linesim.fast.measuring_room import measure
from linesim.fast.state import Machine, World
from linesim.fast.testing import test_or_repair
from linesim.fast.trouble import see_to_fault
from linesim.fast.ways import carry


@compiled
def _rarest(w: World, m: Machine, step: int) -> int:
    """Steps of what few lines have."""
    if step >= steps.EXCHANGED:
        return exchanged(w, m) if step == steps.EXCHANGED else probed(w, m)
    if step >= steps.FIRST_TAKE:
        return take_as_named(w, m)
    if step >= steps.LOAD_ATTENDED:
        return attend(w, m, step)
    if step >= steps.HAND_OVER:
        return hand_over_or_take_up(w, m, step)
    if step >= steps.ROOM_TAKE:
        return measure(w, m, step)
    if step >= steps.CALL_FOR_CHANGEOVER:
        return change_over(w, m, step)
    if step >= steps.CARRY_TAKE:
        return carry(w, m, step)
    if step >= steps.DOWN:
        return finish_repair(w, m, step)
    return batch_round(w, m, step) if step >= steps.BATCH_TAKE else gauge_first_piece(w, m, step)


@compiled
def _less_rare(w: World, m: Machine, step: int) -> int:
    """Steps that many lines have, and simple ones do not."""
    if step >= steps.FIRST_ASK:
        return first_piece(w, m, step)
    return test_or_repair(w, m, step) if step <= steps.BENCH_DONE else see_to_fault(w, m, step)


@compiled
def beside_the_round(w: World, m: Machine, step: int) -> int:
    """Do one of them. Returns the step after."""
    if w.has_rare and (step >= steps.BATCH_TAKE or steps.BENCH_FIRST_TAKE <= step < steps.CALL_FOR_OVERHAUL):
        return _rarest(w, m, step)
    if w.has_more and step < steps.CALL_FOR_OVERHAUL:
        return _less_rare(w, m, step)
    return overhaul(w, m, step)
