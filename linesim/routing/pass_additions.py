"""On paper: what a leading blade, a wheel's wear and a reamer's own size add to the error of a pass."""

from __future__ import annotations

import numpy as np

from linesim.cutting.conditions import CutConditions
from linesim.cutting.error_terms import ErrorMoments, pushed_um
from linesim.cutting.wheel import not_sparked_out_um
from linesim.plan.additions import Additions
from linesim.plan.cuts import CutFigures
from linesim.plan.tables import Floats

__all__ = ["by_itself_um", "led"]


def by_itself_um(figures: CutFigures, growths: Floats) -> Floats | None:
    """What wheel, reamer and heat add, at the wear at which the parts meet them, µm; a wheel's is its life share."""
    of = figures.additions
    if not of.has_any:
        return None
    tau = of.spark_out_constant_min
    left = [not_sparked_out_um(of.infeed_um_min, of.spark_out_min, tau, share) for share in growths.tolist()]
    added: Floats = of.own_um + of.heat_um + of.wheel_um_min * figures.life_min * growths + np.array(left)
    return added


def led(
    after: ErrorMoments,
    before_leader: ErrorMoments,
    of: Additions,
    leader: CutConditions,
    growths: Floats,
    is_held: bool,
) -> ErrorMoments:
    """Mean and variance with what the leading blade adds, whose wear is independent of the follower's.

    Parameters
    ----------
    after : ErrorMoments
        As if both cut in strokes of their own.
    before_leader : ErrorMoments
        Of what the leader meets.
    of : Additions
        The follower's.
    leader : CutConditions
        What the leader is.
    growths : array of float
        Wear at which the parts meet the leader.
    is_held : bool
        Whether a gauge sets the mean out.
    """
    pushed = [pushed_um(leader, growth, 1.0) for growth in growths.tolist()]
    moved = of.follow_um_n * leader.stiffness_n_um * np.array(pushed)
    apart = of.one_stroke_share - of.follow_share
    more = (of.one_stroke_share**2 - apart**2) * before_leader.variance_um2
    mean = after.mean_um + of.follow_share * before_leader.mean_um + (0.0 if is_held else float(moved.mean()))
    return ErrorMoments(mean, max(0.0, after.variance_um2 + more + float(moved.var())))
