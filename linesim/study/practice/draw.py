"""One draw: a works with its assumed figures drawn within their ranges, its alternatives, and what their runs show."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally
from linesim.result.characteristics import Characteristics
from linesim.study.crew.summary import Ready, ratio, summary_of
from linesim.study.one.runs import run_plan
from linesim.study.search.sensitivity.inputs import Input, with_factors
from linesim.works import Works
from linesim.works.policies import Policy

__all__ = ["AS_IT_STANDS", "Draw", "Seen", "drawn"]

AS_IT_STANDS = "as it stands"

_TRIED = "as tried"
"""The name under which a policy of a claim's own is run."""


@dataclass(frozen=True)
class Seen:
    """What one run shows to a claim.

    Attributes
    ----------
    ready : Ready or None
        What was run; None where the alternative cannot be cut as described.
    tally : Tally or None
        What the run left behind.
    """

    ready: Ready | None = None
    tally: Tally | None = None

    @property
    def contribution(self) -> float:
        """Contribution of the whole works per hour, in the scenario's currency."""
        if self.ready is None or self.tally is None:
            return math.nan
        return float(summary_of(self.ready, self.tally).figures[-1]["contribution_per_hour"])

    @property
    def rejects(self) -> float:
        """Parts turned down by tests for their surfaces, for each part tested; not a number where nothing is."""
        if self.ready is None or self.tally is None:
            return math.nan
        terms = self._terms(self.ready.plan, are_failures=False)
        return ratio(float(self.tally.turned_down[terms].sum()), float(self.tally.tested.sum()))

    @property
    def failures(self) -> float:
        """Chance that a shipped part fails in the field for its surfaces, all failures together."""
        if self.ready is None or self.tally is None:
            return math.nan
        terms = self._terms(self.ready.plan, are_failures=True)
        shipped = float(self.tally.shipped.sum()) if terms else 0.0
        return ratio(float(self.tally.field_chance[terms].sum()), shipped)

    @staticmethod
    def _terms(plan: Plan, are_failures: bool) -> list[int]:
        """Terms of tests, or of failures in the field, that are surfaces."""
        tests, feature = plan.tests, plan.test_terms.feature.tolist()
        rows = zip(tests.operation.tolist(), tests.first_term.tolist(), tests.end_term.tolist(), strict=True)
        mine = [range(first, end) for operation, first, end in rows if (operation == NONE) is are_failures]
        return [term for terms in mine for term in terms if feature[term] != NONE]

    def figure(self, line: str, feature: str, characteristic: str, name: str) -> float:
        """A figure of a characteristic over the shipped parts, as the table of characteristics has it.

        Parameters
        ----------
        line, feature : str
            Where.
        characteristic : str
            size, roughness, scratch, position, tilt or form.
        name : str
            mean, sd, cpk, share_out: an attribute of `linesim.result.characteristics.Figures`.

        Returns
        -------
        float
            Not a number where the drawing does not limit it, or nothing was shipped.
        """
        if self.ready is None or self.tally is None:
            return math.nan
        rows = Characteristics(self.ready.works, self.ready.plan)
        wanted = (line, feature, characteristic)
        for asked in rows.asked:
            if (asked.line, asked.feature, asked.of.name.lower()) == wanted:
                return float(getattr(rows.figures(asked, self.tally), name))
        return math.nan


@dataclass
class Draw:
    """One draw of a works; every alternative meets the same castings, edges and breakdowns, and is run once.

    Attributes
    ----------
    works : Works
        With its assumed figures as drawn.
    policy : str
        Today's practice, its shares of life written in minutes: the shop keeps to what it was told.
    seed, number : int
        Key of all chance, and the replication in which this draw is run.
    engine : str
        Which engine runs it.
    """

    works: Works
    policy: str
    seed: int
    number: int
    engine: str = "fast"
    runs: int = 0
    _seen: dict[str, Seen] = field(default_factory=dict)

    @property
    def money(self) -> str:
        """Unit of a contribution."""
        return f"{self.works.currency}/h"

    @property
    def as_it_stands(self) -> Seen:
        """The works itself under today's practice."""
        return self.seen(AS_IT_STANDS, lambda works: works)

    def seen(self, key: str, change: Callable[[Works], Works], policy: Policy | None = None) -> Seen:
        """What an alternative shows.

        Parameters
        ----------
        key : str
            Names the alternative; claims that ask for the same one share its run.
        change : callable
            Makes it out of the drawn works.
        policy : Policy, optional
            Under which it is run; today's practice unless given.

        Returns
        -------
        Seen
            Without figures where a cut of the alternative cannot be made as described.

        Raises
        ------
        RunError
            The run cannot be carried on.
        """
        if key not in self._seen:
            self._seen[key] = self._run(change(self.works), policy)
        return self._seen[key]

    def _run(self, works: Works, policy: Policy | None) -> Seen:
        name = self.policy if policy is None else _TRIED
        if policy is not None:
            works = works.model_copy(update={"policies": {**works.policies, name: policy}})
        try:
            ready = Ready.of(works, make_plan(works, name))
        except ScenarioError:
            return Seen()
        self.runs += 1
        return Seen(ready, run_plan(ready.plan, self.seed, self.number, engine=self.engine))


def drawn(works: Works, inputs: Sequence[Input], seed: int, number: int) -> Works:
    """The works with each of its assumed figures drawn by itself, even by ratio within its range.

    Parameters
    ----------
    works : Works
        Stays as it is.
    inputs : sequence of Input
        What is drawn.
    seed, number : int
        Key of all chance, and which draw; the same ones give the same works.

    Returns
    -------
    Works
    """
    shares = np.random.Generator(np.random.Philox(key=[seed, number])).random(len(inputs))
    return with_factors(works, [(one, one.factor(share)) for one, share in zip(inputs, shares.tolist(), strict=True)])
