"""A gauge on its master: how far it has wandered off, and setting it back."""

from __future__ import annotations

from typing import Any

from linesim.chance.addresses import mastering_spot
from linesim.fast import codes
from linesim.fast.common import count, first_normal, minutes_of
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import gauge_at, operation_at, real_at, whole_at
from linesim.fast.state import Machine, World
from linesim.quality.mastering import walked_um


@inlined
def see_to_master(w: World, m: Machine) -> None:
    """Set a gauge back that has a master, if it is time."""
    if m.recuts == 0 and gauge_at(w.gauges, m.cursor).master_every > 0:
        _master(w, m)


@compiled
def _master(w: World, m: Machine) -> None:
    """Count one part more that is read; before it, set the gauge back if it is time."""
    row, at = gauge_at(w.gauges, m.cursor), _at_machine(w, m)
    if whole_at(w.read_since, at).value >= row.master_every:
        times = whole_at(w.masterings_so_far, at)
        spot = mastering_spot(w.n_gauges, m.index, m.cursor)
        m.now += minutes_of(w, row.master_time, codes.PURPOSE_MASTERING, spot, times.value)
        count(w.masterings, m.cursor)
        times.value += 1
        whole_at(w.read_since, at).value = whole_at(w.walk_moves, at).value = 0
        real_at(w.mastered, at).value = real_at(w.walk_min, at).value = m.now
        real_at(w.walked, at).value = 0.0
    whole_at(w.read_since, at).value += 1


@inlined
def _at_machine(w: World, m: Machine) -> int:
    """Where the gauge at hand stands among all gauges of all machines."""
    return int(m.first_gauged + m.cursor - operation_at(w.operations, m.operation).first_gauge)


@inlined
def reads_off_um(w: World, m: Machine, row: Any) -> float:
    """Bias and drift at the reading at hand, µm per side, plus reads more metal left on; what it wanders moves on."""
    off_um = row.bias_um + row.drift_um_h * ((w.now - real_at(w.mastered, _at_machine(w, m)).value) / 60.0)
    if row.wanders_um > 0.0:
        off_um += _walk(w, m, row)
    return float(off_um)


@compiled
def _walk(w: World, m: Machine, row: Any) -> float:
    """Where the gauge has wandered to by now."""
    at = _at_machine(w, m)
    walk, since_min, moves = real_at(w.walked, at), real_at(w.walk_min, at), whole_at(w.walk_moves, at)
    spot, times = mastering_spot(w.n_gauges, m.index, m.cursor), whole_at(w.masterings_so_far, at).value
    normal = first_normal(w, codes.PURPOSE_GAUGE_WALK, spot, times, moves.value)
    walk.value = walked_um(walk.value, row.wanders_um, (w.now - since_min.value) / 60.0, normal)
    since_min.value = w.now
    moves.value += 1
    return float(walk.value)
