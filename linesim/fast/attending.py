"""The round of a machine whose loading, unloading or gauging somebody attends to."""

from __future__ import annotations

from linesim.chance.addresses import cleaning_spot, loading_spot, unloading_spot
from linesim.fast import codes, steps
from linesim.fast.common import enter, wait
from linesim.fast.compiled import compiled
from linesim.fast.drawers import gauge_at, operation_at
from linesim.fast.gauging import reading_spot
from linesim.fast.handling import begin_part, put_in
from linesim.fast.jobs import call_operator, leave, work
from linesim.fast.mastering import see_to_master
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE


@compiled
def _spend(w: World, m: Machine, time: int, purpose: int, spot: int, then: int) -> int:
    """Let a length of time pass that is put into the part, by itself or by whoever is there."""
    return work(w, m, put_in(w, m, time, purpose, spot), then)


@compiled
def _left(w: World, m: Machine, then: int) -> int:
    """Whoever is there leaves; the round goes on at a step."""
    if m.here != NONE:
        leave(w, m)
    return then


@compiled
def _load(w: World, m: Machine, step: int) -> int:
    """The part comes onto the machine."""
    spec = operation_at(w.operations, m.operation)
    if step == steps.LOADED_ATTENDED:
        return _left(w, m, steps.LOADED)
    if step == steps.CLEANED_ATTENDED:
        spot = loading_spot(m.operation)
        return _spend(w, m, spec.load_time, codes.PURPOSE_OTHER, spot, steps.LOADED_ATTENDED)
    if m.attends & codes.ATTEND_LOAD and m.here == NONE:
        return call_operator(w, m, steps.LOAD_ATTENDED)
    begin_part(w, m)
    enter(w, m, codes.STATE_LOADING)
    spot = cleaning_spot(m.operation)
    return _spend(w, m, spec.chip_clean_time, codes.PURPOSE_OTHER, spot, steps.CLEANED_ATTENDED)


@compiled
def _unload(w: World, m: Machine, step: int) -> int:
    """The part is taken out of its clamps."""
    if step == steps.UNLOADED_ATTENDED:
        return _left(w, m, steps.UNLOADED)
    if m.attends & codes.ATTEND_UNLOAD and m.here == NONE:
        return call_operator(w, m, steps.UNLOAD_ATTENDED)
    enter(w, m, codes.STATE_LOADING)
    time = operation_at(w.operations, m.operation).unload_time
    return _spend(w, m, time, codes.PURPOSE_OTHER, unloading_spot(m.operation), steps.UNLOADED_ATTENDED)


@compiled
def _gauge(w: World, m: Machine, step: int) -> int:
    """A gauge is mastered where it is time; then it is read."""
    if step == steps.READ_ATTENDED:
        return _left(w, m, steps.READ)
    time = gauge_at(w.gauges, m.cursor).time
    if step == steps.READING_ATTENDED:
        return _spend(w, m, time, codes.PURPOSE_GAUGE, reading_spot(w, m), steps.READ_ATTENDED)
    if m.attends & codes.ATTEND_GAUGE and m.here == NONE and time != NONE:
        return call_operator(w, m, steps.GAUGE_ATTENDED)
    enter(w, m, codes.STATE_GAUGING)
    see_to_master(w, m)
    # Whether somebody is still there after the mastering is known only then.
    return wait(w, m, 0.0, steps.READING_ATTENDED)


@compiled
def attend(w: World, m: Machine, step: int) -> int:
    """Do one of the steps. Returns the step after."""
    if step >= steps.GAUGE_ATTENDED:
        return _gauge(w, m, step)
    return _unload(w, m, step) if step >= steps.UNLOAD_ATTENDED else _load(w, m, step)
