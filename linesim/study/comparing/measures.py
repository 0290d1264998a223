"""What policies are compared by: one measure, one name, one unit, one direction."""

from __future__ import annotations

from typing import NamedTuple

from linesim.words import keep
from linesim.works import Works
from linesim.works.types_of import has_worth

__all__ = ["MEASURES", "Measure", "deciding_measure", "measure", "with_unit"]


class Measure(NamedTuple):
    """One figure by which policies are compared.

    Attributes
    ----------
    name : str
        Column in the tables.
    words : str
        What it is called in a sentence.
    unit : str
        Unit, with "money" standing for the currency of the scenario.
    is_more_better : bool
        Whether a policy with more of it is the better one.
    is_share : bool
        Whether it is a share of 1, shown in per cent.
    """

    name: str
    words: str
    unit: str
    is_more_better: bool
    is_share: bool = False


MEASURES: tuple[Measure, ...] = (
    Measure("good_per_hour", keep("measures.good_per_hour"), "1/h", True),
    Measure("cost_per_good_part", keep("measures.cost_per_good_part"), "money", False),
    Measure("quality_loss_per_good_part", keep("measures.quality_loss_per_good_part"), "money", False),
    Measure("contribution_per_hour", keep("measures.contribution_per_hour"), "money/h", True),
    Measure("first_pass_yield", keep("measures.first_pass_yield"), "%", True, is_share=True),
    Measure("planned_per_100", keep("measures.planned_per_100"), "", False),
    Measure("unplanned_per_100", keep("measures.unplanned_per_100"), "", False),
)


def measure(name: str) -> Measure:
    """The measure of a name.

    >>> measure("first_pass_yield").words
    'first-pass yield'
    """
    return next(answer for answer in MEASURES if answer.name == name)


def deciding_measure(works: Works) -> Measure:
    """The measure that decides which is best: contribution per hour if any line has a worth, else cost per good part.

    Parameters
    ----------
    works : Works

    Returns
    -------
    Measure
    """
    is_worth = any(has_worth(line) for line in works.lines.values())
    return measure("contribution_per_hour" if is_worth else "cost_per_good_part")


def with_unit(answer: Measure, currency: str) -> str:
    """Words of a measure with its unit, for the head of a column.

    >>> with_unit(measure("cost_per_good_part"), "EUR")
    'cost per good part, EUR'
    """
    unit = answer.unit.replace("money", currency)
    is_said = not unit or unit == "1/h"
    return answer.words if is_said else keep("trial.with_unit", what=answer.words, unit=unit)
