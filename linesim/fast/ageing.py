"""How machines age: when they break down next, and when their overhaul is due; as `linesim.floor.ageing`."""

from __future__ import annotations

import math

from linesim.chance.ageing import to_due_min, to_next_failure_min
from linesim.fast import codes, steps
from linesim.fast.common import count, enter, four_uniforms, minutes_of
from linesim.fast.compiled import compiled
from linesim.fast.drawers import upkeep_at
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE


@compiled
def begin_span(w: World, m: Machine) -> None:
    """Draw the cutting minutes to the next breakdown; the overhaul may fall due on the way."""
    spec = upkeep_at(w.upkeeps, m.index)
    m.span_min = _draw(w, m)
    m.drawn += 1
    due_min = to_due_min(spec.overhaul_every_min, m.since_min)
    is_on_the_way = m.is_due == 0 and not math.isinf(due_min) and due_min <= m.span_min
    m.falls_due = 1 if is_on_the_way else 0
    m.to_failure_min = due_min if is_on_the_way else m.span_min
    m.beyond_min = m.span_min - m.to_failure_min if is_on_the_way else 0.0


@compiled
def _draw(w: World, m: Machine) -> float:
    spec = upkeep_at(w.upkeeps, m.index)
    if spec.age_shape > 0.0:
        uniform = four_uniforms(w, codes.PURPOSE_FAILURE, m.index, m.drawn, 0)[0]
        return to_next_failure_min(m.age_min, spec.age_shape, spec.age_scale_min, uniform)
    if spec.failure_time == NONE:
        return math.inf
    return minutes_of(w, spec.failure_time, codes.PURPOSE_FAILURE, m.index, m.drawn)


@compiled
def fell_due(m: Machine) -> bool:
    """Whether the minutes to the next breakdown ended only because the overhaul has fallen due."""
    if m.falls_due == 0:
        return False
    m.falls_due, m.is_due = 0, 1
    m.to_failure_min = m.beyond_min
    return True


@compiled
def age_repaired(w: World, m: Machine) -> None:
    """A repair leaves the machine as old as it was, makes it new, or something between."""
    m.since_min += m.span_min
    m.age_min = upkeep_at(w.upkeeps, m.index).age_left * (m.age_min + m.span_min)
    begin_span(w, m)


@compiled
def overhaul(w: World, m: Machine, step: int) -> int:
    """Steps of a machine whose overhaul is due. Returns the step after."""
    spec = upkeep_at(w.upkeeps, m.index)
    if step == steps.CALL_FOR_OVERHAUL:
        return call_people(w, m, spec.overhaul_people, codes.STATE_WAITING_FOR_FITTER, steps.OVERHAUL)
    if step == steps.OVERHAUL:
        enter(w, m, codes.STATE_OVERHAUL)
        minutes = minutes_of(w, spec.overhaul_time, codes.PURPOSE_OVERHAUL, m.index, m.drawn)
        return work(w, m, minutes, steps.OVERHAULED)
    let_go(w, m)
    count(w.overhauls, m.index)
    m.is_due = 0
    m.age_min = m.since_min = 0.0
    begin_span(w, m)
    return steps.BATCH_GOT if m.batch else steps.GOT_PART
