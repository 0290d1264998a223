"""Datum faces that are worse than what is located on them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.cutting.component import Component
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally
from linesim.words import keep

__all__ = ["worse_datums"]

_SIGMAS = 3.0
"""Tilt of the datum that is held against a limit, in root mean squares (common practice)."""


def worse_datums(plan: Plan, tally: Tally) -> Iterator[str]:
    """Say of which operations the datum's own tilt fills the limit of what is located on it.

    Parameters
    ----------
    plan : Plan
        What was run.
    tally : Tally
        What the run left behind: true tilts of shipped parts.

    Yields
    ------
    str
        One for each operation and feature, with both figures.
    """
    for operation in range(len(plan.operations.line)):
        datum = int(plan.holdings.datum[operation])
        if datum == NONE or not plan.features.carries[datum] or not tally.places[datum]:
            continue
        tilt_um = math.sqrt(float(tally.square[datum, Component.TILT]) / int(tally.places[datum]))
        for cut in _last_cuts(plan, operation).values():
            feature = int(plan.cuts.feature[cut])
            limit_um = float(plan.shapes.tilt_limit_um[feature])
            passed_um = _SIGMAS * tilt_um * float(plan.placings.datum_to_tilt[cut])
            if passed_um > limit_um:
                names = plan.names
                yield keep(
                    "findings.datum", operation=names.operations[operation], feature=names.features[feature],
                    datum=names.features[datum], passed=passed_um, sigmas=_SIGMAS, limit=limit_um,
                )  # fmt: skip


def _last_cuts(plan: Plan, operation: int) -> dict[int, int]:
    """The last cut of each feature at an operation."""
    last: dict[int, int] = {}
    for stroke in range(int(plan.operations.first_stroke[operation]), int(plan.operations.end_stroke[operation])):
        for cut in range(int(plan.strokes.first_cut[stroke]), int(plan.strokes.end_cut[stroke])):
            last[int(plan.cuts.feature[cut])] = cut
    return last
