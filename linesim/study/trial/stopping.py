"""When to break a trial off: so many broken edges among so many changes running."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["FALSE_ALARM", "StopRule", "most_in_window", "stop_rule"]

FALSE_ALARM = 0.01
"""How often a trial in which all is as foretold is broken off, at the most."""
WORSE = 3.0
"""So many times as many broken edges as foretold are what the rule is to notice."""
_WITHIN = 10
_DRAWS = 2000

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
        edges = "1 edge breaks" if self.broken == 1 else f"{self.broken} edges break"
        return f"Stop, and go back to the old interval, if {edges} within {self.within} changes one after another."

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
    Trials are drawn from the runs: a run, and its weeks with replacement, so that what differs from run to run (lives
    that are not known) stays together. What so few changes cannot say of the share that breaks is added on the side of
    caution against false alarms: further changes are taken to break with a chance drawn from Beta(1/2, changes + 1/2).
    """
    chance = np.random.default_rng([seed % 2**32, 20_331])
    every = np.concatenate([week for run in runs for week in run] or [np.zeros(0, dtype=np.bool_)])
    per_trial = len(every) / max(len(runs), 1)
    within = int(max(1, min(_WITHIN, round(per_trial))))
    share = (every.sum() + 0.5) / (len(every) + 1.0)
    most, worse = np.zeros(_DRAWS, dtype=np.int64), np.zeros(_DRAWS, dtype=np.int64)
    for draw in range(_DRAWS):
        run = runs[int(chance.integers(len(runs)))]
        broken = np.concatenate([run[int(at)] for at in chance.integers(len(run), size=len(run))])
        luck = chance.random(len(broken))
        most[draw] = most_in_window(broken | (luck < chance.beta(0.5, len(every) + 0.5)), within)
        worse[draw] = most_in_window(broken | (luck < (WORSE - 1.0) * share), within)
    alarms = [int((most >= count).sum() + 1) / (_DRAWS + 1) for count in range(1, within + 2)]
    count = 1 + next(at for at, alarm in enumerate(alarms) if alarm <= FALSE_ALARM or at == within)
    return StopRule(count, within, alarms[count - 1], float((worse >= count).mean()))
