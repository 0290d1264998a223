"""The account of one part: where its errors can arise, and what it has been through so far."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.plan.plan import Plan
from linesim.routing.tagging import Tags
from linesim.words import keep

__all__ = ["AS_CAST", "DISTURBED", "SALVAGED", "Life", "Step", "are_close", "origins_of", "step_words"]

_CLOSE_UM = 1e-6
"""Rounding of sums of parts of an error, µm; anything more is an error of the account."""

DISTURBED = "disturbed"
SALVAGED = "salvaged"


class Step(NamedTuple):
    """Where an error can arise and an account is read off: a cut, a disturbance or a salvage at an operation.

    Attributes
    ----------
    operation : str
        Name of the operation.
    what : str
        The cut, or "disturbed", "salvaged"; recuts stand under their cut.
    """

    operation: str
    what: str


AS_CAST = Step("casting", "as cast")
"""Before the first operation."""


def step_words(what: str) -> str:
    """What a step is called: a cut by its name, all else so that a page says it in its reader's language."""
    return keep(f"history.{what}") if what in (*AS_CAST, DISTURBED, SALVAGED) else what


def origins_of(plan: Plan, line: int, feature: int) -> tuple[Step, ...]:
    """Where the error of a feature can arise, in the order of the routing, the casting first.

    Parameters
    ----------
    plan : Plan
        What is run.
    line, feature : int
        Numbers in it.

    Returns
    -------
    tuple of Step
        By operation its cuts of the feature, then "disturbed" and "salvaged". Cuts of one name are one step.
    """
    steps = {AS_CAST: None}
    for operation in range(int(plan.lines.first_operation[line]), int(plan.lines.end_operation[line])):
        name = plan.names.operations[operation]
        strokes = range(int(plan.operations.first_stroke[operation]), int(plan.operations.end_stroke[operation]))
        cuts = [
            cut
            for stroke in strokes
            for cut in range(int(plan.strokes.first_cut[stroke]), int(plan.strokes.end_cut[stroke]))
            if int(plan.cuts.feature[cut]) == feature
        ]
        for what in (*(plan.names.cuts[cut] for cut in cuts), DISTURBED, SALVAGED):
            steps[Step(name, what)] = None
    return tuple(steps)


@dataclass
class Life:
    """The account of one part so far.

    Attributes
    ----------
    tags : list of Tags
        Of the size, by place of the feature, as it is now.
    shape : list of Tags
        Of position, tilt or form, if one of them is asked for; else empty.
    steps : dict of Step to array of float
        By place and source, what is asked for as it was after each step that the part has been through.
    surface : dict of str to tuple of lists
        Roughness and scratch of every place (µm) when the part is passed on, by operation.
    """

    tags: list[Tags]
    shape: list[Tags]
    steps: dict[Step, npt.NDArray[np.float64]] = field(default_factory=dict)
    surface: dict[str, tuple[list[float], list[float]]] = field(default_factory=dict)

    @property
    def asked(self) -> list[Tags]:
        """The account that is asked for, by place."""
        return self.shape or self.tags

    def ask_again(self, tags: list[Tags]) -> None:
        """Put another account in its stead."""
        if self.shape:
            self.shape = tags
        else:
            self.tags = tags

    def read_off(self, step: Step) -> None:
        """Note what is asked for, as it is after a step."""
        self.steps[step] = np.array([tags.sum(axis=0) for tags in self.asked])


def are_close(true: list[float], own: list[float]) -> bool:
    """Whether sums of parts are the true values but for rounding."""
    return all(abs(one - other) <= _CLOSE_UM * max(1.0, abs(one)) for one, other in zip(true, own, strict=True))
