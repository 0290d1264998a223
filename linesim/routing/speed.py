"""What the line makes of the economic speeds and feeds of a cut."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.cutting.economics import Conditions
from linesim.desk import desk_figures
from linesim.routing.bench import Candidate, Sample, on_trial, outcomes_of, sample_of
from linesim.routing.speed_paper import AS_IT_STANDS, USUAL_RANGE, SpeedPaper, cut_named, speed_on_paper
from linesim.routing.speed_words import sentences_of
from linesim.study import USUAL, Answer, Interim, Study, StudyOptions
from linesim.study.answer import origin_of
from linesim.study.crew.outcome import Outcome
from linesim.works import Works, changed
from linesim.works.crib import Cutter
from linesim.works.mishaps import Life

__all__ = ["CutSpeedStudy", "SpeedAnswer", "SpeedStudy"]


@dataclass(frozen=True, eq=False, repr=False)
class SpeedAnswer(Answer):
    """Speeds and feeds of one cut on paper and in the line.

    Attributes
    ----------
    paper : SpeedPaper
        On paper.
    samples : dict of str to Sample
        Runs under each set of conditions, on shared chance.
    seed, n_replications : int
        Key of all chance, and runs of each.
    confidence : float
        Of the intervals.
    """

    paper: SpeedPaper
    samples: dict[str, Sample]
    seed: int
    n_replications: int
    confidence: float

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per set of conditions and measure: mean, half width, paired difference from what stands."""
        base, rows = self.samples[AS_IT_STANDS], []
        for name, sample in self.samples.items():
            for measure in ("good_per_hour", "cost_per_good_part", "contribution_per_hour"):
                own = sample.interval(measure, self.confidence)
                apart = sample.against(base, measure, self.confidence, max(len(self.samples) - 1, 1))
                rows.append(
                    {
                        "conditions": name, "measure": measure, "mean": own.mean, "half_width": own.half_width,
                        "less_as_it_stands": apart.mean, "less_half_width": apart.half_width,
                        "is_apart": apart.is_apart, "confidence": self.confidence, "n": own.n,
                    }
                )  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words: the conditions for the line, and why."""
        return sentences_of(self.paper, self.table)

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        paper, run = self.paper, self.paper.works.run
        return origin_of(
            paper.works, policy=paper.policy, cut=list(paper.key), seed=self.seed, replications=self.n_replications,
            confidence=self.confidence, counted_min=run.length, warm_up_min=run.warm_up,
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"speeds": self.paper.table, "line": self.table}

    @property
    def further(self) -> dict[str, Any]:
        """Currency, and what a minute of the operation is worth."""
        paper = self.paper
        head = {"currency": paper.works.currency, "is_constraint": paper.is_constraint}
        return head | {"spare_min": paper.spare_min, "worth_per_min": paper.worth_per_min}


@dataclass(frozen=True, eq=False)
class SpeedStudy(Study[SpeedAnswer]):
    """The line run with the speeds and feeds that are best on paper, on shared chance.

    Attributes
    ----------
    paper : SpeedPaper
        From `speed_on_paper`.
    options : StudyOptions
        How it is carried out; 2 replications or more.
    """

    kind = "speed"
    paper: SpeedPaper
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[SpeedAnswer]]:
        """Carry it out."""
        paper, options = self.paper, self.options
        count = options.count_for(paper.works.run.replications, least=2)
        seed = options.seed_for(paper.works, count - 1)
        names = list(paper.conditions)
        candidates = [_candidate(paper, conditions) for conditions in paper.conditions.values()]
        began_s, total = time.monotonic(), len(names) * count
        outcomes: dict[int, dict[int, Outcome]] = {}
        for done, so_far in outcomes_of(candidates, seed, range(count), options):
            outcomes = so_far
            yield Interim(done, total, time.monotonic() - began_s, None, "running the line at each speed")
        samples = {name: sample_of(candidates[at], outcomes[at]) for at, name in enumerate(names)}
        answer = SpeedAnswer(paper, samples, seed, count, options.confidence)
        yield Interim(total, total, time.monotonic() - began_s, answer, "done", True)


@dataclass(frozen=True, eq=False)
class CutSpeedStudy(Study[SpeedAnswer]):
    """The economic speed and feed of a cut, on paper and then in the line.

    Attributes
    ----------
    works, cut, line
        As for `cut_named`.
    policy : str or None
        Under which sets are changed; today's practice unless given.
    allowed : pair of float
        Least and greatest speed and feed, times those that stand.
    options : StudyOptions
        As for `SpeedStudy`.
    """

    kind = "speed"
    works: Works
    cut: str
    line: str | None = None
    policy: str | None = None
    allowed: tuple[float, float] = USUAL_RANGE
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[SpeedAnswer]]:
        """Carry it out."""
        paper = speed_on_paper(self.works, cut_named(self.works, self.cut, self.line), self.policy, self.allowed)
        yield from SpeedStudy(paper, self.options).steps()


def _with_life(cutter: Cutter, life_min: float) -> dict[str, Any]:
    """Changes to a cutter that give it another life, known as well as before."""
    return {"life": {"about": life_min} if isinstance(cutter.life, Life) else life_min}


def _candidate(paper: SpeedPaper, answer: Conditions) -> Candidate:
    """The works with a cut at other conditions, its set changed at the share of its life at which it is now."""
    line, name, stroke, _ = paper.key
    cuts = paper.works.lines[line].operations[name].strokes[stroke].cuts
    base = paper.conditions[AS_IT_STANDS]
    v, f = answer.speed_m_min / base.speed_m_min, answer.feed_mm / base.feed_mm
    entries = {
        each: {"speed": v * cut.speed, "feed": f * cut.feed}
        for each, cut in cuts.items()
        if cut.speed is not None and cut.feed is not None
    }
    changes: dict[str, Any] = {"lines": {line: {"operations": {name: {"strokes": {stroke: {"cuts": entries}}}}}}}
    of_life = answer.life_min / base.life_min
    lives = {cut.cutter: paper.works.cutters[cut.cutter].life_min for cut in cuts.values()}
    given = {
        each: _with_life(paper.works.cutters[each], of_life * life) for each, life in lives.items() if life is not None
    }
    works = changed(paper.works, changes | ({"cutters": given} if given else {}), "speed and feed")
    sets = desk_figures(paper.works, paper.policy).sets
    own = sets[(sets["line"] == line) & (sets["operation"] == name) & sets["cutter"].isin(lives)]
    shares = {
        str(row["cutter"]): round(float(row["parts_between"]) / float(row["parts_per_edge"]), 4)
        for row in own.to_dict(orient="records")
    }
    trial = f"{paper.policy}, same share of life"
    return Candidate(on_trial(works, paper.policy, {trial: shares}), trial)
