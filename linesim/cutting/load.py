"""Load of a spindle as a monitor reads it: it grows with wear and with hard castings, and is noisy."""

from __future__ import annotations

from linesim.law import law

__all__ = ["spindle_load"]


@law
def spindle_load(growth: float, wear: float, heat: float, noise: float) -> float:
    """Load of the spindle over that of a sharp edge in an average casting: (1 + c g) h (1 + e).

    Parameters
    ----------
    growth : float
        c, by how much it grows from a sharp edge to its wear limit; 0.2 to 0.5 are usual (from memory).
    wear : float
        g, wear land over its limit.
    heat : float
        h, factor of the casting's heat on force; 1 where the base load is taught for each heat.
    noise : float
        e, of this reading.

    Notes
    -----
    That the load follows the force, and force the wear land, is the house's law; how much, and the noise, are the
    user's to say (assumed).

    >>> round(spindle_load(0.3, 0.5, 1.05, -0.02), 6)
    1.18335
    """
    return (1.0 + growth * wear) * heat * (1.0 + noise)
