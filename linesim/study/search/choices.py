"""What a search may be asked for, in the words of the shop."""

from __future__ import annotations

from linesim.study.search.common.goal import GOALS, goal_of
from linesim.study.search.common.set_at import all_sets_at
from linesim.works import Works

__all__ = ["goals_for", "set_names"]

_WORDS = {
    "contribution": "most contribution per hour",
    "cost": "least cost per good part",
    "output": "most good parts per hour",
}


def goals_for(works: Works) -> dict[str, str]:
    """Goals that make sense for a works, by their words; the usual one first.

    Parameters
    ----------
    works : Works
        Contribution can be sought only if some line says what a good part is worth.

    Returns
    -------
    dict of str to str
        Name of the goal by its words.
    """
    usual = goal_of(works).name
    names = [usual, *(name for name in GOALS if name != usual)]
    return {_WORDS[name]: name for name in names if name != "contribution" or usual == "contribution"}


def set_names(works: Works) -> list[str]:
    """Sets whose interval matters, as an exception of a policy names them."""
    return [set_at.key for set_at in all_sets_at(works)]
