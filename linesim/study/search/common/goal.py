"""What a search is after: the least cost, the most contribution or the most output, under caps on loss or scrap."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from linesim.errors import StudyError, nearest
from linesim.study.comparing.measures import Measure, measure
from linesim.works import Works
from linesim.works.types_of import has_worth

__all__ = ["CAPS", "GOALS", "Goal", "goal_of"]

GOALS: Mapping[str, str] = {
    "cost": "cost_per_good_part",
    "contribution": "contribution_per_hour",
    "output": "good_per_hour",
}
"""What can be asked for, and the measure by which it is judged."""

CAPS: Mapping[str, str] = {"loss": "quality_loss_per_good_part", "scrap": "scrap_share"}
"""What can be capped, and the figure that must not lie above the cap."""

_SCRAP = Measure("scrap_share", "scrap", "%", False, is_share=True)


@dataclass(frozen=True)
class Goal:
    """What is to be made least or greatest, and what must not be passed.

    Attributes
    ----------
    name : str
        cost, contribution or output.
    caps : tuple of (str, float)
        Figure of a run and its greatest mean: quality loss per good part (money), or scrap (share of 1).
    """

    name: str
    caps: tuple[tuple[str, float], ...] = ()

    @property
    def measure(self) -> Measure:
        """By which a policy is judged."""
        return measure(GOALS[self.name])

    @property
    def adds_up(self) -> bool:
        """Whether that of the works is the sum of those of its lines."""
        return self.name != "cost"

    @property
    def sign(self) -> float:
        """1 if more is better, else -1."""
        return 1.0 if self.measure.is_more_better else -1.0

    def capped(self, figure: str) -> Measure:
        """The measure behind a cap."""
        return _SCRAP if figure == _SCRAP.name else measure(figure)

    def worse(self, values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """Values turned so that less is better; a run without a value counts as infinitely bad.

        >>> Goal("output").worse(np.array([3.5]))
        array([-3.5])
        """
        turned = -self.sign * values
        return np.where(np.isnan(turned), np.inf, turned)


def goal_of(
    works: Works, name: str | None = None, loss_cap: float | None = None, scrap_cap: float | None = None
) -> Goal:
    """The goal that was asked for, checked.

    Parameters
    ----------
    works : Works
        The scenario.
    name : str, optional
        cost, contribution or output. Unless given: contribution if any line says what a good part is worth, else cost.
    loss_cap : float, optional
        Greatest quality loss per good part, in the scenario's currency, above 0.
    scrap_cap : float, optional
        Greatest share of parts scrapped, between 0 and 1.

    Returns
    -------
    Goal

    Raises
    ------
    StudyError
        It is not known, or a cap cannot be.
    """
    is_worth = any(has_worth(line) for line in works.lines.values())
    wanted = name or ("contribution" if is_worth else "cost")
    if wanted not in GOALS:
        near = nearest(wanted, list(GOALS))
        hint = f'; did you mean "{near}"?' if near else ""
        raise StudyError(f'"{wanted}" is no goal; one of {", ".join(GOALS)} was expected{hint}')
    if wanted == "contribution" and not is_worth:
        raise StudyError("no line says what a good part is worth; give a line its worth, or ask for the goal cost")
    caps = []
    for cap, value, most in (("loss", loss_cap, np.inf), ("scrap", scrap_cap, 1.0)):
        if value is None:
            continue
        if not 0.0 < value < most:
            expected = "a share between 0 and 1" if cap == "scrap" else "an amount of money above 0"
            raise StudyError(f"a {cap} cap of {value:g} cannot be; {expected} was expected")
        caps.append((CAPS[cap], float(value)))
    return Goal(wanted, tuple(caps))
