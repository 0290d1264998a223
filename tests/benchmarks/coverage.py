"""Do the intervals hold the truth as often as they say, and is what is picked the best as often as is promised?

``python -m tests.benchmarks.coverage`` repeats small studies whose answers are known, 1,000 times each, and prints how
often each promise was kept; ``--studies N`` for fewer. The truth comes from the law that the figures are drawn from,
or, for a line, from the theory of queues: a machine that is never starved, with exponential times, ships parts as a
Poisson process of known rate.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.plan.build import make_plan
from linesim.study.one.runs import run_plan
from linesim.study.statistics.intervals import each_of, mean_interval, paired_difference
from linesim.study.statistics.pareto import BEATEN, ON, not_beaten, verdicts_of
from linesim.study.statistics.selection import BestKnown, Race
from linesim.study.statistics.sequential import HalfWidth, looks_of
from tests.builders import flow_line

__all__ = ["PROMISES", "Kept", "Promise", "main"]

Floats = npt.NDArray[np.float64]


class Kept(NamedTuple):
    """How often a promise was kept, out of so many studies."""

    kept: int
    studies: int

    @property
    def share(self) -> float:
        """Share of the studies."""
        return self.kept / self.studies


class Promise(NamedTuple):
    """What is promised, and how it is looked at.

    Attributes
    ----------
    words : str
        What is promised.
    share : float
        How often it is to be kept.
    is_exact : bool
        Whether that is just how often (a t interval of normal figures), or at least how often.
    look : callable
        (number of studies, seed) to whether the promise was kept, study by study.
    """

    words: str
    share: float
    is_exact: bool
    look: Callable[[int, int], Iterator[bool]]

    def kept(self, studies: int, seed: int) -> Kept:
        """Repeat the study."""
        return Kept(sum(self.look(studies, seed)), studies)


def _normal(studies: int, seed: int) -> Iterator[bool]:
    """Interval of a mean of ten normal figures."""
    rng = np.random.default_rng(seed)
    for _ in range(studies):
        yield abs((found := mean_interval(rng.normal(50.0, 4.0, 10), 0.95)).mean - 50.0) <= found.half_width


def _exponential(n: int) -> Callable[[int, int], Iterator[bool]]:
    """Interval of a mean of some exponential figures, which are as skew as figures of a run never are."""

    def look(studies: int, seed: int) -> Iterator[bool]:
        rng = np.random.default_rng(seed)
        for _ in range(studies):
            yield abs((found := mean_interval(rng.exponential(1.0, n), 0.95)).mean - 1.0) <= found.half_width

    return look


def _with_the_best(studies: int, seed: int) -> Iterator[bool]:
    """All four intervals against one that was picked beforehand hold at once, on shared chance."""
    rng, truth = np.random.default_rng(seed), np.array([0.0, 1.0, 2.0, 2.5, 0.5])
    own = each_of(0.95, 4)
    for _ in range(studies):
        values = truth[:, None] + rng.normal(0.0, 3.0, 8) + rng.normal(0.0, 1.0, (5, 8))
        found = [paired_difference(values[at], values[0], own) for at in range(1, 5)]
        yield all(abs(each.mean - truth[at]) <= each.half_width for at, each in enumerate(found, start=1))


def _no_winner(studies: int, seed: int) -> Iterator[bool]:
    """Of five that are alike none is called the best, although the best is picked from the same figures."""
    rng, own = np.random.default_rng(seed), each_of(0.95, 4)
    for _ in range(studies):
        values = rng.normal(100.0, 5.0, (5, 10)) + rng.normal(0.0, 5.0, 10)
        best = int(np.argmax(values.mean(axis=1)))
        found = [paired_difference(values[at], values[best], own) for at in range(5) if at != best]
        yield not all(each.is_apart for each in found)


def _narrow_enough(studies: int, seed: int) -> Iterator[bool]:
    """The interval at the look at which it was narrow enough, or at the last."""
    rng, rule = np.random.default_rng(seed), HalfWidth(absolute=1.0, first=10, most=80)
    looks = looks_of(rule)
    for _ in range(studies):
        values = rng.normal(20.0, 3.0, rule.most)
        for look in looks:
            found = mean_interval(values[:look], each_of(0.95, len(looks)))
            if rule.is_reached([found]):
                break
        yield abs(found.mean - 20.0) <= found.half_width


def _picked(spread: float, shared: float) -> Callable[[int, int], Iterator[bool]]:
    """The best of five that leads all others by just the zone, which is the hardest case."""

    def look(studies: int, seed: int) -> Iterator[bool]:
        rng, names = np.random.default_rng(seed), ("a", "b", "c", "d", "e")
        means = np.array([0.0, 0.0, 1.0, 0.0, 0.0])
        for _ in range(studies):
            race = Race(names, 0.95, BestKnown(1.0, 10, 2000))
            values = means[:, None] + rng.normal(0.0, spread, (5, 2000)) + rng.normal(0.0, shared, 2000)
            by_name = dict(zip(names, values, strict=True))
            count = race.rule.first
            while not race.is_over:
                race.look({name: by_name[name] for name in race.left}, count)
                count += 1
            yield race.left == ["c"]

    return look


def _frontier(studies: int, seed: int) -> Iterator[bool]:
    """Nothing that is said of any point is wrong."""
    rng = np.random.default_rng(seed)
    output, loss = np.array([1.0, 2.0, 3.0, 2.5, 2.0, 1.5]), np.array([1.0, 1.6, 3.0, 2.6, 1.7, 2.4])
    truly_on = set(not_beaten(output, loss).tolist())
    for _ in range(studies):
        values = [truth[:, None] + rng.normal(0.0, 0.3, (6, 12)) + rng.normal(0.0, 1.0, 12) for truth in (output, loss)]
        verdict = verdicts_of(values[0], values[1], 0.95).verdict
        wrong = [at for at, said in enumerate(verdict) if (said == ON) != (at in truly_on) and said in (ON, BEATEN)]
        yield not wrong


def _line(is_pair: bool) -> Callable[[int, int], Iterator[bool]]:
    """Output of a machine with exponential times, by itself or against a slower one on the same chance."""

    def look(studies: int, seed: int) -> Iterator[bool]:
        plans = [_machine(mean_min) for mean_min in (3.0, 3.3)]
        for study in range(studies):
            rates = [
                np.array([_per_hour(plan, seed + study, at) for at in range(10)])
                for plan in (plans if is_pair else plans[:1])
            ]
            if is_pair:
                found = paired_difference(rates[0], rates[1], 0.95)
                yield abs(found.mean - (20.0 - 60.0 / 3.3)) <= found.half_width
            else:
                alone = mean_interval(rates[0], 0.95)
                yield abs(alone.mean - 20.0) <= alone.half_width

    return look


def _machine(mean_min: float):  # type: ignore[no-untyped-def]
    works = flow_line([{"exponential": {"mean": mean_min}}], length=2400, warm_up=60)
    return make_plan(works, "run out")


def _per_hour(plan, seed: int, replication: int) -> float:  # type: ignore[no-untyped-def]
    tally = run_plan(plan, seed, replication, engine="fast")
    return 60.0 * float(tally.shipped.sum()) / tally.counted_min


PROMISES: dict[str, Promise] = {
    "normal": Promise("interval of a mean, ten normal figures", 0.95, True, _normal),
    "line": Promise("interval of a line's output, ten runs, exact rate known", 0.95, True, _line(is_pair=False)),
    "pair": Promise("paired interval of two lines' outputs, ten runs each", 0.95, True, _line(is_pair=True)),
    "exponential 5": Promise("the same of five exponential figures (0.882 by theory)", 0.882182, True, _exponential(5)),
    "exponential 20": Promise("of twenty exponential figures (0.918 by theory)", 0.918247, True, _exponential(20)),
    "all at once": Promise("four intervals against one hold at once", 0.95, False, _with_the_best),
    "no winner": Promise("no best is called among five that are alike", 0.95, False, _no_winner),
    "narrow enough": Promise("interval of a study that ended when it was narrow", 0.95, False, _narrow_enough),
    "picked": Promise("the best of five that leads by the zone is picked", 0.95, False, _picked(1.5, 0.0)),
    "picked, shared": Promise("the same on shared chance", 0.95, False, _picked(1.5, 3.0)),
    "frontier": Promise("nothing said of six places is wrong", 0.95, False, _frontier),
}
"""By a short name. The two figures for exponential data are by a million repetitions, standard error 0.0003."""


def main() -> None:
    """Print how often each promise was kept."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--studies", type=int, default=1000, help="how often each study is repeated")
    parser.add_argument("--seed", type=int, default=20_261_125, help="key of all chance")
    asked = parser.parse_args()
    sys.stdout.write(f"{'promise':62}{'promised':>16}{'kept':>8}   of {asked.studies} studies, seed {asked.seed}\n")
    for promise in PROMISES.values():
        kept = promise.kept(asked.studies, asked.seed)
        least = "" if promise.is_exact else "at least "
        sys.stdout.write(
            f"{promise.words:62}{least + f'{100.0 * promise.share:.1f} %':>16}{100.0 * kept.share:8.1f} %\n"
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
