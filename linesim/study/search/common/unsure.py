"""Lives that nobody knows for sure: drawn anew in every run, so that an answer is the best over all of them."""

from __future__ import annotations

from linesim.study.search.common.set_at import all_sets_at
from linesim.works import Works
from linesim.works.mishaps import Life

__all__ = ["HANDBOOK_WITHIN", "as_unsure"]

HANDBOOK_WITHIN = 2.0
"""The factor, up or down, within which the handbook's lives hold with 95 %, as it says itself."""


def as_unsure(works: Works) -> Works:
    """The works with every life known no better than is said of it: as the scenario says, else as the handbook does.

    Each replication then draws what is not known of the mean life of each kind of edge; settings that are run in the
    same replications meet the same lives, and people go by what is thought of them.

    Parameters
    ----------
    works : Works
        The checked scenario.
    """
    dulling = {set_at.cutter for set_at in all_sets_at(works)}
    cutters = {
        name: cutter.model_copy(update={"life": Life(about=cutter.life_min, known_within=HANDBOOK_WITHIN)})
        if name in dulling and cutter.known_within == 1.0
        else cutter
        for name, cutter in works.cutters.items()
    }
    return works.model_copy(update={"cutters": cutters})
