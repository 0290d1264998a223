"""One minute an hour more or less at an operation: the works in which handling takes that much longer or shorter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from linesim.desk.sets import cycle_minutes
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.plan.times import mean_minutes
from linesim.study.comparing.alternatives import Alternative
from linesim.works import Works
from linesim.works.durations import Spread
from linesim.works.operations import Operation

__all__ = ["BASE", "Clock", "Nudge", "clocks_of", "longer", "nudges_of"]

BASE = "as it is"
_MEAN = ("exponential", "erlang", "gamma", "lognormal", "weibull")


class Nudge(NamedTuple):
    """One operation with its time of a part changed.

    Attributes
    ----------
    line, operation : str
        Where.
    minutes : float
        By which the time of each part is changed there; below 0 it is shorter.
    alternative : Alternative
        The works with it.
    clock : Clock
        Which tells how many parts the operation takes up while it is so.
    """

    line: str
    operation: str
    minutes: float
    alternative: Alternative
    clock: Clock


class Clock(NamedTuple):
    """A state that every part spends a known time in, by which parts can be counted.

    Attributes
    ----------
    line, operation : str
        Where.
    state : str
        What the machine does in that time: loading, or cutting where nothing has to be loaded.
    minutes : float
        Mean time of one part in it.
    cycle_min : float
        Mean time of one part in all.
    """

    line: str
    operation: str
    state: str
    minutes: float
    cycle_min: float

    def parts_per_hour(self, runs: Sequence[Sequence[dict[str, Any]]]) -> float:
        """Parts that the operation's machines take up in an hour together, in the mean over runs.

        Parameters
        ----------
        runs : sequence of sequences of dict
            The rows of `Outcome.times` of each run.

        Returns
        -------
        float
        """
        here = (self.line, self.operation, self.state)
        share = sum(
            row["share"] for rows in runs for row in rows if (row["line"], row["operation"], row["state"]) == here
        )
        return 60.0 * share / (self.minutes * len(runs)) if self.minutes > 0.0 else 0.0

    def changed(self, operation: Operation, by_min: float) -> Clock:
        """The clock of an operation whose time of a part is changed by so much."""
        if operation.minutes is not None:
            is_it = self.state == State.CUTTING.words
            return self._replace(minutes=self.minutes + by_min) if is_it else self
        if self.state == State.LOADING.words:
            return self._replace(minutes=self.minutes + by_min)
        return self._replace(state=State.LOADING.words, minutes=by_min)


def clocks_of(works: Works, plan: Plan) -> dict[tuple[str, str], Clock]:
    """The clock of every operation, by line and name.

    Parameters
    ----------
    works : Works
        The checked scenario.
    plan : Plan
        Of it.

    Returns
    -------
    dict
    """
    answer = {}
    number = 0
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            cycle = cycle_minutes(plan, number, operation)
            is_loaded = cycle.handling > 0.0
            state = State.LOADING if is_loaded else State.CUTTING
            minutes = cycle.handling if is_loaded else cycle.cutting
            answer[line_name, name] = Clock(line_name, name, state.words, minutes, sum(cycle))
            number += 1
    return answer


def nudges_of(
    works: Works,
    policy: str,
    clocks: Mapping[tuple[str, str], Clock],
    parts_per_hour: Mapping[tuple[str, str], float],
) -> list[Nudge]:
    """Every operation a little quicker and a little slower.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        Name of the policy under which it is run.
    clocks : mapping
        As `clocks_of` makes them.
    parts_per_hour : dict
        By line and operation: parts taken up there in an hour, all its machines together.

    Returns
    -------
    list of Nudge
        Two for each operation: parts taken up in an hour together take one minute less, and one minute more. The time
        is put on, or taken off, handling (loading; unloading where that is not enough), or the minutes of an operation
        that is given by its minutes alone; cutting itself is left as it is, and with it every edge. Where there is
        less than that to take off, all but a hundredth of it is.
    """
    answer = []
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            clock = clocks[line_name, name]
            minutes = 1.0 / max(parts_per_hour[line_name, name], 1e-9)
            for wanted in (-minutes, minutes):
                changed, by_min = _nudged(operation, wanted, clock.cycle_min)
                if by_min == 0.0:
                    continue
                words = f"a minute an hour {'less' if by_min < 0.0 else 'more'} at {name}"
                alternative = Alternative(
                    f"{line_name} / {name} {'less' if by_min < 0.0 else 'more'}",
                    _with_operation(works, line_name, name, changed),
                    policy,
                    words,
                )
                answer.append(Nudge(line_name, name, by_min, alternative, clock.changed(operation, by_min)))
    return answer


def _with_operation(works: Works, line: str, name: str, operation: Operation) -> Works:
    """The works with one operation in place of another."""
    routing = works.lines[line]
    operations = {**routing.operations, name: operation}
    lines = {**works.lines, line: routing.model_copy(update={"operations": operations})}
    return works.model_copy(update={"lines": lines})


def _nudged(operation: Operation, wanted_min: float, cycle_min: float) -> tuple[Operation, float]:
    """An operation whose time of a part is changed by so much, or by as much as there is; and by how much it is."""
    # A change by more than the tenth of a cycle would show another line, not the worth of a minute in this one.
    left_min = max(-0.1 * cycle_min, min(0.1 * cycle_min, wanted_min))
    update: dict[str, Any] = {}
    done_min = 0.0
    fields = ("minutes",) if operation.minutes is not None else ("load", "unload")
    for name in fields:
        before: Spread = getattr(operation, name)
        mean_min = mean_minutes(before) / operation.at_once
        by_min = max(left_min - done_min, -0.99 * mean_min) if left_min < 0.0 else left_min - done_min
        if by_min != 0.0:
            update[name] = longer(before, mean_min * operation.at_once, by_min * operation.at_once)
            done_min += by_min
    if "minutes" in update and operation.minutes_by_type:
        # Every type takes so much more or less; none less than a hundredth of its time.
        update["minutes_by_type"] = {
            kind: longer(before, mean_minutes(before), max(done_min * operation.at_once, -0.99 * mean_minutes(before)))
            for kind, before in operation.minutes_by_type.items()
        }
    return operation.model_copy(update=update), done_min


def longer(before: Spread, mean_min: float, by_min: float) -> Spread:
    """A time whose mean is changed by so much; its form and its spread relative to the mean stay.

    Parameters
    ----------
    before : Spread
        The time as it is.
    mean_min : float
        Its mean, minutes.
    by_min : float
        Minutes to put on; below 0 to take off, less than the mean.

    Returns
    -------
    Spread
    """
    if mean_min == 0.0:
        return Spread(fixed=by_min)
    factor = (mean_min + by_min) / mean_min
    name, distribution = before.name, getattr(before, before.name)
    if name == "fixed":
        return Spread(fixed=before.fixed * factor)  # type: ignore[operator]
    if name in ("listed", "in_order"):
        return Spread(**{name: [minutes * factor for minutes in distribution]})
    keys = ("mean", "scale") if name in _MEAN else ("low", "mode", "high")
    scaled = {key: getattr(distribution, key) * factor for key in keys if getattr(distribution, key, None) is not None}
    return Spread(**{name: distribution.model_copy(update=scaled)})
