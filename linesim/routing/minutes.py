"""What each variant takes in minutes and machines, on paper: cuts of the features in question, their operations."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from linesim.desk import desk_figures
from linesim.routing.bench import Candidate

__all__ = ["WorkContent", "hourly_cost", "work_content"]


@dataclass(frozen=True)
class WorkContent:
    """What a variant spends on the features in question, per part.

    Attributes
    ----------
    operations : tuple of str
        Operations that cut them, in the order of the routing.
    cuts : int
        Cuts that they get.
    cut_min : float
        Cutting minutes of the strokes with these cuts.
    operation_min : float
        Minutes of these operations: handling, cutting, gauging, changes of cutters, breakdowns.
    machines : int
        Machines of these operations.
    line_machines : int
        Machines of the whole line.
    power_kw : float
        Greatest power at the motor of one of the cuts, sharp edge.
    """

    operations: tuple[str, ...]
    cuts: int
    cut_min: float
    operation_min: float
    machines: int
    line_machines: int
    power_kw: float


def work_content(candidate: Candidate, line: str, features: tuple[str, ...]) -> WorkContent:
    """Minutes, cuts and machines that some features take.

    Parameters
    ----------
    candidate : Candidate
        A variant with its policy.
    line : str
        The line.
    features : tuple of str
        Features of that line.

    Returns
    -------
    WorkContent
        From desk figures: means, no waiting.
    """
    works = candidate.works
    desk = desk_figures(works, candidate.policy)
    cuts = desk.cuts[(desk.cuts["line"] == line) & desk.cuts["feature"].isin(features)]
    names = tuple(dict.fromkeys(str(name) for name in cuts["operation"]))
    operations = desk.operations[(desk.operations["line"] == line) & desk.operations["operation"].isin(names)]
    strokes = cuts.groupby(["operation", "stroke"], sort=False)["cut_min"].max()
    of_line = works.lines[line].operations
    return WorkContent(
        operations=names,
        cuts=len(cuts),
        cut_min=float(strokes.sum()),
        operation_min=float(operations["minutes_per_part"].sum()),
        machines=sum(of_line[name].machines for name in names),
        line_machines=sum(operation.machines for operation in of_line.values()),
        power_kw=_greatest(cuts["power_kw"]),
    )


def hourly_cost(candidate: Candidate) -> float:
    """What all machines and their operators cost in one hour, whether they work or wait; money per hour."""
    works = candidate.works
    operations = [operation for line in works.lines.values() for operation in line.operations.values()]
    labour = works.prices.labour_rate
    return sum(operation.machines * (operation.rate + operation.operators * labour) for operation in operations)


def _greatest(values: pd.Series[float]) -> float:
    known = pd.to_numeric(values, errors="coerce").dropna()
    return float(known.max()) if len(known) else 0.0
