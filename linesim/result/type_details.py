"""What a run tells of each part type, as figures that a study gives with an interval."""

from __future__ import annotations

import numpy as np

from linesim.ledger.part_types import of_types
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.works.model import Works

__all__ = ["PART_TYPE", "TYPE_FIGURES", "type_heads", "type_values"]

PART_TYPE = "part type"
TYPE_FIGURES = {"good_per_hour": "1/h", "first_pass_yield": "", "scrap_share": "", "mean_lead_min": "min"}
"""Figures of a part type, as in the table of a run, with their units."""


def type_heads(works: Works) -> list[tuple[str, str, str, str, str, str, str]]:
    """Heads of the figures, of each figure for all types of the lines that say which they make."""
    kinds = [(line, kind) for line, row in works.lines.items() for kind in row.parts]
    return [
        (PART_TYPE, line, "", kind, "", figure, unit) for figure, unit in TYPE_FIGURES.items() for line, kind in kinds
    ]


def type_values(works: Works, plan: Plan, tally: Tally) -> list[Floats]:
    """The figures of a run, each for all types; nothing where no line says which it makes."""
    is_said = np.array([bool(row.parts) for row in works.lines.values() for _ in tuple(row.parts) or ("",)])
    if not is_said.any():
        return []
    shipped = of_types(plan, tally.shipped, tally.shipped_of_type)
    scrapped = of_types(plan, tally.scrapped_parts, tally.scrapped_of_type.sum(axis=0))
    first_pass = of_types(plan, tally.shipped_first_pass, tally.first_pass_of_type)
    lead_min = of_types(plan, tally.lead_min, tally.lead_of_type)
    figures = (
        per(shipped, tally.counted_min / 60.0), per(first_pass, shipped + scrapped),
        per(scrapped, shipped + scrapped), per(lead_min, shipped),
    )  # fmt: skip
    return [figure[is_said] for figure in figures]
