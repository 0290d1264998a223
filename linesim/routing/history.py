"""The question of a feature's life history: operation by operation, where its error came from."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.cutting.component import Component
from linesim.errors import StudyError, nearest, quoted
from linesim.plan.build import make_plan
from linesim.routing.account import account_of_run, alike
from linesim.routing.history_figures import HistoryFigures
from linesim.routing.history_words import sentences_of
from linesim.routing.measured import component_named
from linesim.study import USUAL, Answer, Interim, Study, StudyOptions
from linesim.study.answer import origin_of
from linesim.works import Works
from linesim.works.carried import carried

__all__ = ["History", "HistoryStudy", "place_of"]

USUAL_REPLICATIONS = 3


@dataclass(frozen=True, eq=False, repr=False)
class History(HistoryFigures, Answer):
    """Where the error of a feature came from, over several runs, with the answer in words."""

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, line=self.line, feature=self.feature, of=self.of.words,
            seed=self.seed, replications=len(self.accounts), confidence=self.confidence, engine="simpy",
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"history": self.table, "totals": self.totals, "arising": self.arising, "surface": self.surface}

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The account in words, the greatest sources first."""
        return sentences_of(self)


@dataclass(frozen=True, eq=False)
class HistoryStudy(Study[History]):
    """The parts of several runs followed, to tell where the error of a feature came from.

    Attributes
    ----------
    works : Works
        The checked scenario.
    feature : str
        The feature.
    line : str or None
        Its line; the first that has such a feature unless given.
    policy : str or None
        Under which policy; today's practice unless given.
    options : StudyOptions
        Replications (3 unless given; without a second one there are no intervals), seed and confidence. The runs are
        done in this process on the SimPy floor, as they are listened to.
    of : str
        What of the feature is followed: size, position, tilt (squareness, parallelism) or form.
    """

    kind = "history"
    is_stored = False
    works: Works
    feature: str
    line: str | None = None
    policy: str | None = None
    options: StudyOptions = USUAL
    of: str = "size"

    def steps(self) -> Iterator[Interim[History]]:
        """Carry it out, with an answer after each run.

        Raises
        ------
        StudyError
            The feature or the line is not known, it does not carry what is asked for, or no part was shipped.
        """
        works, options = self.works, self.options
        line, of = place_of(works, self.feature, self.line), component_named(self.of)
        _check_carried(works, line, self.feature, of)
        chosen = works.chosen_policy(self.policy)
        count = options.count_for(USUAL_REPLICATIONS)
        seed = options.seed_for(works, count - 1)
        plan = make_plan(works, chosen)
        numbers = plan.names.lines.index(line), _feature_number(works, line, self.feature)
        began_s, accounts = time.monotonic(), []
        for replication in range(count):
            accounts.append(account_of_run(plan, *numbers, seed, replication, of))
            answer = History(works, chosen, line, self.feature, seed, options.confidence, alike(accounts), of)
            spent_s, is_last = time.monotonic() - began_s, replication + 1 == count
            yield Interim(replication + 1, count, spent_s, answer, "following the parts", is_last)


def place_of(works: Works, feature: str, line: str | None) -> str:
    """The line of a feature.

    Raises
    ------
    StudyError
        The line or the feature is not known.
    """
    if line is not None and line not in works.lines:
        near = nearest(line, works.lines)
        hint = f"; did you mean {quoted(near)}?" if near else f"; one of {', '.join(works.lines)} was expected"
        raise StudyError(f"{quoted(line)} is not a line of this works{hint}")
    lines = list(works.lines) if line is None else [line]
    for name in lines:
        if feature in works.lines[name].features:
            return name
    known = [name for each in lines for name in works.lines[each].features]
    near = nearest(feature, known)
    hint = f"; did you mean {quoted(near)}?" if near else f"; one of {', '.join(known) or 'none'} was expected"
    raise StudyError(f"{quoted(feature)} is not a feature of {' or '.join(lines)}{hint}")


def _check_carried(works: Works, line: str, feature: str, of: Component) -> None:
    """Position, tilt and form are there to be followed only where something asks for one of them."""
    names = carried(works.lines[line])
    if of is Component.SIZE or feature in names:
        return
    others = f"; of {line} it is known for {', '.join(sorted(names))}" if names else ""
    raise StudyError(
        f"nothing asks for position, tilt or form of {quoted(feature)}, so that its {of.words} is not known{others}. "
        "Give it a limit of one of them, or a gauge that reads one"
    )


def _feature_number(works: Works, line: str, feature: str) -> int:
    """Number of a feature over the whole works."""
    names = [(name, each) for name, of in works.lines.items() for each in of.features]
    return names.index((line, feature))
