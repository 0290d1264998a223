"""What the foundry delivers: metal on a surface, how it scatters, and how much of that belongs to the heat.

A casting's stock is the mean + a step of its heat + a step of its own, both normal. The figures come from the
restricted likelihood, in which the mean has been summed out, so that spreads do not lean low where heats are few.
Source: H. D. Patterson and R. Thompson, Biometrika 58 (1971), 545-554 (from memory).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linesim.plan.tables import Floats
from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record
from linesim.records.spreads import mean_of, spread_of
from linesim.records.two_figures import profiled

__all__ = ["HEAT_SHARE", "SPREAD", "STOCK", "OneWay", "casting_figures"]

STOCK, SPREAD = "stock as cast", "spread as cast"
HEAT_SHARE = "share of the spread that belongs to the heat"
_FEWEST = 3
_UM = 1000.0
_FAR = 4.0
_MOST_SHARE = 1.0 - 1e-9


@dataclass(frozen=True)
class OneWay:
    """Values in groups, as the likelihood needs them.

    Attributes
    ----------
    counts, means : ndarray of shape (groups,)
        How many values each group has, and their mean.
    within : float
        Sum of squares about the groups' means.
    is_restricted : bool
        Whether the mean is summed out, or fitted.
    """

    counts: Floats
    means: Floats
    within: float
    is_restricted: bool = True

    @classmethod
    def of(cls, groups: Sequence[Floats], *, is_restricted: bool = True) -> OneWay:
        """From the values of each group."""
        counts = np.array([each.size for each in groups], float)
        means = np.array([each.mean() for each in groups], float)
        within = float(sum(((each - each.mean()) ** 2).sum() for each in groups))
        return cls(counts, means, within, is_restricted)

    def height(self, sigma: float, tau: float) -> float:
        """Logarithm of the likelihood, but for a constant, at the spread within groups and from group to group."""
        variance = tau**2 + sigma**2 / self.counts
        weights = 1.0 / variance
        middle = float((weights * self.means).sum() / weights.sum())
        free = float(self.counts.sum()) - self.counts.size
        own = free * np.log(sigma**2) + self.within / sigma**2
        rest = np.log(variance).sum() + (weights * (self.means - middle) ** 2).sum()
        lean = np.log(weights.sum()) if self.is_restricted else 0.0
        return -0.5 * float(own + rest + lean)

    def spreads(self, usual: float) -> tuple[Interval, Interval, Interval, Interval]:
        """Profile intervals of the spread within groups, from group to group, of both, and the groups' share of both.

        Parameters
        ----------
        usual : float
            A spread of about the right size, above 0.
        """
        logs, from_zero, shares = (np.log(usual) - _FAR, np.log(usual) + _FAR), (0.0, 20.0 * usual), (0.0, _MOST_SHARE)
        within = profiled(lambda log, tau: self.height(_exp(log), tau), logs, from_zero)
        between = profiled(lambda tau, log: self.height(_exp(log), tau), from_zero, logs)
        both = profiled(self._parted, logs, shares)
        share = profiled(lambda part, log: self._parted(log, part), shares, logs)
        return within.through(_exp), between, both.through(_exp), share

    def _parted(self, log_total: float, share: float) -> float:
        """The same at the logarithm of the whole spread and the groups' share of its square."""
        total = _exp(log_total)
        return self.height(total * (1.0 - share) ** 0.5, total * share**0.5)


def casting_figures(name: str, rows: Sequence[Record]) -> list[Coefficient]:
    """Stock, its spread, and what belongs to the heat, of one surface.

    Parameters
    ----------
    name : str
        The surface.
    rows : sequence of Record
        Castings as they came; the heat where it is known. Heats count apart with three of them or more and at least
        three castings more than heats.
    """
    heats: dict[str, list[float]] = defaultdict(list)
    for row in rows:
        heats[row.name("batch")].append(_UM * row.values["stock"])
    groups = [np.array(each) for heat, each in heats.items() if heat]
    values = np.concatenate([np.array(each) for each in heats.values()]) if heats else np.zeros(0)
    if values.size < _FEWEST or np.ptp(values) == 0.0:
        return []
    origin, known = origin_of(rows), sum(each.size for each in groups)
    if len(groups) < _FEWEST or known < values.size or known - len(groups) < _FEWEST:
        note = "heats are not told, or too few, so that what belongs to them is not known"
        mean = mean_of(values).through(_mm)
        return [
            Coefficient(name, STOCK, mean, "mm", ESTABLISHED, origin),
            Coefficient(name, SPREAD, spread_of(values), "µm", ESTABLISHED, origin, note),
        ]
    within, between, both, share = OneWay.of(groups).spreads(float(values.std(ddof=1)))
    mean = mean_of(np.array([each.mean() for each in groups])).through(_mm)
    state = ESTABLISHED if between.low > 0.0 else UNKNOWN
    note = f"{len(groups)} heats, {values.size} castings"
    return [
        Coefficient(name, STOCK, mean, "mm", ESTABLISHED, origin, "by heats, each counting alike"),
        Coefficient(name, SPREAD, both, "µm", ESTABLISHED, origin, note),
        Coefficient(name, "spread within a heat", within, "µm", ESTABLISHED, origin),
        Coefficient(name, "spread from heat to heat", between, "µm", state, origin),
        Coefficient(name, HEAT_SHARE, share, "", state, origin),
    ]


def _exp(log: float) -> float:
    return float(np.exp(log))


def _mm(value_um: float) -> float:
    return value_um / _UM
