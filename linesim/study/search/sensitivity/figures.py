"""What drives the result: what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Self

import pandas as pd

from linesim.study.comparing.measures import Measure
from linesim.study.search.sensitivity.inputs import Input
from linesim.study.statistics.intervals import Difference, Interval, holm
from linesim.works import Works

__all__ = ["DriverFigures", "Effect"]


@dataclass(frozen=True)
class Effect:
    """Morris's figures of one input, in the unit of the measure, over the whole of its range.

    Attributes
    ----------
    mu_star : float
        Mean size of its elementary effects.
    half_width : float
        Half the bootstrapped interval of that.
    mu : float
        Their mean with its sign.
    sigma : float
        Their standard deviation: large against mu_star where the effect bends or leans on other inputs.
    """

    mu_star: float
    half_width: float
    mu: float
    sigma: float


@dataclass(frozen=True, eq=False, repr=False)
class DriverFigures:
    """What a measure depends on most, among the inputs that a shop knows least.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which it was run, with shares of life written in minutes.
    measure : Measure
        What is looked at.
    inputs : tuple of Input
        With their ranges.
    confidence, seed, replications : float, int, int
        Of each interval; key of all chance; replications of every run.
    base : Interval or None
        The measure with every input as the scenario has it.
    alone : dict of str to (Difference, Difference)
        By input: the measure with it at its low and at its high end, less the base; paired.
    screened : dict of str to Effect
        By input: Morris's figures; empty without a screening.
    trajectories : int
        Of the screening, as far as it has come.
    runs : int
        Runs done.
    """

    works: Works
    policy: str
    measure: Measure
    inputs: tuple[Input, ...]
    confidence: float
    seed: int
    replications: int
    base: Interval | None = None
    alone: Mapping[str, tuple[Difference, Difference]] = field(default_factory=dict)
    screened: Mapping[str, Effect] = field(default_factory=dict)
    trajectories: int = 0
    runs: int = 0

    def but(self, **changes: Any) -> Self:
        """The same with some attributes changed."""
        return replace(self, **changes)

    @cached_property
    def one_at_a_time(self) -> pd.DataFrame:
        """One row per input, the widest swing first: low and high factor, difference at each with its half width.

        Whether a difference is told from none is judged for all of them at once, by Holm's p value.
        """
        text, rows = self._significance, []
        for one in self.inputs:
            if one.name not in self.alone:
                continue
            low, high = self.alone[one.name]
            rows.append(
                {
                    "input": one.name,
                    "words": one.words,
                    "low": one.low,
                    "high": one.high,
                    "at_low": low.mean,
                    "at_low_half_width": low.half_width,
                    "at_high": high.mean,
                    "at_high_half_width": high.half_width,
                    "swing": max(abs(low.mean), abs(high.mean)),
                    "at_low_is_told": text[one.name, "low"],
                    "at_high_is_told": text[one.name, "high"],
                    "n": low.n,
                    "reason": one.reason,
                }
            )
        columns = ["input", "words", "low", "high", "at_low", "at_low_half_width", "at_high", "at_high_half_width"]
        columns += ["swing", "at_low_is_told", "at_high_is_told", "n", "reason"]
        table = pd.DataFrame(rows, columns=columns)
        return table.sort_values("swing", ascending=False, kind="stable", ignore_index=True)

    @property
    def _significance(self) -> dict[tuple[str, str], bool]:
        """By input and end: whether its difference is told from none."""
        ends = [(name, end) for name in self.alone for end in ("low", "high")]
        raised = holm([self.alone[name][0 if end == "low" else 1].p_value for name, end in ends])
        return {at: p < 1.0 - self.confidence for at, p in zip(ends, raised, strict=True)}

    @cached_property
    def screening(self) -> pd.DataFrame:
        """One row per input, the strongest first: mu_star with its half width, mu, sigma."""
        rows = [
            {"input": one.name, "words": one.words, "low": one.low, "high": one.high, **vars(self.screened[one.name])}
            for one in self.inputs
            if one.name in self.screened
        ]
        columns = ["input", "words", "low", "high", "mu_star", "half_width", "mu", "sigma"]
        table = pd.DataFrame(rows, columns=columns)
        return table.sort_values("mu_star", ascending=False, kind="stable", ignore_index=True)

    @property
    def words_of(self) -> dict[str, str]:
        """What each input is called, by its name."""
        return {one.name: one.words for one in self.inputs}

    def place_of(self, name: str) -> str:
        """Where the truth about an input is found: floor, books or customer."""
        return next(one.found_at for one in self.inputs if one.name == name)

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        answer = {"one_at_a_time": self.one_at_a_time}
        return answer | ({"screening": self.screening} if self.screened else {})

    @property
    def unit(self) -> str:
        """Unit of the effects."""
        return self.measure.unit.replace("money", self.works.currency)
