"""What rubbing costs an edge."""

from __future__ import annotations

from linesim.law import law


@law
def charged_min(cut_min: float, rubbed: int, places: int) -> float:
    """Minutes that a cut costs its edge: three times as many where it rubs and does not cut.

    Parameters
    ----------
    cut_min : float, min
        Minutes of the cut.
    rubbed, places : int
        Places at which it rubbed; places of its feature, 1 or more.

    Returns
    -------
    float, min
        The factor of three is an assumption: that rubbing wears an edge fast is trade knowledge, without a figure.

    >>> charged_min(2.0, 1, 4), charged_min(2.0, 0, 4)
    (3.0, 2.0)
    """
    return cut_min if rubbed == 0 else cut_min * (1.0 + 2.0 * rubbed / places)
