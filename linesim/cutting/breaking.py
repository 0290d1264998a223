"""Breaking by chip load: the tooth that stands out takes more than its share.

Sources: the load of the tooth is geometry; that the strength of an edge falls as a power of its load (chipping as
fatigue), with an exponent of 2 to 4, is an assumption, as no figures for grey iron were found.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def tooth_load(run_out_mm: float, feed_mm: float) -> float:
    """Chip load of the tooth that stands out over that of a tooth of a true cutter: 1 + run-out / feed.

    Parameters
    ----------
    run_out_mm : float, mm
        By how much the tooth stands out, 0 or more.
    feed_mm : float, mm
        Feed per tooth, above 0.

    >>> round(tooth_load(0.05, 0.13), 4)
    1.3846
    """
    return 1.0 + run_out_mm / feed_mm


@law
def break_scale_factor(load: float, exponent: float) -> float:
    """Life share at which edges break over that at the reference load: load to the power -m.

    Parameters
    ----------
    load : float
        Chip load of the tooth that stands out over the reference load, above 0.
    exponent : float
        m, 2 to 4 (assumed); 0 where the load does not matter.

    >>> round(break_scale_factor(1.3846, 3.0), 5)
    0.37673
    """
    return math.pow(load, -exponent)
