"""A first estimate of what a minute of standstill is worth at each operation, to start a search from."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from linesim.desk.operations import constraint_table, operation_table
from linesim.desk.sets import set_table
from linesim.plan.tables import Floats
from linesim.plan.times import mean_minutes
from linesim.study.crew.parcels import plan_at_hand
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.set_at import SetAt
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.intervals.renewal import Weights
from linesim.works import Works
from linesim.works.durations import Spread
from linesim.works.types_of import casting_price_of_mix, worth_of_mix

__all__ = ["PartWorth", "Standstill", "longer_stops", "paces", "part_worth", "standstill_runs", "weights_at"]

ADDED_MIN = 6.0
"""Minutes by which each stop is made longer, about as long as a change, so that buffers take up as much of it."""

Station = tuple[str, str]
"""Line and operation."""


@dataclass(frozen=True)
class PartWorth:
    """What one part is worth in the unit of the goal, by line and operation.

    Attributes
    ----------
    scrapped : dict
        Scrapped behind the operation: at or behind the one that holds the line back a good part is lost, before it
        another casting takes its place.
    broken : dict
        Lost in the operation as its edge broke: at the one that holds the line back half of its time is saved.
    per_minute : dict
        What a minute is worth there, worked out without a run.
    most_per_minute : dict
        The same if nothing but the operation held the line back.
    """

    scrapped: Mapping[Station, float]
    broken: Mapping[Station, float]
    per_minute: Mapping[Station, float]
    most_per_minute: Mapping[Station, float]


@dataclass(frozen=True)
class Standstill:
    """What a minute of standstill is worth at each operation, in the unit of the goal per minute."""

    per_minute: Mapping[Station, float]


def part_worth(works: Works, goal: Goal, level: float) -> PartWorth:
    """Worth of parts and minutes as the desk reckons them.

    Parameters
    ----------
    works : Works
        The scenario.
    goal : Goal
        What is sought.
    level : float
        The goal's measure under the policy from which the search starts: what a part costs, for the goal cost.

    Returns
    -------
    PartWorth
        At any moment one operation holds the line back, so that the minutes of a line are worth what one minute of all
        of it is, shared out by the fourth power of the load: a guess that runs replace.
    """
    plan = plan_at_hand(works, works.todays_policy)
    operations = operation_table(works, plan, set_table(works, plan, None))
    constraints = constraint_table(works, operations)
    holds = dict(zip(map(str, constraints["line"]), map(str, constraints["operation"]), strict=True))
    rows = {(str(row["line"]), str(row["operation"])): row for row in operations.to_dict(orient="records")}
    scrapped, broken, per_minute, most = {}, {}, {}, {}
    shares = {at: (float(row["load_percent"]) / 100.0) ** 4 for at, row in rows.items()}
    for name, operation in rows:
        line = works.lines[name]
        value = {"output": 1.0, "contribution": worth_of_mix(line), "cost": level}[goal.name]
        casting, metal = (0.0, 0.0) if goal.name == "output" else (casting_price_of_mix(line), line.casting.scrap_value)
        gain, replaced = max(value - casting, 0.0), max(casting - metal, 0.0)
        names = list(line.operations)
        behind = names.index(operation) - names.index(holds[name])
        at = (name, operation)
        scrapped[at] = replaced + (gain if behind >= 0 else 0.0)
        broken[at] = replaced + (gain if behind > 0 else 0.5 * gain if behind == 0 else 0.0)
        pace = float(rows[name, holds[name]]["parts_per_hour"]) / 60.0
        most[at] = gain * pace / line.operations[operation].machines
        per_minute[at] = most[at] * shares[at] / sum(share for (of, _), share in shares.items() if of == name)
    return PartWorth(scrapped, broken, per_minute, most)


def longer_stops(works: Works, stations: Iterable[Station]) -> Works:
    """The works with each stop for cutters at some operations some minutes longer."""
    for line, name in stations:
        operation = works.lines[line].operations[name]
        access = Spread(fixed=mean_minutes(operation.access) + ADDED_MIN)
        operations = works.lines[line].operations | {name: operation.model_copy(update={"access": access})}
        lines = works.lines | {line: works.lines[line].model_copy(update={"operations": operations})}
        works = works.model_copy(update={"lines": lines})
    return works


def standstill_runs(
    trials: Trials, base: Trial, stations: Sequence[Station], goal: Goal, replications: Sequence[int], worth: PartWorth
) -> Iterator[int | Standstill]:
    """Make stops longer, operation by operation, and see what that costs.

    Parameters
    ----------
    trials : Trials
        Carries them out.
    base : Trial
        The works as it is, under a policy that changes every set.
    stations : sequence of (line, operation)
        Where sets are changed.
    goal : Goal
        In whose unit it is worked out; where it adds up over lines, one operation of each line is looked at at once.
    replications : sequence of int
        Of each.
    worth : PartWorth
        What is taken where the runs say nothing.

    Yields
    ------
    int or Standstill
        Runs done, and at last the answer.
    """
    others = {
        together: Trial(("longer", together), longer_stops(base.works, together), base.policy)
        for together in _together(stations, goal)
    }
    yield from trials.run([base, *others.values()], replications)
    hourly = _hourly(trials, base, goal, replications)
    answer, most = {}, 1.5 * max(worth.most_per_minute.values())
    for together, other in others.items():
        for at in together:
            line = at[0] if goal.adds_up else None
            worse = _worse(trials, other, goal, line, replications) - _worse(trials, base, goal, line, replications)
            longer = trials.changing(other.key, at, replications) - trials.changing(base.key, at, replications)
            minutes = 60.0 * float(longer.mean())
            value = float(worse.mean()) * hourly / minutes if minutes > 0.02 else worth.per_minute[at]
            answer[at] = min(max(value, 0.0), most)
    yield Standstill({**worth.per_minute, **answer})


def _together(stations: Sequence[Station], goal: Goal) -> list[tuple[Station, ...]]:
    """Stations that are looked at in the same runs: one of each line where the goal tells lines apart."""
    if not goal.adds_up:
        return [(station,) for station in stations]
    by_line: dict[str, list[Station]] = {}
    for station in stations:
        by_line.setdefault(station[0], []).append(station)
    rows = zip_longest(*by_line.values())
    return [tuple(station for station in row if station is not None) for row in rows]


def _worse(trials: Trials, trial: Trial, goal: Goal, line: str | None, replications: Sequence[int]) -> Floats:
    """The goal's measure of one line, or of the whole works, turned so that more is worse."""
    name = goal.measure.name
    values = (
        trials.values(trial.key, name, replications)
        if line is None
        else trials.of_line(trial.key, name, line, replications)
    )
    return goal.worse(values)


def paces(trials: Trials, key: Hashable, works: Works, goal: Goal, replications: Sequence[int]) -> Mapping[str, float]:
    """By line what turns a cost of one part into the goal's unit: good parts an hour, or the line's share of them."""
    each = {line: float(trials.of_line(key, "good_per_hour", line, replications).mean()) for line in works.lines}
    return each if goal.adds_up else {line: pace / max(sum(each.values()), 1e-9) for line, pace in each.items()}


def _hourly(trials: Trials, base: Trial, goal: Goal, replications: Sequence[int]) -> float:
    """Turns a difference of the goal's measure into one per hour."""
    if goal.adds_up:
        return 1.0
    return float(trials.values(base.key, "good_per_hour", replications).mean())


def weights_at(
    set_at: SetAt, goal: Goal, standstill: Mapping[Station, float], worth: PartWorth, loss: float
) -> Weights:
    """What things count for at one set.

    Parameters
    ----------
    set_at : SetAt
        The set.
    goal : Goal
        What is sought.
    standstill : mapping
        Worth of a minute, by line and operation.
    worth : PartWorth
        Worth of a part.
    loss : float
        What one unit of quality loss counts for; where money counts that is 1.
    """
    at = (set_at.line, set_at.operation)
    money = 0.0 if goal.name == "output" else 1.0
    return Weights(standstill[at], money, loss, worth.scrapped[at], worth.broken[at])
