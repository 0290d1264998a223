"""A line that has just been begun, in a sentence."""

from __future__ import annotations

from linesim.desk import desk_figures
from linesim.desk.assumed_marks import assumed_by_marks
from linesim.report.views.routing_picture import constraint_words
from linesim.works import Works

__all__ = ["assumed_words", "begun_words"]


def begun_words(works: Works) -> str:
    """Return which operation holds a line back that is not on the desk yet, with the name of its part.

    Parameters
    ----------
    works : Works
        Checked.
    """
    return f"{works.name}: {constraint_words(works, desk_figures(works))}"


def assumed_words(works: Works) -> str:
    """Return how many figures stand in for the shop's own; nothing if none does.

    Parameters
    ----------
    works : Works
        Checked.
    """
    count = sum(1 for _ in assumed_by_marks(works))
    if not count:
        return ""
    return f"{count} figures are assumed, typical ones in place of yours. The column assumed of each sheet names them."
