"""What a minute is worth at each operation: the constraint in money."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim import __version__
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.result.plain import plain_table
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.rounds import Rounds, check_asked, make_rounds
from linesim.study.comparing.words import amount, listing
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.interim import Interim, last_of
from linesim.study.questions.worth_plan import BASE, Nudge, clocks_of, nudges_of
from linesim.study.statistics.intervals import Difference, Interval, each_of, mean_interval, paired_difference
from linesim.works import Works, digest

__all__ = ["Worth", "worth", "worth_steps"]

_FREE = frozenset({State.WAITING_FOR_PART.words, State.HELD_UP.words})
"""What a machine does through no doing of its own."""
_WORK = frozenset(state.words for state in (State.LOADING, State.CUTTING, State.GAUGING))
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Worth:
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
    def not_told_apart(self) -> tuple[str, ...]:
        """Operations whose worth the runs do not tell apart from that of the first, by name with their line."""
        first = self.table.iloc[0]
        leader = self._worths(str(first["line"]), str(first["operation"]))
        if leader is None or self.n_replications < 2:
            return ()
        own = each_of(self.confidence, len(self.table) - 1)
        found = []
        for row in self.table.iloc[1:].to_dict(orient="records"):
            other = self._worths(row["line"], row["operation"])
            if other is not None and not paired_difference(leader, other, own).is_apart:
                found.append(self._named(row["line"], row["operation"]))
        return tuple(found)

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

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return tuple(self._sentences())

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""
        run = self.works.run
        return {
            "works": self.works.name, "digest": digest(self.works), "policy": self.policy, "seed": self.seed,
            "replications": self.n_replications, "confidence": self.confidence, "counted_min": run.length,
            "warm_up_min": run.warm_up, "engine": " and ".join(sorted(self.rounds.engines)), "linesim": __version__,
        }  # fmt: skip

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON; what is not a number becomes None."""
        head = {"provenance": self.provenance, "currency": self.works.currency, "sentences": list(self.sentences)}
        return head | {"not_told_apart": list(self.not_told_apart), "worth": plain_table(self.table)}

    def _row(self, line: str, name: str) -> dict[str, Any]:
        """One operation."""
        operation = self.works.lines[line].operations[name]
        own = each_of(self.confidence, sum(len(row.operations) for row in self.works.lines.values()))
        shares = self._shares(line, name)
        row: dict[str, Any] = {"line": line, "operation": name, "machines": operation.machines}
        for what, is_less in (("worth", True), ("cost", False)):
            found = self._priced(line, name, is_less, own)
            row[what], row[f"{what}_half_width"] = found.mean, found.half_width
            if is_less:
                row["is_told"] = found.is_apart
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

    def _named(self, line: str, name: str) -> str:
        """An operation, with its line where there are several."""
        return name if len(self.works.lines) == 1 else f"{line}: {name}"

    def _sentences(self) -> Iterator[str]:
        """What a minute is worth where, and whether utilisation would have said the same."""
        first, money = self.table.iloc[0], self.works.currency
        name = self._named(str(first["line"]), str(first["operation"]))
        level = f"{100.0 * self.confidence:g} % confidence"
        if self.n_replications < 2 or not bool(first["is_told"]):
            runs = "One replication does" if self.n_replications == 1 else f"{self.n_replications} replications do"
            yield f"{runs} not show that a minute less stopped is worth anything at any operation, with {level}."
            return
        worth_ = amount(float(first["worth"]), float(first["worth_half_width"]))
        apart = self.not_told_apart
        told = f"more than at any other, with {level}" if not apart else f"not told apart from {listing(list(apart))}"
        yield f"One minute an hour less stopped at {name} is worth {worth_} {money} per hour; {told}."
        busiest = self.table.sort_values("rank_utilisation").iloc[0]
        other = self._named(str(busiest["line"]), str(busiest["operation"]))
        share = f"{100.0 * float(busiest['utilisation']):.1f} %"
        if other == name:
            yield f"By utilisation ({share}) it is the constraint as well."
        else:
            at_other = amount(float(busiest["worth"]), float(busiest["worth_half_width"]))
            yield f"By utilisation it would be {other} ({share}), where a minute is worth {at_other} {money}."
        stopped = float(first["stopped_min"])
        yield (
            f"Its machines stand {stopped:.1f} minutes an hour for changes, setters, cutters and repairs of their own; "
            "a minute taken out of that is what is priced here."
        )
        shown = {(row["line"], row["operation"]) for row in self.table.to_dict(orient="records") if row["is_told"]}
        places = [(line, name) for line, row in self.works.lines.items() for name in row.operations]
        none = [self._named(*place) for place in places if place not in shown]
        if none:
            yield f"At {len(none)} of {len(places)} operations no worth can be shown: {', '.join(none)}."


def worth(
    works: Works,
    policy: str | None = None,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    crew: Crew | None = None,
) -> Worth:
    """Price one minute less stopped, an hour, at each operation.

    Every operation in turn is run with its parts taking so much less time in handling that its machines together are
    given back one minute an hour, and with so much more; each run is paired with the run of the works as it is, on the
    same castings, edges and breakdowns. Cutting stays as it is, so that quality and edges change only through what the
    line does with the minute.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; today's practice unless given.
    replications : int, optional
        Runs of each works, 1 or more; three times the scenario's unless given, as the differences are small.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of all intervals of a column together, between 0 and 1.
    rules : sequence of str or pathlib.Path
        Python files with rules of one's own.
    engine : {"fast", "simpy"}
        Which engine runs it.
    crew : Crew, optional
        Who carries the runs out.

    Returns
    -------
    Worth

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for `compare`.
    """
    return last_of(worth_steps(works, policy, replications, seed, confidence, rules, engine, crew))


def worth_steps(
    works: Works,
    policy: str | None = None,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    crew: Crew | None = None,
) -> Iterator[Interim[Worth]]:
    """`worth`, telling after each run how far it is and what the complete replications say.

    Parameters
    ----------
    works, policy, replications, seed, confidence, rules, engine, crew
        As for `worth`.

    Yields
    ------
    Interim of Worth
    """
    began_s = time.perf_counter()
    chosen = works.chosen_policy(policy)
    count = 3 * works.run.replications if replications is None else replications
    check_asked(count, confidence)
    key = works.run.seed if seed is None else seed
    base = Alternative(BASE, works, chosen)
    first = make_rounds([base], key, crew, rules, engine)
    for _ in first.more(0, 1):
        pass
    clocks = clocks_of(works, make_plan(works, chosen))
    times = first.outcomes[BASE, 0].times
    parts_per_hour = {place: clock.parts_per_hour([times]) for place, clock in clocks.items()}
    nudges = tuple(nudges_of(works, chosen, clocks, parts_per_hour))
    rounds = make_rounds([base, *(nudge.alternative for nudge in nudges)], key, crew, rules, engine)
    rounds.outcomes.update(first.outcomes)
    total, known = count * len(rounds.names), 0
    answer: Worth | None = None
    with closing(rounds.more(0, count)) as runs:  # type: ignore[type-var]
        for _ in runs:
            if rounds.complete() > known:
                known = rounds.complete()
                answer = Worth(works, chosen, key, known, confidence, nudges, rounds)
            took_s = time.perf_counter() - began_s
            yield Interim(len(rounds.outcomes), total, took_s, answer, "pricing a minute")
    yield Interim(total, total, time.perf_counter() - began_s, answer, "pricing a minute", is_final=True)


def _figures(rounds: Rounds, name: str, line: str, measure: str, count: int) -> Floats:
    """One figure of one works, replication by replication."""
    rows = (rounds.outcomes[name, at].figures for at in range(count))
    return np.array([next(float(row[measure]) for row in figures if row["line"] == line) for figures in rows])
