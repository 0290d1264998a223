"""Picking the best of several by runs that are looked at one after another: Kim and Nelson's procedure.

Source: S.-H. Kim and B. L. Nelson, "A fully sequential procedure for indifference-zone selection in simulation", ACM
Transactions on Modeling and Computer Simulation 11 (2001), 251-273 (from memory), with their constant c = 1. Values of
one replication may depend on each other (shared castings, edges and breakdowns); from replication to replication they
are independent and normal.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.errors import StudyError
from linesim.result.plain import plain_value

__all__ = ["BestKnown", "Dropped", "Race", "Selection", "eta_of", "plain_selection"]


class BestKnown(NamedTuple):
    """Go on until the best is known.

    Attributes
    ----------
    zone : float
        Indifference zone, in the unit of what decides, above 0: a lead smaller than this is not worth a change.
    first : int
        Replications of everything before anything is dropped, 2 or more; they settle the spread of the differences.
    most : int
        Replications after which it ends, whether or not the best is known.
    """

    zone: float
    first: int = 10
    most: int = 200


class Dropped(NamedTuple):
    """What has been left behind.

    Attributes
    ----------
    name : str
        What was dropped.
    after : int
        Replications after which that was.
    by : str
        What it was then behind of, by more than its margin.
    behind : float
        By how much in the mean, in the unit of what decides, 0 or more.
    """

    name: str
    after: int
    by: str
    behind: float


@dataclass(frozen=True)
class Selection:
    """How picking the best has ended.

    Attributes
    ----------
    best : str or None
        The one that is left; None if several are.
    left : tuple of str
        All that are left.
    dropped : tuple of Dropped
        In the order in which they were.
    zone, confidence : float
        What was asked for: with this confidence the best is picked if it leads every other one by the zone or more.
    replications : int
        Of what was run to the end.
    first, most : int
        Replications before the first look, and the most there could be.
    eta : float
        Kim and Nelson's constant.
    """

    best: str | None
    left: tuple[str, ...]
    dropped: tuple[Dropped, ...]
    zone: float
    confidence: float
    replications: int
    first: int
    most: int
    eta: float


def plain_selection(answer: Selection) -> dict[str, Any]:
    """A selection as plain values for JSON; what is not a number becomes None."""
    values = {name: list(value) if isinstance(value, tuple) else value for name, value in asdict(answer).items()}
    rows = [each._asdict() for each in answer.dropped]
    values["dropped"] = [{name: plain_value(value) for name, value in row.items()} for row in rows]
    return values


def eta_of(count: int, confidence: float, first: int) -> float:
    """Kim and Nelson's constant for c = 1.

    Parameters
    ----------
    count : int
        How many there are to choose from, 2 or more.
    confidence : float
        Wanted chance of picking the best, above 1/count and below 1.
    first : int
        Replications of the first stage, 2 or more.

    Returns
    -------
    float
        η, the root of ½ (1 + 2η)^(-(first - 1)/2) = (1 - confidence)/(count - 1).

    >>> round(eta_of(4, 0.95, 10), 4)
    0.5647
    """
    power = math.pow(2.0 * (1.0 - confidence) / (count - 1), -2.0 / (first - 1))
    return (power - 1.0) / 2.0


@dataclass
class Race:
    """Looks at the values as they come in, and drops what is behind.

    Attributes
    ----------
    names : tuple of str
        All that enter.
    confidence : float
        Wanted chance of picking the best.
    rule : BestKnown
        Zone and numbers of replications.
    sign : float
        1 if more is better, -1 if less is.
    """

    names: tuple[str, ...]
    confidence: float
    rule: BestKnown
    sign: float = 1.0
    left: list[str] = field(init=False)
    dropped: list[Dropped] = field(init=False, default_factory=list)
    looked: int = field(init=False, default=0)
    _variance: dict[tuple[str, str], float] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        zone, first, most = self.rule
        if not (zone > 0.0 and math.isfinite(zone)):
            raise StudyError(f"an indifference zone of {zone:g} cannot be; a lead above 0 was expected")
        if not 2 <= first <= most:
            raise StudyError(
                f"picking the best from {first} replications up to {most} cannot be; at least 2 at first, and no more "
                "than in all, were expected"
            )
        if not 1.0 / max(len(self.names), 2) < self.confidence < 1.0:
            raise StudyError(
                f"a confidence of {self.confidence:g} in the best of {len(self.names)} cannot be; above "
                f"{1.0 / max(len(self.names), 2):.2g}, which a blind guess has, and below 1 was expected"
            )
        self.left = list(self.names)

    @property
    def eta(self) -> float:
        """Kim and Nelson's constant."""
        return eta_of(max(len(self.names), 2), self.confidence, self.rule.first)

    @property
    def is_over(self) -> bool:
        """Whether no more than one is left, or the most replications are done."""
        return len(self.left) < 2 or self.looked >= self.rule.most

    def look(self, values: Mapping[str, Sequence[float] | npt.NDArray[np.float64]], count: int) -> None:
        """Look at the first so many replications, and drop what is behind.

        Parameters
        ----------
        values : mapping of str to sequence of float
            What decides, by name, one figure for each replication; of what is still left at least ``count``. One that
            has no figure (not a number) at the first look is dropped.
        count : int
            Replications to look at, from the first stage's on and never fewer than before.
        """
        signed = {name: self.sign * np.asarray(values[name][:count], dtype=np.float64) for name in self.left}
        if not self._variance:
            self._enter(signed)
        means = {name: float(signed[name].mean()) for name in self.left}
        rivals = list(self.left)
        for name in rivals:
            leads = {other: means[other] - means[name] - self._margin(name, other, count) for other in rivals}
            by = max(leads, key=lambda other: leads[other])
            if leads[by] > 0.0:
                self.left.remove(name)
                self.dropped.append(Dropped(name, count, by, means[by] - means[name]))
        self.looked = count
        if len(self.left) > 1 and self._is_settled(count):
            self._keep_one(means, count)

    def selection(self) -> Selection:
        """How it has ended, or stands."""
        best = self.left[0] if len(self.left) == 1 else None
        zone, first, most = self.rule
        left, dropped = tuple(self.left), tuple(self.dropped)
        return Selection(best, left, dropped, zone, self.confidence, self.looked, first, most, self.eta)

    def _enter(self, signed: dict[str, npt.NDArray[np.float64]]) -> None:
        """Take the spread of all differences from the first stage."""
        for name in self.names:
            if not np.isfinite(signed[name]).all():
                self.left.remove(name)
                self.dropped.append(Dropped(name, self.rule.first, "", math.nan))
        first = self.rule.first
        for name in self.left:
            for other in self.left:
                apart = signed[name][:first] - signed[other][:first]
                self._variance[name, other] = float(apart.var(ddof=1))

    def _margin(self, name: str, other: str, count: int) -> float:
        """How far one may be behind another and still stay."""
        if name == other:
            return 0.0
        zone, first, _ = self.rule
        bound = 2.0 * self.eta * (first - 1) * self._variance[name, other] / zone**2
        return max(0.0, zone / (2.0 * count) * (bound - count))

    def _is_settled(self, count: int) -> bool:
        """Whether no margin is left, so that only those exactly level can still stand side by side."""
        return all(self._margin(name, other, count) == 0.0 for name in self.left for other in self.left)

    def _keep_one(self, means: dict[str, float], count: int) -> None:
        """Of those exactly level the first-named stays."""
        best = self.left[0]
        self.dropped += [Dropped(name, count, best, means[best] - means[name]) for name in self.left[1:]]
        self.left = [best]
