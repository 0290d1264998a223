"""What is set against each other: works under policies, each by a name of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.errors import StudyError
from linesim.plan.plan import Plan
from linesim.study.comparing.words import policy_words
from linesim.study.crew.parcels import plan_at_hand
from linesim.works import Works

__all__ = ["Alternative", "plans_of", "policies_of"]


@dataclass(frozen=True, eq=False)
class Alternative:
    """One of the things that a study sets against each other.

    Attributes
    ----------
    name : str
        Stands for it in tables and sentences; unlike that of every other one of the study.
    works : Works
        The works as it would be: the scenario, or a changed one.
    policy : str
        Name of the policy of that works under which it is run.
    words : str
        What it does, as the subject of a sentence ("changing the cutters after 90 parts", "boring in two cuts").
    """

    name: str
    works: Works
    policy: str
    words: str = ""

    @property
    def label(self) -> str:
        """Its words, or its name in quotes where it has none."""
        return self.words or f'"{self.name}"'


def policies_of(works: Works, names: Sequence[str] | None = None) -> tuple[Alternative, ...]:
    """Policies of a works as alternatives.

    Parameters
    ----------
    works : Works
        The checked scenario.
    names : sequence of str, optional
        Names of its policies; all of them, in their order, unless given.

    Returns
    -------
    tuple of Alternative
        A policy that the works does not have is let through; whoever makes a plan of it says so.

    Raises
    ------
    StudyError
        None is named.
    """
    chosen = tuple(works.policies if names is None else names)
    if not chosen:
        raise StudyError("no policy is named; at least one is needed")
    return tuple(
        Alternative(name, works, name, policy_words(works.policies[name]) if name in works.policies else "")
        for name in chosen
    )


def plans_of(alternatives: Sequence[Alternative]) -> list[Plan]:
    """The plan of each, in their order, as runs in this process take it; what policies of one works share is made once.

    Raises
    ------
    ScenarioError
        A policy is not known, or a cut cannot be made as described.
    """
    return [plan_at_hand(each.works, each.works.chosen_policy(each.policy)) for each in alternatives]
