"""The value of a bottleneck minute: what one minute less stopped is worth at each operation."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.plan.tables import Floats
from linesim.plan.tally import State
from linesim.study.comparing.rounds import Rounds
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.questions.worth_plan import BASE, Nudge
from linesim.study.statistics.intervals import Difference, Interval, each_of, mean_interval, paired_difference
from linesim.words import keep
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["WorthFigures"]

_FREE = frozenset(
    state.words for state in (State.WAITING_FOR_PART, State.WAITING_FOR_FELLOW, State.FILLING, State.HELD_UP)
)
"""What a machine does through no doing of its own."""
_WORK = frozenset(state.words for state in (State.LOADING, State.CUTTING, State.GAUGING))


@dataclass(frozen=True, eq=False, repr=False)
class WorthFigures:
    """What one minute is worth at each operation of a works.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which it was run.
    seed, n_replications : int
        Key of all chance; each works was run with replications 0 to n_replications - 1 of it.
    confidence : float
        Of the intervals.
    nudges : tuple of Nudge
        What was changed.
    rounds : Rounds
        What was run.
    """

    works: Works
    policy: str
    seed: int
    n_replications: int
    confidence: float
    nudges: tuple[Nudge, ...]
    rounds: Rounds

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per operation, the one where a minute is worth most first.

        Columns line, operation, machines; worth, worth_half_width (change in contribution per hour, in money, for one
        machine minute an hour less stopped there); cost, cost_half_width (loss for one more); is_told (the interval of
        the worth leaves out 0); utilisation (share of its machines' time in which they neither wait for a part nor are
        held up); stopped_min (minutes an hour and machine in which they do not work on a part for any reason of their
        own: changes, waiting for setters and cutters, repairs); rank_worth, rank_utilisation (1 is first, in its line
        by the desk's and the shop's reckoning of a constraint); confidence, n. All intervals of one column hold at
        once.
        """
        rows = [self._row(line, name) for line, row in self.works.lines.items() for name in row.operations]
        table = pd.DataFrame(rows)
        # What cannot be told from nothing has no rank of its own, but stands in the order of its mean.
        table = table.sort_values("worth", ascending=False, kind="stable", na_position="last").reset_index(drop=True)
        table["rank_worth"] = np.arange(1, len(table) + 1)
        table["rank_utilisation"] = table["utilisation"].rank(ascending=False, method="first").astype(int)
        return table.assign(confidence=self.confidence, n=self.n_replications)

    @cached_property
    def not_significant(self) -> tuple[str, ...]:
        """Operations whose worth the runs do not tell apart from that of the first, by name with their line."""
        first = self.table.iloc[0]
        leader = self._worths(str(first["line"]), str(first["operation"]))
        if leader is None or self.n_replications < 2:
            return ()
        own = each_of(self.confidence, len(self.table) - 1)
        answer = []
        for row in self.table.iloc[1:].to_dict(orient="records"):
            other = self._worths(row["line"], row["operation"])
            if other is not None and not paired_difference(leader, other, own).is_apart:
                answer.append(self.named(row["line"], row["operation"]))
        return tuple(answer)

    def per_minute(self, line: str, operation: str) -> Interval:
        """Worth of one machine minute less stopped at an operation, money; by itself at the confidence of the study.

        Parameters
        ----------
        line, operation : str
            Where.

        Returns
        -------
        Interval
            Not a number where there is nothing to take a minute from.
        """
        values = self._worths(line, operation)
        if values is None:
            return Interval(math.nan, math.nan, self.n_replications)
        return mean_interval(values, self.confidence)

    def _row(self, line: str, name: str) -> dict[str, Any]:
        """One operation."""
        operation = self.works.lines[line].operations[name]
        own = each_of(self.confidence, sum(len(row.operations) for row in self.works.lines.values()))
        shares = self._shares(line, name)
        row: dict[str, Any] = {"line": line, "operation": name, "machines": operation.machines}
        for what, is_less in (("worth", True), ("cost", False)):
            answer = self._priced(line, name, is_less, own)
            row[what], row[f"{what}_half_width"] = answer.mean, answer.half_width
            if is_less:
                row["is_told"] = answer.is_apart
        free = sum(share for state, share in shares.items() if state in _FREE)
        work = sum(share for state, share in shares.items() if state in _WORK)
        return row | {"utilisation": 1.0 - free, "stopped_min": max(0.0, 60.0 * (1.0 - free - work))}

    def _worths(self, line: str, name: str, is_less: bool = True) -> Floats | None:
        """Change of contribution per hour for one minute, replication by replication."""
        for nudge in self.nudges:
            if (nudge.line, nudge.operation) == (line, name) and (nudge.minutes < 0.0) == is_less:
                there = self._contributions(nudge.alternative.name)
                # Parts taken up while it is so, not before: only then are an hour's minutes an hour's.
                runs = [self.rounds.outcomes[nudge.alternative.name, at].times for at in range(self.n_replications)]
                minutes = abs(nudge.minutes) * nudge.clock.parts_per_hour(runs)
                if minutes == 0.0:
                    return None  # no part ever comes there
                sign = 1.0 if is_less else -1.0
                return sign * (there - self._contributions(BASE)) / minutes
        return None

    def _priced(self, line: str, name: str, is_less: bool, confidence: float) -> Difference:
        """Worth of a minute less, or cost of a minute more, from the pairs with the works as it is."""
        values = self._worths(line, name, is_less)
        if values is None:
            return Difference(math.nan, math.nan, math.nan, self.n_replications)
        # Laid upon the contribution itself, so that what differs by rounding alone counts as the same.
        base = self._contributions(BASE)
        return paired_difference(base + values, base, confidence)

    def _contributions(self, name: str) -> Floats:
        """Contribution per hour of the whole works, replication by replication."""
        return _figures(self.rounds, name, WHOLE_WORKS, "contribution_per_hour", self.n_replications)

    def _shares(self, line: str, name: str) -> dict[str, float]:
        """Mean share of the time of an operation's machines in each state, as it is."""
        rows = [
            row for at in range(self.n_replications) for row in self.rounds.outcomes[BASE, at].times
            if row["line"] == line and row["operation"] == name
        ]  # fmt: skip
        return {str(state): float(own.mean()) for state, own in pd.DataFrame(rows).groupby("state")["share"]}

    def named(self, line: str, name: str) -> str:
        """What an operation is called, with its line where there are several."""
        words = called_at(self.works, line, name)
        return words if len(self.works.lines) == 1 else keep("worth.at_line", line=line, operation=words)


def _figures(rounds: Rounds, name: str, line: str, measure: str, count: int) -> Floats:
    """One figure of one works, replication by replication."""
    rows = (rounds.outcomes[name, at].figures for at in range(count))
    return np.array([next(float(row[measure]) for row in figures if row["line"] == line) for figures in rows])
