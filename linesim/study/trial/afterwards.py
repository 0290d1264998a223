"""The trial's records read back: quantity by quantity, whether it was as foretold, and whether to keep the interval."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Literal

import numpy as np

from linesim.plan.build import make_plan
from linesim.records.reading import Record, Records
from linesim.study.trial.answer import Trial
from linesim.study.trial.figures import READ, band_of_runs
from linesim.study.trial.quantities import QUANTITIES, Quantity

__all__ = ["Judged", "ReadBack", "Verdict"]

Verdict = Literal["keep", "undecided", "go on", "find out", "back", "not carried out", "no records"]
_NEAR = 0.1
"""A change so near to the interval was made by it; a reading so near to it was taken before the change."""
_DRAWS = 4000
_WEEK_DAYS = 7.0


@dataclass(frozen=True)
class Judged:
    """One quantity as it was foretold and as it was.

    Attributes
    ----------
    of : Quantity
        Which.
    expected, low, high : float
        Mean and band of the total, or of the mean of so many readings.
    seen : float
        In the records.
    count : int
        Rows that it rests on.
    """

    of: Quantity
    expected: float
    low: float
    high: float
    seen: float
    count: int

    @property
    def where(self) -> str:
        """Inside the band, or on which side of it."""
        return "above" if self.seen > self.high else "below" if self.seen < self.low else "inside"

    @property
    def is_worse(self) -> bool:
        """Whether it lies outside on the side that harms the shop."""
        sides: dict[str, tuple[str, ...]] = {
            "more": ("above",), "fewer": ("below",), "either": ("above", "below"), "": (),
        }  # fmt: skip
        return self.where in sides[self.of.worse]


@dataclass(frozen=True, eq=False, repr=False)
class ReadBack:
    """What a trial has come to.

    Attributes
    ----------
    trial : Trial
        As it was foretold.
    records : Records
        What was written down.
    since : datetime.date or None
        First day of the trial; rows before it do not count.
    """

    trial: Trial
    records: Records
    since: date | None = None

    @cached_property
    def rows(self) -> tuple[Record, ...]:
        """Rows of the trial, in time."""
        days = [row for row in self.records.rows if self.since is None or _day(row) is not None]
        first = self._first
        own = [row for row in days if first is None or _day(row) is None or self._is_within(row, first)]
        return tuple(sorted(own, key=lambda row: str(row.when or "")))

    @property
    def _first(self) -> date | None:
        known = [day for row in self.records.rows if (day := _day(row)) is not None]
        return self.since if self.since is not None else min(known, default=None)

    def _is_within(self, row: Record, first: date) -> bool:
        day = _day(row)
        return day is not None and 0 <= (day - first).days < _WEEK_DAYS * self.trial.n_weeks

    @property
    def left_out(self) -> int:
        """Rows before the trial, after its last week, or without a date where its first day was given."""
        return len(self.records.rows) - len(self.rows)

    @cached_property
    def weeks_done(self) -> int:
        """Weeks of the trial that the records hold, to the nearest whole one."""
        known = [day for row in self.rows if (day := _day(row)) is not None]
        if not known or self._first is None:
            return self.trial.n_weeks
        days = (max(known) - self._first).days + 1
        return int(min(max(round(days / _WEEK_DAYS), 1), self.trial.n_weeks))

    @cached_property
    def changes(self) -> list[Record]:
        """Changes of the set on the machines of its operation, in time."""
        return [row for row in self.rows if row.kind == "tool changes" and self._is_own(row)]

    def _is_own(self, row: Record) -> bool:
        set_at = self.trial.set_at
        machines = {"", set_at.operation, *self._machines}
        return row.name("set") == set_at.cutter and row.name("machine") in machines

    @cached_property
    def _machines(self) -> list[str]:
        """Names of the operation's machines."""
        plan, set_at = make_plan(self.trial.works, self.trial.policy), self.trial.set_at
        at = plan.machines.operation.tolist()
        pairs = zip(plan.names.machines, at, strict=True)
        return [name for name, operation in pairs if plan.names.operations[operation] == set_at.operation]

    @property
    def was_stopped(self) -> bool:
        """Whether the rule to stop has fired."""
        return self.trial.stop.fires([row.name("why") == "broken" for row in self.changes])

    @property
    def was_kept_to(self) -> bool:
        """Whether the set was changed about when the trial says, as far as parts were written down."""
        parts = self._parts
        if not len(parts):
            return True
        expected = float(self.trial.table.set_index("name")["trial"].get("parts", float(self.trial.interval)))
        return abs(float(np.median(parts)) - expected) <= max(_NEAR * expected, 1.0)

    @property
    def _parts(self) -> np.ndarray:
        known = [row.number("parts") for row in self.changes if row.name("why") != "broken"]
        return np.array([each for each in known if each is not None], dtype=np.float64)

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """Every quantity that was written down."""
        answer = (self._judge(of) for of in QUANTITIES if of in self.trial.quantities)
        return tuple(each for each in answer if each is not None)

    @property
    def missing(self) -> tuple[Quantity, ...]:
        """Quantities of which nothing was written down."""
        known = {each.of.name for each in self.judged}
        return tuple(of for of in self.trial.quantities if of.name not in known)

    def _judge(self, of: Quantity) -> Judged | None:
        if of.name in ("changes", "broken", "scrap"):
            seen, count = self._counted(of.name)
            return Judged(of, *self.trial.total(of.name, self.weeks_done), seen, count) if count else None
        if of.name not in READ:
            return None
        values = self._parts if of.name == "parts" else self._read(of.name)
        if not len(values):
            return None
        band = self._mean_band(of.name, len(values))
        return Judged(of, *band, float(values.mean()), len(values))

    def _counted(self, name: str) -> tuple[float, int]:
        """A total, and rows that it rests on."""
        if name == "scrap":
            known = [value for row in self.rows if row.kind == "counts" and (value := row.number("scrap")) is not None]
            return float(sum(known)), len(known)
        broken = sum(row.name("why") == "broken" for row in self.changes)
        return float(len(self.changes) if name == "changes" else broken), len(self.changes)

    def _read(self, name: str) -> np.ndarray:
        """Readings taken just before a change, on the machines of the set."""
        least = (1.0 - _NEAR) * self.trial.interval
        rows = [row for row in self.rows if row.kind == "gauge readings" and self._is_own(row)]
        known = [row.number(name) for row in rows if (row.number("parts") or 0.0) >= least]
        return np.array([each for each in known if each is not None], dtype=np.float64)

    def _mean_band(self, name: str, count: int) -> tuple[float, float, float]:
        """Mean and band of the mean of so many readings, the gauge's error among it."""
        chance = np.random.default_rng([self.trial.seed % 2**32, 20_332])
        runs = [run for run in self.trial.readings(name) if len(run)]
        each = -(-_DRAWS // len(runs))
        means = np.concatenate([_means(run, count, each, chance) for run in runs])
        means += self.trial.reading_error(name) / np.sqrt(count) * chance.normal(size=len(means))
        return band_of_runs(means)

    @cached_property
    def verdict(self) -> Verdict:
        """Whether to keep the new interval."""
        if not self.judged:
            return "no records"
        if self.was_stopped:
            return "back"
        if not self.was_kept_to:
            return "not carried out"
        if any(each.is_worse for each in self.judged):
            return "find out"
        if self.weeks_done < self.trial.n_weeks:
            return "go on"
        gain = self.trial.difference("money")
        return "back" if gain.is_apart and gain.mean < 0.0 else "keep" if gain.is_apart else "undecided"


def _day(row: Record) -> date | None:
    when: datetime | None = row.when
    return None if when is None else when.date()


def _means(run: np.ndarray, count: int, draws: int, chance: np.random.Generator) -> np.ndarray:
    """Means of so many readings of a run; each once, if it has so many."""
    if count > len(run):
        return np.asarray(chance.choice(run, size=(draws, count)).mean(axis=1))
    return np.asarray(chance.permuted(np.tile(run, (draws, 1)), axis=1)[:, :count].mean(axis=1))
