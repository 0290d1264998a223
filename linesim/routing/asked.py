"""Routing studies as a page asks them: from plain values, with a first answer over a shorter span."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from linesim.plan.figures import cut_figures
from linesim.routing.answer import RoutingAnswer
from linesim.routing.history import History, history_steps
from linesim.routing.sentences import sentences_of
from linesim.routing.speed import SpeedAnswer, cut_named, speed_on_paper, speed_steps
from linesim.routing.study import routing_steps
from linesim.routing.variants import Variants, variants_from_text
from linesim.study import Alternative, Crew, Interim, compare_alternatives_steps
from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.glance import FIRST_REPLICATIONS, shorter
from linesim.works import Works

__all__ = ["SideBySide", "cut_names", "cut_speed_steps", "life_steps", "variants_steps"]


@dataclass(frozen=True, eq=False)
class SideBySide:
    """Variants set against each other, as far as that has come.

    Attributes
    ----------
    variants : Variants
        What was asked.
    glance : Comparison or None
        All of them under the policy as it stands, over a shorter span.
    found : RoutingAnswer or None
        Each with its own best intervals, in fresh runs; None until that has been found.
    """

    variants: Variants
    glance: Comparison | None = None
    found: RoutingAnswer | None = None

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words, as far as there is one."""
        if self.found is not None:
            return tuple(sentences_of(self.found))
        return () if self.glance is None else self.glance.sentences


def variants_steps(
    works: Works,
    text: str,
    name: str = "variants",
    replications: int = 8,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
) -> Iterator[Interim[SideBySide]]:
    """Set the variants of a text against each other: at a glance first, then as `routing_steps` does.

    Parameters
    ----------
    works : Works
        The checked scenario.
    text : str
        The variants, as a file says them.
    name : str
        What to call the text in errors.
    replications, seed, confidence, crew
        As for `linesim.routing.study.routing_steps`.

    Yields
    ------
    Interim of SideBySide

    Raises
    ------
    ScenarioError, StudyError
        As for `variants_from_text` and `routing_steps`.
    """
    began_s = time.monotonic()
    answer = SideBySide(variants_from_text(text, works, name))
    asked = answer.variants
    alternatives = [Alternative(each.name, shorter(each.works), asked.policy) for each in asked.items]
    unkept, before = Crew(None if crew is None else crew.workers), FIRST_REPLICATIONS * len(alternatives)
    rest = replications * len(alternatives)
    first = compare_alternatives_steps(alternatives, FIRST_REPLICATIONS, seed, confidence, crew=unkept)
    for step in first:
        answer = replace(answer, glance=step.answer) if step.is_final else answer
        shown = answer if answer.glance is not None else None
        words = "a first look over a shorter span, with the intervals as they stand"
        yield Interim(step.done, step.total + rest, time.monotonic() - began_s, shown, words)
    for each in routing_steps(asked, replications, seed, confidence, crew):
        answer = replace(answer, found=each.answer) if each.answer is not None else answer
        done, total = before + each.done, before + each.total
        yield Interim(done, total, time.monotonic() - began_s, answer, each.words, each.is_final)


def life_steps(
    works: Works,
    feature: str,
    line: str | None = None,
    policy: str | None = None,
    replications: int = 4,
    seed: int | None = None,
    confidence: float = 0.95,
) -> Iterator[Interim[History]]:
    """The life history of a feature: of one run over a shorter span first, then as `history_steps` tells it.

    Parameters
    ----------
    works, feature, line, policy, replications, seed, confidence
        As for `linesim.routing.history.history_steps`.

    Yields
    ------
    Interim of History
    """
    began_s = time.monotonic()
    answer: History | None = None
    short = shorter(works)
    if short is not works:
        for step in history_steps(short, feature, line, policy, 1, seed, confidence):
            answer = step.answer
        yield Interim(0, replications, time.monotonic() - began_s, answer, "one run over a shorter span")
    for step in history_steps(works, feature, line, policy, replications, seed, confidence):
        yield replace(step, elapsed_s=time.monotonic() - began_s)


def cut_names(works: Works, line: str) -> Sequence[str]:
    """Cuts of a line that have a speed and a feed, as `cut_named` finds them.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line : str
        Its line.

    Returns
    -------
    sequence of str
        Operation / cut, in the order of the routing; a name that two cuts of an operation share is left out.
    """
    names = []
    for of, operation, stroke, cut in cut_figures(works):
        given = works.lines[of].operations[operation].strokes[stroke].cuts[cut]
        if of == line and given.speed is not None and given.feed is not None:
            names.append(f"{operation} / {cut}")
    return [name for name in names if names.count(name) == 1]


def cut_speed_steps(
    works: Works,
    cut: str,
    line: str | None = None,
    policy: str | None = None,
    replications: int = 8,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
) -> Iterator[Interim[SpeedAnswer]]:
    """Economic speed and feed of a cut, on paper and in the line.

    Parameters
    ----------
    works : Works
        The checked scenario.
    cut : str
        As `cut_named` takes it.
    line : str, optional
        Its line.
    policy, replications, seed, confidence, crew
        As for `linesim.routing.speed.speed_steps`.

    Yields
    ------
    Interim of SpeedAnswer
    """
    paper = speed_on_paper(works, cut_named(works, cut, line), policy)
    yield from speed_steps(paper, replications, seed, confidence, crew)
