"""Setting works and policies against each other by runs that share their chance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linesim.errors import StudyError
from linesim.study.comparing.alternatives import Alternative, policies_of
from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.course import Course
from linesim.study.comparing.measures import deciding_measure
from linesim.study.comparing.rounds import make_rounds
from linesim.study.comparing.spans import given_spans
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.statistics.selection import BestKnown, Race
from linesim.study.statistics.sequential import HalfWidth, looks_of
from linesim.works import Works

__all__ = ["AlternativeStudy", "PolicyStudy"]


@dataclass(frozen=True, eq=False)
class AlternativeStudy(Study[Comparison]):
    """Works under policies set against each other, pair by pair on shared chance.

    Attributes
    ----------
    alternatives : sequence of Alternative
        At least one, by names unlike each other. The first is what the others replace; its works gives currency,
        number of replications and seed where nothing else does. All count over the same length of time.
    options : StudyOptions
        How it is carried out; ``replications`` is not used with ``until``, which has numbers of its own. Without a
        second replication there are no intervals.
    noun : str
        What one of them is called in sentences.
    """

    kind = "compare"
    alternatives: Sequence[Alternative]
    options: StudyOptions = USUAL
    noun: str = "variant"

    def steps(self) -> Iterator[Interim[Comparison]]:
        """Carry it out; what cannot be is said at once, and the answer grows with each complete replication.

        Returns
        -------
        iterator of Interim
            The column ``policy`` of the answer's tables holds the names of the alternatives.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study.
        """
        if not self.alternatives:
            raise StudyError("there is nothing to compare; at least one alternative is needed")
        options, base = self.options, self.alternatives[0].works
        count = options.count_for(base.run.replications)
        course = Course(
            make_rounds(self.alternatives, options), given_spans(self.alternatives), options.confidence, self.noun
        )
        steps = self._to_the_end(course, count)
        if options.warm_up is None and options.length is None:
            return steps
        return course.with_spans(options.warm_up, options.length, steps)

    def _to_the_end(self, course: Course, count: int) -> Iterator[Interim[Comparison]]:
        """The runs, as far as they are to go."""
        until = self.options.until
        if isinstance(until, HalfWidth):
            return course.until_narrow(until, looks_of(until))
        if isinstance(until, BestKnown):
            sign = 1.0 if deciding_measure(self.alternatives[0].works).is_more_better else -1.0
            return course.until_best(Race(course.rounds.names, self.options.confidence, until, sign))
        return course.so_many(count)


@dataclass(frozen=True, eq=False)
class PolicyStudy(Study[Comparison]):
    """Policies of a works set against each other.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policies : sequence of str or None
        Names of the policies to compare; all of the scenario unless given. Today's practice is what the others
        replace, or the first one named where it is not among them.
    options : StudyOptions
        How it is carried out.
    """

    kind = "compare"
    works: Works
    policies: Sequence[str] | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Comparison]]:
        """Carry it out, as `AlternativeStudy` does."""
        return AlternativeStudy(policies_of(self.works, self.policies), self.options, "policy").steps()
