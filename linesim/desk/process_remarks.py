"""What a production engineer would remark on blades on one bar, edges that rub or meet sand, wheels that glaze."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from linesim.plan.burning import burns_from
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey, cut_figures, cut_settings
from linesim.plan.mishaps import sand_columns
from linesim.words import keep
from linesim.works.model import Works

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


def on_sand(works: Works, rows: list[dict[str, Any]]) -> Iterator[str]:
    """How many edges of a set meet sand in the casting's skin before they are changed.

    Parameters
    ----------
    works : Works
        The checked scenario.
    rows : list of dict
        The desk's table of sets.
    """
    if all(line.casting.sand is None for line in works.lines.values()):
        return
    figures = cut_figures(works)
    for row in rows:
        cutter, line = works.cutters[row["cutter"]], works.lines[row["line"]]
        operation = line.operations[row["operation"]]
        chances = [
            sand_columns(line, cutter, cut, figures[row["line"], row["operation"], stroke_name, name])["hit_chance"]
            for stroke_name, stroke in operation.strokes.items()
            for name, cut in stroke.cuts.items()
            if cut.cutter == row["cutter"]
        ]
        whole = 1.0 - math.prod((1.0 - chance) ** float(row["parts_between"]) for chance in chances)
        if whole > 0.0 and line.casting.sand is not None and math.isfinite(row["parts_between"]):
            yield keep(
                "desk.sand", line=row["line"], operation=row["operation"], cutter=row["cutter"], share=100.0 * whole,
                parts=row["parts_between"], breaks=100.0 * line.casting.sand.breaks,
            )  # fmt: skip
