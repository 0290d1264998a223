"""What one run of an alternative shows to a claim."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.ledger import Ledger
from linesim.plan.build import Planner
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally
from linesim.result.characteristics import Asked, Characteristics, Figures
from linesim.result.details import Details
from linesim.study.crew.summary import Ready, figures_of, ratio
from linesim.works import Works
from linesim.works.policies import Policy

__all__ = ["Base", "Seen"]


class Base:
    """A works laid out once for all policies under which it is run.

    Parameters
    ----------
    works : Works
        With one policy at least, and without a mark for today's.

    Raises
    ------
    ScenarioError
        A cut cannot be made as described.
    """

    def __init__(self, works: Works) -> None:
        self.works, self._planner = works, Planner(works)
        plan = self.plan(next(iter(works.policies.values())))
        self._ledger, self._details = Ledger(works, plan), Details(works, plan)
        self.characteristics = Characteristics(works, plan)

    def plan(self, policy: Policy) -> Plan:
        """The plan under a policy."""
        return self._planner.plan("as tried", policy)

    def ready(self, plan: Plan) -> Ready:
        """A plan of this works with all that prices its runs."""
        return Ready(self.works, plan, self._ledger, self._details)


@dataclass(frozen=True)
class Seen:
    """What one run shows; nothing where the alternative cannot be cut as described.

    Attributes
    ----------
    base : Base or None
        The works.
    plan : Plan or None
        What was run.
    tally : Tally or None
        What the run left behind.
    """

    base: Base | None = None
    plan: Plan | None = None
    tally: Tally | None = None

    @property
    def contribution(self) -> float:
        """Contribution of the whole works per hour, in the scenario's currency."""
        if self.base is None or self.plan is None or self.tally is None:
            return math.nan
        rows, _ = figures_of(self.base.ready(self.plan), self.tally)
        return float(rows[-1]["contribution_per_hour"])

    @property
    def rejects(self) -> float:
        """Parts turned down by tests for their surfaces, for each part tested; not a number where nothing is."""
        if self.plan is None or self.tally is None:
            return math.nan
        terms = _terms(self.plan, are_failures=False)
        return ratio(float(self.tally.turned_down[terms].sum()), float(self.tally.tested.sum()))

    @property
    def failures(self) -> float:
        """Chance that a shipped part fails in the field for its surfaces; not a number where nothing can."""
        if self.plan is None or self.tally is None:
            return math.nan
        terms = _terms(self.plan, are_failures=True)
        shipped = float(self.tally.shipped.sum()) if terms else 0.0
        return ratio(float(self.tally.field_chance[terms].sum()), shipped)

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
        both = self._asked_and_figures(line, feature, characteristic)
        return math.nan if both is None else float(getattr(both[1], name))

    def off_aim(self, line: str, feature: str, characteristic: str) -> float:
        """Root of the mean square by which shipped places are off the aim: what scatters, and what is off for long.

        Parameters
        ----------
        line, feature, characteristic : str
            As for `figure`.

        Returns
        -------
        float
            In the unit of the characteristic; not a number where the drawing does not limit it, or nothing was shipped.
        """
        both = self._asked_and_figures(line, feature, characteristic)
        return math.nan if both is None else math.hypot(both[1].sd, both[1].mean - both[0].aim)

    def _asked_and_figures(self, line: str, feature: str, characteristic: str) -> tuple[Asked, Figures] | None:
        """What the drawing asks of a characteristic, and what was made of it."""
        if self.base is None or self.tally is None:
            return None
        rows, wanted = self.base.characteristics, (line, feature, characteristic)
        for asked in rows.asked:
            if (asked.line, asked.feature, asked.of.name.lower()) == wanted:
                return asked, rows.figures(asked, self.tally)
        return None


def _terms(plan: Plan, are_failures: bool) -> list[int]:
    """Terms of tests, or of failures in the field, that are surfaces."""
    tests, feature = plan.tests, plan.test_terms.feature.tolist()
    rows = zip(tests.operation.tolist(), tests.first_term.tolist(), tests.end_term.tolist(), strict=True)
    mine = [range(first, end) for operation, first, end in rows if (operation == NONE) is are_failures]
    return [term for terms in mine for term in terms if feature[term] != NONE]
