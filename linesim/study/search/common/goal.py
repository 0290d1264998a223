"""What a search is after: least cost, most contribution or most output, under caps on loss, scrap or setters' hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from linesim.errors import StudyError, nearest
from linesim.study.comparing.measures import Measure, measure
from linesim.words import keep
from linesim.works import Works
from linesim.works.types_of import has_worth

__all__ = ["CAPS", "GOALS", "Goal", "goal_of"]

GOALS: Mapping[str, str] = {
    "cost": "cost_per_good_part",
    "contribution": "contribution_per_hour",
    "output": "good_per_hour",
}
"""What can be asked for, and the measure by which it is judged."""

CAPS: Mapping[str, str] = {
    "loss": "quality_loss_per_good_part",
    "scrap": "scrap_share",
    "setters": "setters_hours_per_shift",
}
"""What can be capped, and the figure that must not lie above the cap."""

_CAPPED_ONLY = (
    Measure("scrap_share", keep("measures.scrap_share"), "%", False, is_share=True),
    Measure("setters_hours_per_shift", keep("measures.setters_hours_per_shift"), "h", False),
)
_CAP_EXPECTED = {
    "loss": "an amount of money above 0",
    "scrap": "a share between 0 and 1",
    "setters": "a number of hours above 0",
}


@dataclass(frozen=True)
class Goal:
    """What is to be made least or greatest, and what must not be passed.

    Attributes
    ----------
    name : str
        cost, contribution or output.
    caps : tuple of (str, float)
        Figure of a run and its greatest mean: quality loss per good part (money), scrap (share of 1), hours of the
        setters' work in a shift.
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
        return next((each for each in _CAPPED_ONLY if each.name == figure), None) or measure(figure)

    def worse(self, values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """Values turned so that less is better; a run without a value counts as infinitely bad.

        >>> Goal("output").worse(np.array([3.5]))
        array([-3.5])
        """
        turned = -self.sign * values
        return np.where(np.isnan(turned), np.inf, turned)


def goal_of(
    works: Works,
    name: str | None = None,
    loss_cap: float | None = None,
    scrap_cap: float | None = None,
    setters_cap: float | None = None,
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
    setters_cap : float, optional, h
        Most that those who change cutters work in a shift, all together and whatever they do, above 0.

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
    operations = (each for line in works.lines.values() for each in line.operations.values())
    if setters_cap is not None and all(each.setters is None for each in operations):
        raise StudyError("nobody is named to change cutters; give an operation its setters, or leave out their cap")
    for cap, value, most in (("loss", loss_cap, np.inf), ("scrap", scrap_cap, 1.0), ("setters", setters_cap, np.inf)):
        if value is None:
            continue
        if not 0.0 < value < most:
            raise StudyError(f"a {cap} cap of {value:g} cannot be; {_CAP_EXPECTED[cap]} was expected")
        caps.append((CAPS[cap], float(value)))
    return Goal(wanted, tuple(caps))
