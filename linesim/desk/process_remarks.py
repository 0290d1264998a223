"""What a production engineer would remark on blades on one bar, edges that rub or meet sand, wheels that glaze."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from linesim.plan.burning import burns_from
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey, cut_figures, cut_settings
from linesim.plan.mishaps import kinds_of_cuts
from linesim.plan.plan import Plan
from linesim.words import keep
from linesim.works.model import Works
from linesim.works.walks import operations_of

__all__ = ["on_blades", "on_burning", "on_rubbing", "on_sand"]


def on_blades(figures: Mapping[CutKey, CutFigures]) -> Iterator[str]:
    """Cuts of one stroke that sit on one bar, and what strokes of their own would do.

    Parameters
    ----------
    figures : dict of CutFigures
        By line, operation, stroke and cut.
    """
    for (line, operation, stroke, name), cut in figures.items():
        of = cut.additions
        if of.leader is None:
            continue
        together, apart = abs(of.one_stroke_share), abs(of.one_stroke_share - of.follow_share)
        yield keep(
            "stock.on_one_bar", line=line, operation=operation, leader=of.leader, cut=name, stroke=stroke,
            together=100.0 * together, apart=100.0 * apart, follow=of.follow_um_n, form=of.leader_form_um,
        )  # fmt: skip


def on_rubbing(works: Works) -> Iterator[str]:
    """Cuts set to less metal than their edge can cut.

    Parameters
    ----------
    works : Works
        The checked scenario.
    """
    settings = cut_settings(works)
    for key, cut in cut_figures(works).items():
        depth_um = 1000.0 * settings[key].cut.depth
        worn_um = cut.least_metal_um + cut.least_metal_rise_um
        if depth_um >= worn_um:
            continue
        yield keep(
            "desk.rubs" if depth_um < cut.least_metal_um else "desk.rubs_worn", line=key[0], operation=key[1],
            cut=key[3], depth=depth_um, sharp=cut.least_metal_um, worn=worn_um,
        )  # fmt: skip


def on_burning(works: Works, rows: list[dict[str, Any]]) -> Iterator[str]:
    """Wheels that are dressed only after they may have burnt the work.

    Parameters
    ----------
    works : Works
        The checked scenario.
    rows : list of dict
        The desk's table of sets.
    """
    for row in rows:
        share, limit = burns_from(works.cutters[row["cutter"]])
        reached = float(row["parts_between"]) / float(row["parts_per_edge"])
        if reached > share:
            where = {"line": row["line"], "operation": row["operation"], "cutter": row["cutter"]}
            yield keep("desk.burns", **where, reached=reached, share=share, limit=limit)


def on_sand(works: Works, plan: Plan, rows: list[dict[str, Any]]) -> Iterator[str]:
    """How many edges of a set meet sand in the casting's skin before they are changed.

    Parameters
    ----------
    works, plan : Works, Plan
        The checked scenario and its plan.
    rows : list of dict
        The desk's table of sets.
    """
    if not plan.cuts.hit_chance.any():
        return
    kinds = kinds_of_cuts(plan)
    numbers = {(at.line_name, at.name): number for number, at in enumerate(operations_of(works))}
    for row in rows:
        number, kind = numbers[row["line"], row["operation"]], plan.names.kinds.index(row["cutter"])
        spared = 1.0 - plan.cuts.hit_chance[(plan.cuts.operation == number) & (kinds == kind)]
        share, sand = 1.0 - float(np.prod(spared ** row["parts_between"])), works.lines[row["line"]].casting.sand
        if share > 0.0 and sand is not None and math.isfinite(row["parts_between"]):
            yield keep(
                "desk.sand", line=row["line"], operation=row["operation"], cutter=row["cutter"], share=100.0 * share,
                parts=row["parts_between"], breaks=100.0 * sand.breaks,
            )  # fmt: skip
