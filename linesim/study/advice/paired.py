"""Before and after: two ways of running a works set against each other, run by run, in money a month and the rest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple, assert_never

import numpy as np
import pandas as pd

from linesim.plan.tables import Floats
from linesim.result.details import Detail
from linesim.study.comparing.words import whose_words
from linesim.study.crew.outcome import WHOLE_WORKS, Outcome
from linesim.study.statistics.intervals import Difference, paired_difference
from linesim.works import Works
from linesim.works.types_of import has_worth

__all__ = ["CAPABLE", "MONEY", "Paired", "holds_drawing", "hours_a_month"]

CAPABLE = 1.0
"""Cpk below which a line does not hold the drawing; at 1, a normal process has 1350 ppm past the nearer limit."""

MONEY = "money"
"""Name of the figure in which changes are ranked."""

WORTH = "worth of the good parts"
"""Stands before the items of the ledger."""

MONTHS = 12.0


class Figure(NamedTuple):
    """One figure that is set against itself.

    Attributes
    ----------
    name, words, unit : str
        In tables; for people; its unit, with "money" standing for the currency.
    column : str
        Of the figures of a run.
    way : {"", "%", "a month", "a week", "out of limits"}
        What becomes of the column: as it stands; a share in per cent; money an hour as money a month; per hundred good
        parts as a number a week; good parts an hour within limits as the share outside, in per cent.
    is_more_better : bool
        Which way is good.
    """

    name: str
    words: str
    unit: str
    column: str
    way: Literal["", "%", "a month", "a week", "out of limits"]
    is_more_better: bool


FIGURES: tuple[Figure, ...] = (
    Figure(MONEY, "contribution", "money a month", "contribution_per_hour", "a month", True),
    Figure("output", "output", "good parts an hour", "good_per_hour", "", True),
    Figure("cost", "cost", "money a good part", "cost_per_good_part", "", False),
    Figure("loss", "quality loss in it", "money a good part", "quality_loss_per_good_part", "", False),
    Figure("first pass", "right first time", "%", "first_pass_yield", "%", True),
    Figure("out", "shipped out of the drawing", "%", "parts_in_limits_per_hour", "out of limits", False),
    Figure("planned", "planned changes", "a week", "planned_per_100", "a week", False),
    Figure("unplanned", "unplanned changes", "a week", "unplanned_per_100", "a week", False),
)
"""In the order in which they are read."""

_FIGURE = {figure.name: figure for figure in FIGURES}


def hours_a_month(works: Works) -> float:
    """Worked hours of a twelfth of a year, by the scenario's calendar.

    Parameters
    ----------
    works : Works

    Returns
    -------
    float

    >>> from linesim.works.model import Calendar
    >>> round(Calendar(shift=450, shifts_per_day=1).minutes_per()["year"] / 60.0 / 12.0, 6)
    150.0
    """
    return works.calendar.minutes_per()["year"] / 60.0 / MONTHS


def _of(name: str, outcomes: Sequence[Outcome]) -> Floats:
    """A figure of the whole works, run by run."""
    rows = (next(row for row in outcome.figures if row["line"] == WHOLE_WORKS) for outcome in outcomes)
    return np.array([math.nan if row[name] is None else float(row[name]) for row in rows])


def _values(name: str, works: Works, outcomes: Sequence[Outcome]) -> Floats:
    """One of `FIGURES`, run by run."""
    figure = _FIGURE[name]
    values = _of(figure.column, outcomes)
    match figure.way:
        case "":
            return values
        case "%":
            return 100.0 * values
        case "a month":
            return hours_a_month(works) * values
        case "a week":
            hours = works.calendar.minutes_per()["week"] / 60.0
            return values / 100.0 * _of("good_per_hour", outcomes) * hours
        case "out of limits":
            good = _of("good_per_hour", outcomes)
            return 100.0 * (good - values) / np.where(good > 0.0, good, math.nan)
        case _:
            assert_never(figure.way)


@dataclass(frozen=True, eq=False)
class Paired:
    """Two ways set against each other in runs that share their chance.

    Attributes
    ----------
    works : Works
        As it is before; gives calendar and currency.
    before, after : sequence of Outcome
        Equally many; those at the same place share their chance.
    confidence : float
        Of each interval.
    """

    works: Works
    before: Sequence[Outcome]
    after: Sequence[Outcome]
    confidence: float

    def difference(self, name: str) -> Difference:
        """After less before of one figure; of money, what is gained a month.

        Where no line says what a good part is worth, money is what today's output costs less than before.
        """
        if name == MONEY:
            return paired_difference(self._gain, np.zeros(len(self.before)), self.confidence)
        ours, theirs = (_values(name, self.works, outcomes) for outcomes in (self.after, self.before))
        return paired_difference(ours, theirs, self.confidence)

    @cached_property
    def _gain(self) -> Floats:
        """Money gained a month, run by run."""
        if any(has_worth(line) for line in self.works.lines.values()):
            return _values(MONEY, self.works, self.after) - _values(MONEY, self.works, self.before)
        saved = _values("cost", self.works, self.before) - _values("cost", self.works, self.after)
        return saved * _values("output", self.works, self.before) * hours_a_month(self.works)

    @property
    def table(self) -> pd.DataFrame:
        """One row for each of `FIGURES`: before, after, and the difference with its half width.

        Returns
        -------
        DataFrame
            name, figure, unit, before, after, change, half_width, confidence, n, is_apart, is_better (of the change).
        """
        rows = []
        is_worth = any(has_worth(line) for line in self.works.lines.values())
        for figure in FIGURES:
            apart = self.difference(figure.name)
            before = float(_values(figure.name, self.works, self.before).mean())
            after = float(_values(figure.name, self.works, self.after).mean())
            words = figure.words
            if figure.name == MONEY and not is_worth:
                words, before, after = "saved on today's output", 0.0, apart.mean
            unit = figure.unit.replace("money", self.works.currency)
            is_better = (apart.mean > 0.0) == figure.is_more_better
            rows.append(
                (figure.name, words, unit, before, after, apart.mean, apart.half_width, self.confidence, apart.n,
                 apart.is_apart, is_better)
            )  # fmt: skip
        heads = ["name", "figure", "unit", "before", "after", "change", "half_width", "confidence", "n", "is_apart",
                 "is_better"]  # fmt: skip
        return pd.DataFrame(rows, columns=heads)

    @property
    def items(self) -> pd.DataFrame:
        """What the good parts are worth a month and what each item of the ledger costs, the greatest change first.

        Returns
        -------
        DataFrame
            item, before, after, change, half_width, confidence, n, is_apart: worth less all costs is the contribution;
            items that are the same in every run are left out.
        """
        before, after = (_items(self.works, outcomes) for outcomes in (self.before, self.after))
        rows = []
        for item in dict.fromkeys([*before, *after]):
            nothing = np.zeros(len(self.before))
            ours, theirs = after.get(item, nothing), before.get(item, nothing)
            apart = paired_difference(ours, theirs, self.confidence)
            if apart.mean != 0.0 or apart.half_width != 0.0:
                figures = (float(theirs.mean()), float(ours.mean()), apart.mean, apart.half_width)
                rows.append((item, *figures, self.confidence, apart.n, apart.is_apart))
        heads = ["item", "before", "after", "change", "half_width", "confidence", "n", "is_apart"]
        table = pd.DataFrame(rows, columns=heads)
        order = table["change"].abs().sort_values(ascending=False, kind="stable").index
        return table.loc[order].reset_index(drop=True)


def _items(works: Works, outcomes: Sequence[Outcome]) -> dict[str, Floats]:
    """Money a month by item, run by run."""
    hours = hours_a_month(works)
    result: dict[str, Floats] = {}
    for at, outcome in enumerate(outcomes):
        rates = {row["line"]: float(row["good_per_hour"]) for row in outcome.figures}
        for row in outcome.ledger:
            values = result.setdefault(str(row["item"]), np.zeros(len(outcomes)))
            money = row["per_good_part"]
            values[at] += hours * rates[row["line"]] * (math.nan if money is None else float(money))
    return {WORTH: _values(MONEY, works, outcomes) + np.sum(list(result.values()), axis=0), **result}


def holds_drawing(heads: Sequence[Detail], outcomes: Sequence[Outcome]) -> tuple[float, str]:
    """The least Cpk of all that the drawing asks for, and whose it is.

    Parameters
    ----------
    heads : sequence of Detail
        What the details of the outcomes are of.
    outcomes : sequence of Outcome
        At least one.

    Returns
    -------
    (float, str)
        Mean over the runs; not a number if the drawing asks for nothing. Below `CAPABLE` it is not held.
    """
    at = [number for number, head in enumerate(heads) if head.figure == "cpk"]
    values = np.array([outcome.detail_values[at] for outcome in outcomes])
    least, whose = math.nan, ""
    for number, mean in zip(at, values.mean(axis=0).tolist(), strict=True):
        if not math.isnan(mean) and not mean >= least:
            least, whose = mean, whose_words(heads[number].name, heads[number].characteristic)
    return least, whose
