"""What a production engineer would remark on blades that share a bar, edges that rub and wheels that glaze."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linesim.plan.burning import burns_from
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey, cut_figures, cut_settings
from linesim.words import keep
from linesim.works.model import Works

__all__ = ["on_blades", "on_burning", "on_rubbing"]


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
        when = "it rubs" if depth_um < cut.least_metal_um else "it rubs once the edge is worn"
        yield (
            f'{key[0]}, {key[1]}: "{key[3]}" is set to {depth_um:.3g} µm, and its edge cuts no less than '
            f"{cut.least_metal_um:.3g} µm when sharp and {worn_um:.3g} µm when worn: {when}, leaves the surface as it "
            "is and wears three times as fast. Leave more for it, or take a keener edge (assumed figures)."
        )


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
            yield (
                f'{row["line"]}, {row["operation"]}: "{row["cutter"]}" is dressed at {reached:.2f} of its life; from '
                f"{share:.2f} on it takes more than {limit:.0f} J/mm³, at which steel burns (iron burns less). "
                "Dress it sooner, or take less at a pass (assumed figures)."
            )
