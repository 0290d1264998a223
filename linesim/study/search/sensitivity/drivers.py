"""What drives the result: every input alone at both ends of its range, and Morris's screening of all of them.

All runs meet the same castings, edges and breakdowns, so that what differs is due to the input alone. Screening by
SALib, after M. D. Morris, "Factorial sampling plans for preliminary computational experiments", Technometrics 33
(1991), 161-174, with the mean size of effects of F. Campolongo, J. Cariboni and A. Saltelli, Environmental Modelling
and Software 22 (2007), 1509-1518.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.study.comparing.measures import MEASURES, measure
from linesim.study.crew.crew import Crew
from linesim.study.interim import Interim, last_of
from linesim.study.search.common.goal import goal_of
from linesim.study.search.common.opening import opened
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.sensitivity.answer import Drivers, Effect
from linesim.study.search.sensitivity.inputs import Input, inputs_of, ranged, together, with_factors
from linesim.study.search.sensitivity.variations import as_minutes
from linesim.study.statistics.intervals import Difference
from linesim.works import Works

__all__ = ["drivers", "drivers_steps", "effects_of", "morris_points"]

LEVELS = 4
"""Levels of the screening's grid."""

_TABLE_POINT = "base"
_ABREAST = 12
"""Inputs whose runs are given to the crew together."""

Answer = Interim[Drivers]


def morris_points(count: int, trajectories: int, seed: int) -> Floats:
    """Points of Morris's design, trajectory after trajectory.

    Parameters
    ----------
    count, trajectories : int
        Inputs, 2 or more; trajectories, 2 or more.
    seed : int
        The same one gives the same points.

    Returns
    -------
    array, shape (trajectories * (count + 1), count)
        Between 0 and 1.

    Raises
    ------
    StudyError
        SALib is not installed.
    """
    found: Floats = _salib("sample").sample(_problem(count), trajectories, num_levels=LEVELS, seed=seed)
    return found


def effects_of(points: Floats, values: Floats, confidence: float, seed: int) -> list[Effect]:
    """Morris's figures of each input from whole trajectories.

    Parameters
    ----------
    points : array, shape (n, inputs)
        From `morris_points`, or the first trajectories of them.
    values : array, shape (n,)
        What was found there; all finite.
    confidence : float
        Of the interval of mu_star, by bootstrap.
    seed : int
        Of the bootstrap.

    Returns
    -------
    list of Effect

    Raises
    ------
    StudyError
        SALib is not installed.
    """
    found = _salib("analyze").analyze(
        _problem(points.shape[1]),
        points,
        values,
        num_resamples=500,
        conf_level=confidence,
        num_levels=LEVELS,
        seed=seed,
    )
    columns = [np.asarray(found[name], dtype=np.float64) for name in ("mu_star", "mu_star_conf", "mu", "sigma")]
    return [Effect(*map(float, row)) for row in zip(*columns, strict=True)]


def _problem(count: int) -> dict[str, Any]:
    """The unit box as SALib wants it told."""
    return {"num_vars": count, "names": [f"x{at}" for at in range(count)], "bounds": [[0.0, 1.0]] * count}


def _salib(part: str) -> ModuleType:
    """Morris's method in SALib; an error that says what to do where it is not installed."""
    try:
        if part == "sample":
            from SALib.sample import morris  # noqa: PLC0415 - comes with an extra
        else:
            from SALib.analyze import morris  # noqa: PLC0415
    except ImportError as error:
        told = "the screening needs SALib, which is not installed"
        raise StudyError(
            f"{told}; install it with: pip install 'linesim[screening]', or leave the screening out"
        ) from error
    found: ModuleType = morris
    return found


def drivers(works: Works, policy: str | None = None, **options: Any) -> Drivers:
    """What drives the result; options as `drivers_steps`."""
    return last_of(drivers_steps(works, policy, **options))


def drivers_steps(
    works: Works,
    policy: str | None = None,
    measured: str | None = None,
    ranges: Mapping[str, tuple[float, float]] | None = None,
    are_together: bool = False,
    trajectories: int = 0,
    replications: int = 8,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
) -> Iterator[Answer]:
    """Find out what a measure depends on most, with an answer all along.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Under which it is run; today's unless given. Its shares of life are written in minutes, as
        the shop keeps to what it was told whatever the life truly is.
    measured : str, optional
        Name of a measure; contribution per hour if any line has a worth, else cost per good part.
    ranges : mapping, optional
        Low and high factor by name of an input or of a kind, in place of those of the data file.
    are_together : bool
        Take inputs of a kind as one: the life of all cutters and so on.
    trajectories : int
        Of the screening, 2 or more; 0 for none.
    replications : int
        Of every run, 2 or more for the table.
    seed, confidence, crew, rules, engine
        As for `best_intervals_steps`.

    Yields
    ------
    Interim

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for a comparison; also if a range cannot be, or SALib is wanted and not there.
    """
    _check(replications, trajectories)
    chosen = works.chosen_policy(policy)
    trials, _ = opened(works, chosen, seed, confidence, crew, rules, engine)
    inputs = ranged(inputs_of(works), ranges or {})
    inputs = together(inputs) if are_together else inputs
    if trajectories:
        _salib("sample")
    name = measured or goal_of(works).measure.name
    if name not in {each.name for each in MEASURES}:
        known = ", ".join(each.name for each in MEASURES)
        raise StudyError(f'"{name}" is no measure; one of {known} was expected')
    found = Drivers(works, chosen, measure(name), inputs, confidence, trials.seed, replications)
    yield from _Study(found, trajectories, trials).steps()


def _check(replications: int, trajectories: int) -> None:
    """See to it that a study can be made as asked."""
    if replications < 2:
        raise StudyError(f"{replications} replications were asked for; at least 2 were expected, for intervals")
    if trajectories < 0 or trajectories == 1:
        raise StudyError(
            f"{trajectories} trajectories were asked for; at least 2, or 0 for no screening, were expected"
        )


class _Study:
    """One study on its way."""

    def __init__(self, found: Drivers, trajectories: int, trials: Trials) -> None:
        self.found, self.trajectories, self.trials = found, trajectories, trials
        self.works = as_minutes(found.works, found.policy)
        self.numbers = range(found.replications)
        self.words = ""
        count = len(found.inputs)
        self.total = found.replications * (1 + 2 * count + trajectories * (count + 1))

    def steps(self) -> Iterator[Answer]:
        """Every input alone, then the screening."""
        yield from self._alone()
        if self.trajectories:
            yield from self._screen()
        self.found = self.found.but(runs=self.trials.done)
        yield self._interim(is_final=True)

    def _alone(self) -> Iterator[Answer]:
        """Each input at both ends of its range."""
        self.words = "every input alone"
        base, name = Trial(_TABLE_POINT, self.works, self.found.policy), self.found.measure.name
        yield from self._run([base])
        self.found = self.found.but(base=self.trials.mean(_TABLE_POINT, name, self.numbers, self.found.confidence))
        yield self._interim()
        inputs = self.found.inputs
        for first in range(0, len(inputs), _ABREAST):
            some = inputs[first : first + _ABREAST]
            yield from self._run([self._end(one, end) for one in some for end in ("low", "high")])
            alone = {one.name: (self._moved(one, "low"), self._moved(one, "high")) for one in some}
            self.found = self.found.but(alone={**self.found.alone, **alone})

    def _end(self, one: Input, end: str) -> Trial:
        """The works with one input at an end of its range."""
        return self._trial((one.name, end), [(one, getattr(one, end))])

    def _moved(self, one: Input, end: str) -> Difference:
        """What that does."""
        name, confidence = self.found.measure.name, self.found.confidence
        return self.trials.difference((one.name, end), _TABLE_POINT, name, self.numbers, confidence)

    def _screen(self) -> Iterator[Answer]:
        """Trajectory after trajectory, all inputs at once."""
        inputs, confidence, seed = self.found.inputs, self.found.confidence, self.trials.seed % 2**32
        if len(inputs) < 2:
            raise StudyError("a screening needs at least 2 inputs")
        points = morris_points(len(inputs), self.trajectories, seed)
        each, values = len(inputs) + 1, np.empty(0)
        for number in range(self.trajectories):
            self.words = f"screening, trajectory {number + 1} of {self.trajectories}"
            rows = points[number * each : (number + 1) * each]
            trials = [
                self._trial(
                    ("screened", number, at), [(one, one.factor(u)) for one, u in zip(inputs, row, strict=True)]
                )
                for at, row in enumerate(rows.tolist())
            ]
            yield from self._run(trials)
            values = np.append(values, [self._mean(trial) for trial in trials])
            if number:
                effects = effects_of(points[: len(values)], values, confidence, seed)
                screened = {one.name: effect for one, effect in zip(inputs, effects, strict=True)}
                self.found = self.found.but(screened=screened, trajectories=number + 1)

    def _mean(self, trial: Trial) -> float:
        """Mean of the measure at a point; a point without one is refused."""
        mean = float(self.trials.values(trial.key, self.found.measure.name, self.numbers).mean())
        if not np.isfinite(mean):
            raise StudyError("a run of the screening shipped no good part; narrower ranges are needed")
        return mean

    def _trial(self, key: Hashable, factors: Sequence[tuple[Input, float]]) -> Trial:
        """The works with some inputs changed."""
        return Trial(key, with_factors(self.works, factors), self.found.policy)

    def _run(self, trials: Sequence[Trial]) -> Iterator[Answer]:
        """Run, with a word after every run."""
        for _ in self.trials.run(trials, self.numbers):
            yield self._interim()

    def _interim(self, is_final: bool = False) -> Answer:
        """How far it is."""
        done = self.trials.done
        answer = self.found if self.found.base is not None else None
        return Interim(done, done if is_final else self.total, self.trials.elapsed_s, answer, self.words, is_final)
