"""Who keeps the machines of an operation going: what holds for each of them where they are not alike."""

from __future__ import annotations

from linesim.works.ageing import Breakdowns
from linesim.works.operations import Operation

__all__ = ["breakdowns_of", "overhauled_by"]


def breakdowns_of(operation: Operation, number: int) -> Breakdowns | None:
    """Failures of one machine of an operation, counted from 0: its own, else those of the operation."""
    own = list(operation.unlike.values())[number].breakdowns if operation.unlike else None
    return operation.breakdowns if own is None else own


def overhauled_by(operation: Operation, number: int) -> str | None:
    """The pool of people who overhaul a machine of an operation; None if nobody does or nobody is needed."""
    breakdowns = breakdowns_of(operation, number)
    overhaul = None if breakdowns is None else breakdowns.overhaul
    if overhaul is None:
        return None
    return operation.fitters if overhaul.people is None else overhaul.people
