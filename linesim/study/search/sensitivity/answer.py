"""What drives the result: what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import pandas as pd

from linesim import __version__
from linesim.result.plain import plain_table, plain_value
from linesim.study.comparing.measures import Measure
from linesim.study.comparing.words import amount
from linesim.study.search.sensitivity.inputs import Input
from linesim.study.statistics.intervals import Difference, Interval, holm
from linesim.works import Works, digest

__all__ = ["Drivers", "Effect"]

_ASK = {"books": "look it up in the books", "customer": "ask what a complaint costs"}


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


@dataclass(frozen=True, eq=False)
class Drivers:
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

    def but(self, **changes: Any) -> Drivers:
        """The same with some attributes changed."""
        return replace(self, **changes)

    @cached_property
    def one_at_a_time(self) -> pd.DataFrame:
        """One row per input, the widest swing first: low and high factor, difference at each with its half width.

        Whether a difference is told from none is judged for all of them at once, by Holm's p value.
        """
        told, rows = self._told, []
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
                    "at_low_is_told": told[one.name, "low"],
                    "at_high_is_told": told[one.name, "high"],
                    "n": low.n,
                    "reason": one.reason,
                }
            )
        columns = ["input", "words", "low", "high", "at_low", "at_low_half_width", "at_high", "at_high_half_width"]
        columns += ["swing", "at_low_is_told", "at_high_is_told", "n", "reason"]
        table = pd.DataFrame(rows, columns=columns)
        return table.sort_values("swing", ascending=False, kind="stable", ignore_index=True)

    @property
    def _told(self) -> dict[tuple[str, str], bool]:
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

    def place_of(self, name: str) -> str:
        """Where the truth about an input is found: floor, books or customer."""
        return next(one.found_at for one in self.inputs if one.name == name)

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        found = {"one_at_a_time": self.one_at_a_time}
        return found | ({"screening": self.screening} if self.screened else {})

    @property
    def unit(self) -> str:
        """Unit of the effects."""
        return self.measure.unit.replace("money", self.works.currency)

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""
        return {
            "works": self.works.name,
            "digest": digest(self.works),
            "policy": self.policy,
            "measure": self.measure.name,
            "confidence": self.confidence,
            "seed": self.seed,
            "replications": self.replications,
            "trajectories": self.trajectories,
            "runs": self.runs,
            "linesim": __version__,
        }

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""
        base = None
        if self.base is not None:
            base = {name: plain_value(value) for name, value in self.base._asdict().items()}
        head = {
            "provenance": {name: plain_value(value) for name, value in self.provenance.items()},
            "currency": self.works.currency,
            "sentences": list(self.sentences),
            "base": base,
        }
        return head | {name: plain_table(table) for name, table in self.tables.items()}

    @property
    def sentences(self) -> tuple[str, ...]:
        """What to measure first, in words."""
        told = _screened_sentences(self) if self.screened else _alone_sentences(self)
        return tuple(told)


def _screened_sentences(found: Drivers) -> list[str]:
    """The strongest input by screening, and those that cannot be told from it."""
    rows = found.screening.to_dict(orient="records")
    floor = [row for row in rows if found.place_of(row["input"]) == "floor"]
    told = []
    if floor and floor[0]["mu_star"] > floor[0]["half_width"]:
        first = floor[0]
        words = (
            f"over its range it changes {found.measure.words} by {_shown(found, first['mu_star'], first['half_width'])}"
        )
        told.append(f"Measure {first['words']} first: {words} in the mean.")
        least = first["mu_star"] - first["half_width"]
        ties = [row["words"] for row in floor[1:] if row["mu_star"] + row["half_width"] >= least]
        if ties:
            told.append(f"Which matters most cannot be told between it and {_some(ties)}.")
    else:
        told.append("Nothing that can be measured on the floor is told to matter; more trajectories may tell.")
    for row in [row for row in rows[:5] if found.place_of(row["input"]) != "floor"]:
        words, shown = str(row["words"]), _shown(found, row["mu_star"], row["half_width"])
        told.append(f"{words[0].upper()}{words[1:]} matters too ({shown}): {_ASK[found.place_of(row['input'])]}.")
    bent = [row["words"] for row in floor[:5] if row["sigma"] > row["mu_star"]]
    return [*told, f"What these do leans on other inputs, or bends: {_some(bent)}."] if bent else told


def _alone_sentences(found: Drivers) -> list[str]:
    """The widest swing one at a time that is told from none."""
    rows = found.one_at_a_time.to_dict(orient="records")
    ends = [
        (abs(row[end]), row, end) for row in rows for end in ("at_low", "at_high") if row[f"{end}_is_told"]
    ]  # fmt: skip
    floor = [each for each in ends if found.place_of(each[1]["input"]) == "floor"]
    if not floor:
        return ["Nothing that can be measured on the floor is told to matter; more replications may tell."]
    _, first, end = max(floor, key=lambda each: each[0])
    factor = first["low" if end == "at_low" else "high"]
    shown = _shown(found, first[end], first[f"{end}_half_width"])
    at = f"at {factor:g} times the scenario's figure"
    told = [f"Measure {first['words']} first: {at} {found.measure.words} differs by {shown}."]
    wider = [row for row in rows if found.place_of(row["input"]) == "floor" and row["swing"] > abs(first[end])]
    open_ = [row["words"] for row in wider if not (row["at_low_is_told"] or row["at_high_is_told"])]
    if open_:
        told.append(f"More replications will tell whether these matter more: {_some(open_)}.")
    still = len(rows) - len({row["input"] for _, row, _ in ends})
    if still:
        told.append(f"Of {len(rows)} inputs {still} cannot be told from having no effect, all asked at once.")
    return told


def _shown(found: Drivers, mean: float, half_width: float) -> str:
    """A figure with its half width and unit; shares in per cent."""
    factor = 100.0 if found.measure.is_share else 1.0
    unit = "" if found.unit == "1/h" else f" {found.unit}"
    return f"{amount(factor * mean, factor * half_width)}{unit.rstrip()}"


def _some(words: list[str]) -> str:
    """A few of a list in words."""
    if len(words) > 3:
        return f"{', '.join(words[:2])} and {len(words) - 2} others"
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
