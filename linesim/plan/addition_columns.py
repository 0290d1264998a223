"""The columns of the plan's table of cuts for what bears on a cut beside its edge."""

from __future__ import annotations

from collections.abc import Mapping

from linesim.plan.column_types import NONE
from linesim.plan.cuts import CutFigures

__all__ = ["addition_columns"]


def addition_columns(of_stroke: Mapping[str, CutFigures], cut: str, first_cut: int) -> dict[str, float | int]:
    """Columns of one cut.

    Parameters
    ----------
    of_stroke : dict of CutFigures
        Figures of all cuts of its stroke, in their order.
    cut : str
        Which of them.
    first_cut : int
        Number of the first of them in the plan.
    """
    of, names = of_stroke[cut].additions, list(of_stroke)
    return {
        "glazed_roughness_um": of.glazed_roughness_um,
        "settling_share": of.settling_share,
        "has_additions": int(of.has_any),
        "leader": NONE if of.leader is None else first_cut + names.index(of.leader),
        "leads": int(any(other.additions.leader == cut for other in of_stroke.values())),
        "follow_share": of.follow_share,
        "follow_um_n": of.follow_um_n,
        "own_um": of.own_um + of.heat_um,
        "heat_um": of.heat_um,
        "wheel_um_min": of.wheel_um_min,
        "infeed_um_min": of.infeed_um_min,
        "spark_out_min": of.spark_out_min,
        "spark_out_constant_min": of.spark_out_constant_min,
        "honing_um_min": of.honing_um_min,
    }
