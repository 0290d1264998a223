"""Sets that come off a machine: they are counted, handed in at the crib, and take their minutes to change."""

from __future__ import annotations

from linesim.chance.addresses import breaking_index, saving_index
from linesim.fast import codes, steps
from linesim.fast.common import add, call, count, minutes_of, queue_claim, tell_change
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import kind_at, pool_at, set_at, whole_at
from linesim.fast.state import Machine, Mount, World

_SLOTS = 1024


@compiled
def hand_in(w: World, m: Machine, number: int, slot: int, claim: int) -> None:
    """Hand in a dull set, and ask for a sharp one of its kind."""
    cutter_set = set_at(w.sets, number)
    cutter_set.rank = m.rank * _SLOTS + slot
    whole_at(w.counter, w.n_counter).value = number
    w.n_counter += 1
    call(w, w.crib)
    shelf = w.first_shelf + cutter_set.kind
    queue_claim(w, pool_at(w.pools, shelf), claim)
    call(w, shelf)
    m.pending += 1


@compiled
def count_change_min(
    w: World, kind_number: int, is_in_place: int, is_broken: bool, spot: int, ordinal: int, total: float
) -> float:
    """Minutes of a change so far, with those of one more set; more for a set that broke."""
    kind = kind_at(w.kinds, kind_number)
    time = kind.change_time if is_in_place else kind.replace_time
    total += minutes_of(w, time, codes.PURPOSE_CHANGE, spot, ordinal)
    if is_broken:
        total += minutes_of(w, kind.broken_time, codes.PURPOSE_CHANGE, spot, breaking_index(ordinal))
        total += minutes_of(w, kind.saving_time, codes.PURPOSE_CHANGE, spot, saving_index(ordinal))
    return total


@inlined
def count_change(w: World, m: Machine, mount: Mount, number: int) -> None:
    """One more edge has come to its end: why, and how far it had gone."""
    if mount.role == steps.BROKEN:
        count(w.unplanned, number)
    elif mount.role == steps.JOINED:
        count(w.joined, number)
    else:
        count(w.planned, number)
    if mount.is_in_place:
        count(w.in_place, number)
    whole_at(w.edge_parts, number).value += mount.parts
    add(w.edge_life, number, mount.life_share)
    add(w.edge_min, number, mount.cut_min)
    if w.is_traced:
        tell_change(w, m.index, number, mount.role, mount.life_share, mount.parts)
