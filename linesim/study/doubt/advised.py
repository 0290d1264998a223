"""What to change first, and of each action how far it stays right where lives are other than assumed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linesim.study.advice.advice import Advice
from linesim.study.advice.figures import MOST, Proposal
from linesim.study.advice.move import TRIAL, moved
from linesim.study.advice.paired import MONEY, Paired
from linesim.study.advice.study import MOST_MOVES, TODAY, AdviceStudy
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.rounds import Rounds, make_rounds
from linesim.study.doubt.answer import action_words
from linesim.study.doubt.draws import lives_of, with_lives
from linesim.study.doubt.figures import Step
from linesim.study.doubt.study import FACTORS, LOOKS
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.sensitivity.variations import as_minutes
from linesim.study.statistics.intervals import each_of
from linesim.works import Works

__all__ = ["BESIDE", "AdvisedStudy"]

_WORDS = "looking how far each action stays right"


BESIDE = len(FACTORS) * LOOKS * (MOST + 2)
"""Runs beside those that find what to change first, at the most."""


@dataclass(frozen=True, eq=False)
class AdvisedStudy(Study[Advice]):
    """What to change first, as `linesim.study.advice.study.AdviceStudy`, with "still right down to ..." of each action.

    Every action, and all of them together, is set against today's practice with all lives at each of `FACTORS`, in
    the same runs; both are kept to in the minutes or parts that they say now. The intervals of one action hold over
    all factors at once (Bonferroni).

    Attributes
    ----------
    works, most, options
        As for the other one.
    """

    kind = "advise"
    works: Works
    most: int = MOST_MOVES
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Advice]]:
        """Carry it out; the actions come first.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study.
        """
        for step in AdviceStudy(self.works, self.most, self.options).steps():
            if step.is_final and step.answer is not None:
                yield from self._still_right(step, step.answer)
            else:
                yield step

    def _still_right(self, last: Interim[Advice], advice: Advice) -> Iterator[Interim[Advice]]:
        """Each action at each factor on all lives."""
        asked = [*advice.actions, *([] if advice.together is None else [advice.together])]
        if not asked or not lives_of(self.works):
            yield last
            return
        rounds = make_rounds([*_alternatives(self.works, asked)], replace(self.options, seed=advice.seed))
        total = last.done + len(rounds.alternatives) * LOOKS
        for _ in rounds.more(0, LOOKS):
            done = last.done + len(rounds.outcomes)
            yield replace(last, done=done, total=total, words=_WORDS, is_final=False)
        known = {id(each): self._known(each, rounds) for each in asked}
        answer = replace(
            advice,
            proposals=tuple(known.get(id(each), each) for each in advice.proposals),
            together=None if advice.together is None else known[id(advice.together)],
        )
        yield replace(last, done=total, total=total, answer=answer)

    def _known(self, proposal: Proposal, rounds: Rounds) -> Proposal:
        """A proposal with how far it stays right."""
        level = each_of(self.options.confidence, len(FACTORS))
        steps = []
        for factor in FACTORS:
            before, after = (
                [rounds.outcomes[_name(label, factor), at] for at in range(LOOKS)] for label in (TODAY, proposal.label)
            )
            gap = Paired(self.works, before, after, level).difference(MONEY)
            steps.append(Step(factor, TODAY, gap))
        unit = f"{proposal.currency} a month"
        return replace(proposal, still_right=action_words(tuple(steps), unit))


def _alternatives(works: Works, asked: list[Proposal]) -> Iterator[Alternative]:
    """Today's practice and every action, with all lives at each factor."""
    lives = lives_of(works)
    for label, moves in ((TODAY, ()), *((each.label, each.moves) for each in asked)):
        kept_to = as_minutes(moved(works, moves), TRIAL)
        for factor in FACTORS:
            yield Alternative(_name(label, factor), with_lives(kept_to, {each.name: factor for each in lives}), TRIAL)


def _name(label: str, factor: float) -> str:
    """What a trial is known by."""
    return f"{label} | lives times {factor:g}"
