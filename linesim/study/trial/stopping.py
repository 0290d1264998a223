"""When to break a trial off: so many broken edges among so many changes running."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from linesim.plan.tables import Floats
from linesim.words import keep

__all__ = ["FALSE_ALARM", "StopRule", "most_in_window", "stop_rule"]

FALSE_ALARM = 0.01
"""How often a trial in which all is as foretold is broken off, at the most."""
WORSE = 3.0
"""So many times as many broken edges as foretold are what the rule is to notice."""
_WITHIN = 10
_DRAWS = 10_000

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class StopRule:
    """Break off once so many edges have broken within so many changes running.

    Attributes
    ----------
    broken, within : int
        Broken edges; changes.
    false_alarm : float
        Chance that a trial is broken off although all is as foretold.
    notices : float
        Chance that it is broken off if edges break three times as often.
    """

    broken: int
    within: int
    false_alarm: float
    notices: float

    @property
    def words(self) -> str:
        """The rule, for whoever stands at the machine."""
        return keep("trial.stop_rule", count=self.broken, within=self.within)

    def fires(self, broken: Sequence[bool]) -> bool:
        """Whether it breaks a trial off.

        Parameters
        ----------
        broken : sequence of bool
            Of each change in time, whether an edge had broken.

        >>> StopRule(2, 3, 0.01, 0.5).fires([True, False, True]), StopRule(2, 2, 0.01, 0.5).fires([True, False, True])
        (True, False)
        """
        return most_in_window(np.array(broken, dtype=np.bool_), self.within) >= self.broken


def most_in_window(broken: Flags, within: int) -> int:
    """The most broken edges among so many changes running."""
    sums = np.concatenate([[0], np.cumsum(broken)])
    if len(broken) == 0:
        return 0
    width = min(within, len(broken))
    return int((sums[width:] - sums[:-width]).max())


def stop_rule(runs: Sequence[Sequence[Flags]], seed: int) -> StopRule:
    """The rule that breaks off soonest and yet, if all is as foretold, in 1 trial of 100 at the most.

    Parameters
    ----------
    runs : sequence of sequence of array of bool
        Run by run and week by week, of each change whether an edge had broken.
    seed : int
        Key of chance.

    Notes
    -----
    Trials are drawn with the changes of a run and a share of broken edges from a beta distribution: about the share of
    all runs, with the scatter that the shares of runs have beyond that of equal luck (method of moments), and with what
    so many changes cannot say of it (as by Jeffreys' prior where nothing broke).
    """
    chance = np.random.default_rng([seed % 2**32, 20_331])
    counts = np.array([sum(map(len, run)) for run in runs], dtype=np.int64)
    broken = np.array([sum(int(week.sum()) for week in run) for run in runs], dtype=np.float64)
    first, second = _beta(broken, counts.astype(np.float64))
    shares, lengths = chance.beta(first, second, _DRAWS), counts[chance.integers(len(counts), size=_DRAWS)]
    luck = chance.random((_DRAWS, max(int(counts.max()), 1)))
    luck[np.arange(luck.shape[1]) >= lengths[:, None]] = 1.0
    usual = int(max(1, min(_WITHIN, round(float(counts.mean())))))
    for within in (usual, luck.shape[1]):
        most = _most(luck < shares[:, None], within)
        alarms = [int((most >= count).sum() + 1) / (_DRAWS + 1) for count in range(1, within + 1)]
        if alarms[-1] <= FALSE_ALARM:
            break
    count = 1 + next((at for at, alarm in enumerate(alarms) if alarm <= FALSE_ALARM), within - 1)
    worse = _most(luck < np.minimum(WORSE * shares, 1.0)[:, None], within)
    return StopRule(count, within, alarms[count - 1], float((worse >= count).mean()))


def _beta(broken: Floats, counts: Floats) -> tuple[float, float]:
    """The two figures of the beta distribution of a trial's share of broken edges."""
    every = float(counts.sum())
    share = (float(broken.sum()) + 0.5) / (every + 1.0)
    equal, gap = share * (1.0 - share), broken - counts * share
    squares = float((gap**2 / np.maximum(counts, 1.0)).sum())
    spread = every - float((counts**2).sum()) / every if every else 0.0
    between = max((squares - (len(counts) - 1) * equal) / spread, 0.0) if spread > 0.0 else 0.0
    weight = max(equal / (between + equal / (every + 2.0)) - 1.0, 0.1)
    return share * weight, (1.0 - share) * weight


def _most(broken: Flags, within: int) -> npt.NDArray[np.int64]:
    """`most_in_window` of each row."""
    nothing = np.zeros((len(broken), 1), dtype=np.int64)
    sums = np.concatenate([nothing, np.cumsum(broken, axis=1, dtype=np.int64)], axis=1)
    answer: npt.NDArray[np.int64] = (sums[:, within:] - sums[:, :-within]).max(axis=1)
    return answer
