"""One draw: a works with its assumed figures drawn within their ranges, its alternatives, and what their runs show."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from linesim.errors import ScenarioError
from linesim.study.one.runs import run_plan
from linesim.study.practice.seen import Base, Seen
from linesim.study.search.sensitivity.inputs import Input, with_factors
from linesim.works import Works
from linesim.works.policies import Policy

__all__ = ["AS_IT_STANDS", "Draw", "as_it_is", "drawn"]

AS_IT_STANDS = "as it stands"

Change = Callable[[Works], Works]


def as_it_is(works: Works) -> Works:
    """The works itself; only its policy is another one."""
    return works


@dataclass
class Draw:
    """One draw of a works; every alternative meets the same castings, edges and breakdowns, and is run once.

    Attributes
    ----------
    works : Works
        With its assumed figures as drawn; its one policy is today's practice, its shares of life written in minutes:
        the shop keeps to what it was told.
    seed, number : int
        Key of all chance, and the replication in which this draw is run.
    engine : str
        Which engine runs it.
    """

    works: Works
    seed: int
    number: int
    engine: str = "fast"
    runs: int = 0
    _seen: dict[str, Seen] = field(default_factory=dict)
    _bases: dict[Change, Base | None] = field(default_factory=dict)

    @property
    def today(self) -> Policy:
        """Today's practice."""
        return next(iter(self.works.policies.values()))

    @property
    def money(self) -> str:
        """Unit of a contribution."""
        return f"{self.works.currency}/h"

    @property
    def as_it_stands(self) -> Seen:
        """The works itself under today's practice."""
        return self.seen(AS_IT_STANDS, as_it_is)

    def seen(self, key: str, change: Change, policy: Policy | None = None) -> Seen:
        """What an alternative shows.

        Parameters
        ----------
        key : str
            Names the alternative; claims that ask for the same one share its run.
        change : callable
            Makes it out of the drawn works; the same function is laid out once for all its policies.
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
            self._seen[key] = self._run(change, self.today if policy is None else policy)
        return self._seen[key]

    def _run(self, change: Change, policy: Policy) -> Seen:
        base = self._base(change)
        if base is None:
            return Seen()
        plan = base.plan(policy)
        self.runs += 1
        return Seen(base, plan, run_plan(plan, self.seed, self.number, engine=self.engine))

    def _base(self, change: Change) -> Base | None:
        """An alternative laid out; None where a cut of it cannot be made."""
        if change not in self._bases:
            try:
                self._bases[change] = Base(change(self.works))
            except ScenarioError:
                self._bases[change] = None
        return self._bases[change]


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
