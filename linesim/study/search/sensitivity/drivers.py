"""What drives the result: every input alone at both ends of its range, and Morris's screening of all of them.

All runs meet the same castings, edges and breakdowns, so that what differs is due to the input alone.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from linesim.errors import StudyError
from linesim.study.comparing.measures import MEASURES, Measure, measure
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.deadline import Deadline, TimeUp
from linesim.study.search.common.goal import goal_of
from linesim.study.search.common.opening import opened
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.sensitivity.answer import Drivers
from linesim.study.search.sensitivity.inputs import Input, inputs_of, ranged, together, with_factors
from linesim.study.search.sensitivity.morris import effects_of, morris_points, salib
from linesim.study.search.sensitivity.variations import as_minutes
from linesim.study.statistics.intervals import Difference
from linesim.works import Works

__all__ = ["DriverStudy"]

_TABLE_POINT = "base"
_USUAL_COUNT = 8
_ABREAST = 12
"""Inputs whose runs are given to the crew together."""

Answer = Interim[Drivers]


@dataclass(frozen=True, eq=False)
class DriverStudy(Study[Drivers]):
    """What a measure depends on most, with an answer all along.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Under which it is run; today's practice unless given. Its shares of life are written in minutes, as the shop
        keeps to what it was told whatever the life truly is.
    measured : str or None
        Name of a measure; contribution per hour if any line has a worth, else cost per good part.
    ranges : mapping
        Low and high factor by name of an input or of a kind, in place of those of the data file.
    are_together : bool
        Take inputs of a kind as one: the life of all cutters and so on.
    trajectories : int
        Of the screening, 2 or more; 0 for none.
    minutes : float or None
        After so many minutes the study ends with what is known by then; None: as long as the runs take.
    options : StudyOptions
        How it is carried out; 8 replications of every run unless the options say otherwise, 2 or more.
    """

    kind = "drivers"
    works: Works
    policy: str | None = None
    measured: str | None = None
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    are_together: bool = False
    trajectories: int = 0
    minutes: float | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Answer]:
        """Carry it out, with a word after every run.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also if a range cannot be, or SALib is wanted and not there.
        """
        count, trajectories = self.options.count_for(_USUAL_COUNT, least=2), self.trajectories
        if trajectories < 0 or trajectories == 1:
            expected = "at least 2, or 0 for no screening, were expected"
            raise StudyError(f"{trajectories} trajectories were asked for; {expected}")
        chosen = self.works.chosen_policy(self.policy)
        trials, _ = opened(self.works, chosen, self.options)
        inputs = ranged(inputs_of(self.works), self.ranges)
        inputs = together(inputs) if self.are_together else inputs
        if trajectories:
            salib("sample")
        by = _measure_named(self.measured or goal_of(self.works).measure.name)
        answer = Drivers(self.works, chosen, by, inputs, self.options.confidence, trials.seed, count)
        yield from _Course(answer, trajectories, trials, Deadline(trials, self.minutes, 0)).steps()


def _measure_named(name: str) -> Measure:
    """A measure that is known."""
    if name not in {each.name for each in MEASURES}:
        known = ", ".join(each.name for each in MEASURES)
        raise StudyError(f'"{name}" is no measure; one of {known} was expected')
    return measure(name)


class _Course:
    """One study on its way."""

    def __init__(self, drivers: Drivers, trajectories: int, trials: Trials, deadline: Deadline) -> None:
        self.answer, self.trajectories, self.trials, self.deadline = drivers, trajectories, trials, deadline
        self.works = as_minutes(drivers.works, drivers.policy)
        self.numbers = range(drivers.replications)
        self.words = ""
        count = len(drivers.inputs)
        self.total = drivers.replications * (1 + 2 * count + trajectories * (count + 1))

    def steps(self) -> Iterator[Answer]:
        """Every input alone, then the screening."""
        try:
            yield from self._alone()
            if self.trajectories:
                yield from self._screen()
        except TimeUp:
            self.words = "the time is up"
        yield self._interim(is_final=True)

    def _alone(self) -> Iterator[Answer]:
        """Each input at both ends of its range."""
        self.words = "every input alone"
        base, name = Trial(_TABLE_POINT, self.works, self.answer.policy), self.answer.measure.name
        yield from self._run([base])
        self.answer = self.answer.but(base=self.trials.mean(_TABLE_POINT, name, self.numbers, self.answer.confidence))
        yield self._interim()
        inputs = self.answer.inputs
        for first in range(0, len(inputs), _ABREAST):
            some = inputs[first : first + _ABREAST]
            yield from self._run([self._end(one, end) for one in some for end in ("low", "high")])
            alone = {one.name: (self._moved(one, "low"), self._moved(one, "high")) for one in some}
            self.answer = self.answer.but(alone={**self.answer.alone, **alone})

    def _end(self, one: Input, end: str) -> Trial:
        """The works with one input at an end of its range."""
        return self._trial((one.name, end), [(one, getattr(one, end))])

    def _moved(self, one: Input, end: str) -> Difference:
        """What that does."""
        name, confidence = self.answer.measure.name, self.answer.confidence
        return self.trials.difference((one.name, end), _TABLE_POINT, name, self.numbers, confidence)

    def _screen(self) -> Iterator[Answer]:
        """Trajectory after trajectory, all inputs at once."""
        inputs, confidence, seed = self.answer.inputs, self.answer.confidence, self.trials.seed % 2**32
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
                self.answer = self.answer.but(screened=screened, trajectories=number + 1)

    def _mean(self, trial: Trial) -> float:
        """Mean of the measure at a point; a point without one is refused."""
        mean = float(self.trials.values(trial.key, self.answer.measure.name, self.numbers).mean())
        if not np.isfinite(mean):
            raise StudyError("a run of the screening shipped no good part; narrower ranges are needed")
        return mean

    def _trial(self, key: Hashable, factors: Sequence[tuple[Input, float]]) -> Trial:
        """The works with some inputs changed."""
        return Trial(key, with_factors(self.works, factors), self.answer.policy)

    def _run(self, trials: Sequence[Trial]) -> Iterator[Answer]:
        """Run, with a word after every run."""
        for _ in self.trials.run(trials, self.numbers):
            yield self._interim()
            if self.answer.base is not None:  # without it there is nothing to tell
                self.deadline.check()

    def _interim(self, is_final: bool = False) -> Answer:
        """How far it is."""
        done = self.trials.done
        answer = None if self.answer.base is None else self.answer.but(runs=done)
        return Interim(done, done if is_final else self.total, self.trials.elapsed_s, answer, self.words, is_final)
