"""A first look at all policies over a shorter span, so that there is an answer at once, and then the whole of it."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from linesim.study.comparing.ahead import compiling_ahead, missing_tiers, waits_for
from linesim.study.comparing.alternatives import plans_of, policies_of
from linesim.study.comparing.compare import PolicyStudy
from linesim.study.comparing.comparison import Comparison
from linesim.study.crew.crew import Crew
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.works import Works

__all__ = ["FIRST_REPLICATIONS", "PolicyGlance", "first_look", "shorter"]

FIRST_REPLICATIONS = 3
"""Runs of each policy over the shorter span."""

_SHARE = 0.1
_LEAST_SHIFTS = 5.0
_FIRST_WORDS = "a first look over a shorter span"
_ROUGH_WORDS = "a rough first look by the SimPy floor, while the fast engine is compiled for the first time"
_WAITING_WORDS = "a rough first answer stands; the fast engine is still being compiled, this once"
_ENOUGH = 3
_USUAL = 24


def shorter(works: Works) -> Works:
    """The works, counted over a tenth of its time, but five shifts at least.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    Works
        With the same warm-up; the same works where it counts no longer than that.
    """
    length = max(_SHARE * works.run.length, _LEAST_SHIFTS * works.calendar.shift)
    if length >= works.run.length:
        return works
    return works.model_copy(update={"run": works.run.model_copy(update={"length": length})})


@dataclass(frozen=True, eq=False)
class PolicyGlance(Study[Comparison]):
    """Policies set against each other: first over a shorter span, then as `PolicyStudy` does.

    Attributes
    ----------
    works, policies, options
        As for `PolicyStudy`; 24 replications unless the options say otherwise.
    """

    kind = "policies"
    works: Works
    policies: Sequence[str] | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Comparison]]:
        """Carry it out.

        Yields
        ------
        Interim of Comparison
            ``answer.works.run.length`` says over what span an answer counts. Runs of the first look are not put into
            the store.
        """
        began_s, options = time.monotonic(), replace(self.options, replications=self.options.count_for(_USUAL))
        first, before = shorter(self.works), 0
        answer: Comparison | None = None
        if first is not self.works:
            names = tuple(self.works.policies if self.policies is None else self.policies)
            before, rest = FIRST_REPLICATIONS * len(names), options.count_for(_USUAL) * len(names)
            for step in self._first(first, options):
                answer = step.answer or answer
                yield replace(step, total=before + rest, elapsed_s=time.monotonic() - began_s, answer=answer)
        for step in PolicyStudy(self.works, self.policies, options).steps():
            is_better = step.answer is not None and (step.answer.n_replications >= _ENOUGH or step.is_final)
            answer = step.answer if is_better else answer
            done = replace(step, done=before + step.done, total=before + step.total, answer=answer)
            yield replace(done, elapsed_s=time.monotonic() - began_s)

    def _first(self, first: Works, options: StudyOptions) -> Iterator[Interim[Comparison]]:
        """The first look; by the SimPy floor where the fast engine is compiled meanwhile, which it then waits for."""
        look = first_look(options)
        plans = plans_of(policies_of(first, self.policies)) if options.engine == "fast" else []
        tiers = missing_tiers(plans)
        if not tiers:
            yield from self._looks(first, look, _FIRST_WORDS)
            return
        with compiling_ahead(tiers) as process:
            yield from self._looks(first, replace(look, engine="simpy"), _ROUGH_WORDS)
            for _ in waits_for(process):
                done = FIRST_REPLICATIONS * len(plans)
                yield Interim(done, done, 0.0, None, _WAITING_WORDS)

    def _looks(self, first: Works, look: StudyOptions, words: str) -> Iterator[Interim[Comparison]]:
        """Steps of a first look, with its answer at the end alone."""
        for step in PolicyStudy(first, self.policies, look).steps():
            yield Interim(step.done, step.total, 0.0, step.answer if step.is_final else None, words)


def first_look(options: StudyOptions) -> StudyOptions:
    """Options of a first look: few replications, none of which goes into the store."""
    return replace(options, replications=FIRST_REPLICATIONS, crew=Crew(options.crew.workers))
