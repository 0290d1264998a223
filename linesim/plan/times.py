"""The table of all lengths of time of a plan."""

from __future__ import annotations

from typing import Any

import numpy as np
from cachetools import LRUCache

from linesim.chance import Distribution, weibull_scale_from_mean
from linesim.plan.tables import NONE, Times
from linesim.works.durations import Spread

__all__ = ["TimeTable", "mean_minutes", "row_minutes"]

_TABLES_AT_HAND = 8
"""Policies that look at no edge share a table, those with the same looks another."""


class TimeTable:
    """Collects lengths of time and numbers them; equal ones share a number."""

    def __init__(self) -> None:
        self._rows: list[tuple[int, float, float, float, int, int]] = []
        self._listed: list[float] = []
        self._known: dict[Spread, int] = {}
        self._tables: LRUCache[Any, Times] = LRUCache(_TABLES_AT_HAND)

    def copy(self) -> TimeTable:
        """A table that begins with the same rows, under the same numbers."""
        other = TimeTable()
        other._rows, other._listed, other._known = [*self._rows], [*self._listed], {**self._known}
        other._tables = self._tables
        return other

    def add(self, spread: Spread | None) -> int:
        """Number of a length of time; ``NONE`` for none, and for one that is always 0."""
        return NONE if spread is None or spread.fixed == 0.0 else self.add_always(spread)

    def add_always(self, spread: Spread) -> int:
        """Number of a length of time, even of one that is always 0."""
        key = spread if _values_of(spread) is None else None
        if key is not None and key in self._known:
            return self._known[key]
        self._rows.append(self._row(spread))
        if key is not None:
            self._known[key] = len(self._rows) - 1
        return len(self._rows) - 1

    def table(self) -> Times:
        """All of them as arrays; copies that are alike give one and the same, by which plans are known as alike."""
        content = (*self._rows, tuple(self._listed))
        if content not in self._tables:
            self._tables[content] = self._table()
        return self._tables[content]

    def _table(self) -> Times:
        columns = list(zip(*self._rows, strict=True)) or [()] * 6
        return Times(
            distribution=np.array(columns[0], dtype=np.int64),
            p1=np.array(columns[1], dtype=np.float64),
            p2=np.array(columns[2], dtype=np.float64),
            p3=np.array(columns[3], dtype=np.float64),
            list_first=np.array(columns[4], dtype=np.int64),
            list_end=np.array(columns[5], dtype=np.int64),
            listed=np.array(self._listed, dtype=np.float64),
        )

    def _row(self, spread: Spread) -> tuple[int, float, float, float, int, int]:
        first = len(self._listed)
        values = _values_of(spread)
        if values is not None:
            self._listed += values
            distribution = Distribution.LISTED if spread.in_order is None else Distribution.IN_ORDER
            return int(distribution), 0.0, 0.0, 0.0, first, len(self._listed)
        distribution, p1, p2, p3 = _distribution_of(spread)
        return int(distribution), p1, p2, p3, first, first


def _values_of(spread: Spread) -> list[float] | None:
    """The values of a time that is looked up; None for one that is drawn from a distribution."""
    return spread.listed if spread.in_order is None else spread.in_order


def _distribution_of(spread: Spread) -> tuple[Distribution, float, float, float]:
    """Distribution and parameters of a time that is not listed."""
    if spread.exponential is not None:
        return Distribution.EXPONENTIAL, spread.exponential.mean, 0.0, 0.0
    if spread.erlang is not None:
        return Distribution.GAMMA, spread.erlang.mean, float(spread.erlang.phases), 0.0
    if spread.gamma is not None:
        return Distribution.GAMMA, spread.gamma.mean, spread.gamma.cv**-2, 0.0
    if spread.lognormal is not None:
        return Distribution.LOGNORMAL, spread.lognormal.mean, spread.lognormal.cv, 0.0
    if spread.weibull is not None:
        shape, mean, scale = spread.weibull.shape, spread.weibull.mean, spread.weibull.scale
        if scale is None:
            scale = weibull_scale_from_mean(float(mean or 0.0), shape)
        return Distribution.WEIBULL, scale, shape, 0.0
    if spread.uniform is not None:
        return Distribution.UNIFORM, spread.uniform.low, spread.uniform.high, 0.0
    if spread.triangular is not None:
        return Distribution.TRIANGULAR, spread.triangular.low, spread.triangular.mode, spread.triangular.high
    return Distribution.FIXED, float(spread.fixed or 0.0), 0.0, 0.0


def mean_minutes(spread: Spread | None) -> float:
    """Mean of a length of time, minutes; 0 for none."""
    if spread is None:
        return 0.0
    values = _values_of(spread)
    if values is not None:
        return sum(values) / len(values)
    return _mean(*_distribution_of(spread))


def row_minutes(times: Times, row: int) -> float:
    """Mean of a length of time of a plan, minutes; 0 for none."""
    if row == NONE:
        return 0.0
    if times.list_end[row] > times.list_first[row]:
        return float(times.listed[times.list_first[row] : times.list_end[row]].mean())
    return _mean(times.distribution[row], float(times.p1[row]), float(times.p2[row]), float(times.p3[row]))


def _mean(distribution: int, p1: float, p2: float, p3: float) -> float:
    if distribution == Distribution.WEIBULL:
        return p1 / weibull_scale_from_mean(1.0, p2)
    if distribution == Distribution.UNIFORM:
        return (p1 + p2) / 2.0
    if distribution == Distribution.TRIANGULAR:
        return (p1 + p2 + p3) / 3.0
    return p1
