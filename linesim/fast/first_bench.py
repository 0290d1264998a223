"""The bench beside a machine where its first pieces are gauged while it runs on: a record among the machines."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.away import complete_away, scrap_away, tell_left
from linesim.fast.common import call, count, queue_claim, queue_giver
from linesim.fast.compiled import compiled
from linesim.fast.drawers import first_piece_at, machine_at, mount_at, part_at, pool_at
from linesim.fast.first_piece import claim_gauger, gauge_piece
from linesim.fast.gauging import put_right
from linesim.fast.jobs import let_go
from linesim.fast.onward import target_of
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE


@compiled
def _take(w: World, m: Machine) -> int:
    """Ask for a part to gauge."""
    queue_claim(w, pool_at(w.pools, m.source), m.index)
    call(w, m.source)
    m.step = steps.BENCH_FIRST_GOT
    return steps.BLOCKED


@compiled
def _got(w: World, m: Machine) -> int:
    """A part has been given; somebody to gauge it is claimed."""
    m.serial = part_at(w.parts, m.part).serial
    return claim_gauger(w, m, steps.BENCH_FIRST_GAUGE)


@compiled
def _answer(w: World, m: Machine) -> int:
    """What was read is known: the machine will set it, and the part goes on, or is scrap."""
    row, home, part = (
        first_piece_at(w.first_pieces, m.operation),
        machine_at(w.machines, m.home),
        part_at(w.parts, m.part),
    )
    let_go(w, m)
    count(w.first_gauged, m.home)
    if part.is_corrected:
        count(w.first_corrected, m.home)
    for number in range(home.first_mount, home.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.awaited == part.serial:
            mount.answered_min = w.now
    if part.fate != NONE:
        if row.bad == codes.REJECT_SCRAP:
            count(w.first_scrapped, m.home)
            scrap_away(w, m, home, part.fate)
            return steps.BENCH_FIRST_TAKE
        count(w.first_salvaged, m.home * w.n_causes + part.fate)
        part.is_first_pass = part.first_try = 0
        put_right(w, m, part.fate_feature)
    return _pass_on(w, m, home)


@compiled
def _pass_on(w: World, m: Machine, home: Machine) -> int:
    """The part goes on; until there is room for it the bench keeps it."""
    complete_away(w, m, home)
    target = target_of(w, m) if m.forks else m.target
    queue_giver(w, pool_at(w.pools, target), m.index)
    call(w, target)
    m.step = steps.BENCH_FIRST_LEFT
    return steps.BLOCKED


@compiled
def _left(w: World, m: Machine) -> int:
    """The part is gone."""
    tell_left(w, m)
    return steps.BENCH_FIRST_TAKE


@compiled
def gauge_first_piece(w: World, m: Machine, step: int) -> int:
    """Steps of the bench. Returns the step after."""
    if step == steps.BENCH_FIRST_TAKE:
        return _take(w, m)
    if step == steps.BENCH_FIRST_GOT:
        return _got(w, m)
    if step == steps.BENCH_FIRST_GAUGE:
        return gauge_piece(w, m, steps.BENCH_FIRST_READ)
    return _answer(w, m) if step == steps.BENCH_FIRST_READ else _left(w, m)
