"""The question what of all that every practitioner knows is so in a works, over draws of its assumed figures."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from linesim.errors import StudyError
from linesim.fast.choice import choose_engine
from linesim.plan.build import make_plan
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.practice.answer import Practice, Record
from linesim.study.practice.claim import Claim
from linesim.study.practice.cleaning import CHIPS
from linesim.study.practice.draw import Draw, drawn
from linesim.study.practice.dull import DULL
from linesim.study.practice.gauges import DEPTH_GAUGE, LAST_GAUGE
from linesim.study.practice.levers import LEVERS
from linesim.study.practice.looking import LOOKING
from linesim.study.practice.order import DISTURBING, LATE_CUT
from linesim.study.practice.spare import SLOWER
from linesim.study.practice.surfaces import FINISH, SOFT_HEAD
from linesim.study.practice.wheels import WHEELS
from linesim.study.search.sensitivity.inputs import inputs_of
from linesim.study.search.sensitivity.variations import as_minutes
from linesim.works import Works

__all__ = ["CLAIMS", "PracticeStudy"]

CLAIMS: tuple[Claim, ...] = (
    FINISH, SOFT_HEAD, CHIPS, DULL, LAST_GAUGE, LOOKING, LATE_CUT, WHEELS, DISTURBING, DEPTH_GAUGE, SLOWER,
    LEVERS,
)  # fmt: skip
"""What every practitioner knows, in the order of the letters."""

_USUAL_DRAWS = 200


@dataclass(frozen=True, eq=False)
class PracticeStudy(Study[Practice]):
    """Every claim held against a works, draw by draw.

    In each draw every assumed figure is drawn by itself, even by ratio within its stated range; the alternatives that a
    claim sets against each other are then run once, on the same castings, edges and breakdowns, which are others in the
    next draw.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Today's practice unless given; its shares of life are written in minutes, as the shop keeps to what it was told.
    letters : str
        Of the claims asked about; all unless given.
    options : StudyOptions
        How it is carried out; the replications are the draws, 200 unless given. Its runs are done in this process.
    """

    kind = "practice"
    is_stored: ClassVar[bool] = False
    works: Works
    policy: str | None = None
    letters: str = ""
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Practice]]:
        """Carry it out; the answer grows with each draw.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also if there is no claim of a letter.
        """
        began_s, works = time.perf_counter(), self.works
        policy, draws = works.chosen_policy(self.policy), self.options.count_for(_USUAL_DRAWS)
        seed = self.options.seed_for(works, draws)
        engine = choose_engine(make_plan(works, policy), self.options.engine).engine
        alone = works.model_copy(update={"policies": {policy: works.policies[policy]}})
        records = tuple(Record(claim, claim.absent(works), works=alone) for claim in _asked(self.letters))
        base, inputs = as_minutes(works, policy).model_copy(update={"today": None}), inputs_of(works)
        for number in range(draws):
            draw = Draw(drawn(base, inputs, seed, number), seed, number, engine)
            for record in records:
                if not record.why_not:
                    record.pairs.append(list(record.claim.pairs(draw)))
            done = number + 1
            so_far = tuple(replace(record, pairs=[*record.pairs]) for record in records)
            answer = Practice(works, policy, seed, done, so_far)
            words = f"draw {done} of {draws}"
            yield Interim(done, draws, time.perf_counter() - began_s, answer, words, is_final=done == draws)


def _asked(letters: str) -> tuple[Claim, ...]:
    """The claims of some letters; all of them for none."""
    known = {claim.letter: claim for claim in CLAIMS}
    strange = [letter for letter in letters if letter not in known]
    if strange:
        raise StudyError(f'there is no claim "{strange[0]}"; letters among {"".join(known)} were expected')
    return tuple(claim for claim in CLAIMS if not letters or claim.letter in letters)
