"""Routing studies as a page asks them: from plain values, with a first answer over a shorter span."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from linesim.plan.figures import cut_figures
from linesim.routing.answer import RoutingAnswer
from linesim.routing.history import History, HistoryStudy
from linesim.routing.study import RoutingStudy
from linesim.routing.variants import Variants, variants_from_text
from linesim.study import USUAL, Alternative, AlternativeStudy, Interim, Study, StudyOptions
from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.glance import FIRST_REPLICATIONS, first_look, shorter
from linesim.works import Works

__all__ = ["LifeGlance", "SideBySide", "VariantGlance", "cut_names"]

_USUAL_COUNT = 8
_USUAL_RUNS = 4


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
    full: RoutingAnswer | None = None

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words, as far as there is one."""
        if self.full is not None:
            return self.full.sentences
        return () if self.glance is None else self.glance.sentences

    @property
    def kept(self) -> dict[str, Any]:
        """What a store keeps of it."""
        return {"sentences": list(self.sentences)} if self.full is None else self.full.kept


@dataclass(frozen=True, eq=False)
class VariantGlance(Study[SideBySide]):
    """The variants of a text set against each other: at a glance first, then as `RoutingStudy` does.

    Attributes
    ----------
    works : Works
        The checked scenario.
    text : str
        The variants, as a file says them.
    name : str
        What to call the text in errors.
    options : StudyOptions
        How it is carried out; 8 replications unless the options say otherwise.
    """

    kind = "variants"
    works: Works
    text: str
    name: str = "variants"
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[SideBySide]]:
        """Carry it out.

        Raises
        ------
        ScenarioError, StudyError
            As for `variants_from_text` and `RoutingStudy`.
        """
        began_s = time.monotonic()
        answer = SideBySide(variants_from_text(self.text, self.works, self.name))
        asked = answer.variants
        options = replace(self.options, replications=self.options.count_for(_USUAL_COUNT, least=2))
        alternatives = [Alternative(each.name, shorter(each.works), asked.policy) for each in asked.items]
        before, rest = FIRST_REPLICATIONS * len(alternatives), (options.replications or 0) * len(alternatives)
        for step in AlternativeStudy(alternatives, first_look(options)).steps():
            answer = replace(answer, glance=step.answer) if step.is_final else answer
            shown = answer if answer.glance is not None else None
            words = "a first look over a shorter span, with the intervals as they stand"
            yield Interim(step.done, step.total + rest, time.monotonic() - began_s, shown, words)
        for each in RoutingStudy(asked, options=options).steps():
            answer = replace(answer, full=each.answer) if each.answer is not None else answer
            done, total = before + each.done, before + each.total
            yield Interim(done, total, time.monotonic() - began_s, answer, each.words, each.is_final)


@dataclass(frozen=True, eq=False)
class LifeGlance(Study[History]):
    """The life history of a feature: of one run over a shorter span first, then as `HistoryStudy` tells it.

    Attributes
    ----------
    works, feature, line, policy, options, of
        As for `HistoryStudy`; 4 replications unless the options say otherwise.
    """

    kind = "life"
    is_stored = False
    works: Works
    feature: str
    line: str | None = None
    policy: str | None = None
    options: StudyOptions = USUAL
    of: str = "size"

    def steps(self) -> Iterator[Interim[History]]:
        """Carry it out."""
        began_s, count = time.monotonic(), self.options.count_for(_USUAL_RUNS)
        answer: History | None = None
        short = shorter(self.works)
        if short is not self.works:
            answer = self._study(short, 1).run()
            yield Interim(0, count, time.monotonic() - began_s, answer, "one run over a shorter span")
        for step in self._study(self.works, count).steps():
            yield replace(step, elapsed_s=time.monotonic() - began_s)

    def _study(self, works: Works, count: int) -> HistoryStudy:
        options = replace(self.options, replications=count)
        return HistoryStudy(works, self.feature, self.line, self.policy, options, self.of)


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
