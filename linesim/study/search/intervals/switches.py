"""From a count of parts to another rule and back, set by set: which of these are worth trying, and in what design.

Each is one variable of the surrogate, 1 where a setting takes the set's other rule and the best so far does not. A few
of them, chosen at random, are switched in each setting of a round, so that each is met in many settings together with
all others (a supersaturated screening design; that most of many factors do nothing is taken for granted, as in C. F. J.
Wu and M. Hamada, *Experiments*, Wiley, chapter on supersaturated designs, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from linesim.plan.tables import Floats
from linesim.study.search.common.set_at import SetAt, Setting
from linesim.study.search.intervals.surface import Parabolas

__all__ = ["Switch", "flips", "is_on", "promised_by", "switched", "worth_trying"]

_EACH = 3.0
"""Sets that go by another rule in one setting of a round, in the mean."""

_MOST_OFTEN = 0.25
_HALF = 0.5


class Switch(NamedTuple):
    """One set, by its place among all sets, and one of its ways, from 1."""

    at: int
    way: int


def is_on(setting: Setting, switch: Switch) -> float:
    """1 where a setting has a set go that way, else 0."""
    return float(setting.way(switch.at) == switch.way)


def switched(setting: Setting, switches: Sequence[Switch], move: Floats) -> Setting:
    """A setting with the ways of its sets moved: 1 takes a way, -1 leaves it for a count; a half changes nothing."""
    for switch, by in zip(switches, move.tolist(), strict=True):
        if by > _HALF or (by < -_HALF and is_on(setting, switch)):
            setting = setting.but_way(switch.at, switch.way if by > 0.0 else 0)
    return setting


def flips(best: Setting, switches: Sequence[Switch], open_ones: Sequence[Switch], count: int, seed: int) -> Floats:
    """Which sets go another way than in the best, by setting of a round; shape (count, switches)."""
    rng, often = np.random.default_rng([seed, 1]), min(_MOST_OFTEN, _EACH / max(len(open_ones), 1))
    answer: Floats = np.zeros((count, len(switches)))
    for at, switch in enumerate(switches):
        if switch in open_ones:
            # As many settings for each as for any other, one at least.
            some = rng.permutation(count)[: max(round(often * count), 1)]
            answer[some, at] = 1.0 - 2.0 * is_on(best, switch)
    return answer


def worth_trying(
    sets_at: Sequence[SetAt], costs: Sequence[Floats], minutes: Sequence[float], least: float
) -> tuple[Switch, ...]:
    """Switches that can gain something at all.

    Parameters
    ----------
    sets_at : sequence of SetAt
        With their ways.
    costs : sequence of array
        By set: what it costs by itself when it is changed after 1, 2 ... parts, in the unit of the goal.
    minutes : sequence of float
        By set: what one minute of standstill for each part costs, in the same unit.
    least : float
        What a switch must be able to gain, in the same unit.

    Returns
    -------
    tuple of Switch
        Not those of a set that costs less than that in all, whatever its rule; not a look that takes more than the set
        costs; and no change by shifts that by itself costs more than the best count by as much again as could be
        gained by joining stops: the half of what the set costs.
    """
    answer = []
    for at, (set_at, curve, minute) in enumerate(zip(sets_at, costs, minutes, strict=True)):
        cheapest = float(curve.min())
        for number, way in enumerate(set_at.ways, 1):
            there = float(curve[min(way.usual, len(curve)) - 1])
            most = 1.5 * cheapest - there if way.kind == "shift" else cheapest - minute * way.look_min_per_part
            if most > least:
                answer.append(Switch(at, number))
    return tuple(answer)


def promised_by(fit: Parabolas, switches: Sequence[Switch], best: Setting) -> tuple[Switch, ...]:
    """Switches away from the best that a fit promises something of within its error, what promises most first.

    The switches are the last variables of the fit.
    """
    first = len(fit.slope) - len(switches)
    promised = []
    for number, switch in enumerate(switches):
        move = np.array([1.0 - 2.0 * is_on(best, switch)])
        gain, error = float(fit.at(first + number, move)[0]), float(fit.error(first + number, move)[0])
        promised.append((gain, gain - error, switch))
    return tuple(switch for _, least, switch in sorted(promised) if least < 0.0)
