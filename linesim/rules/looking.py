"""Parts since an edge was looked at, where a run begins with edges that have done some."""

from __future__ import annotations

from linesim.law import law

__all__ = ["parts_since_look"]


@law
def parts_since_look(parts: int, interval: float) -> int:
    """Parts since the last look at an edge that is looked at after every so many; all of them where it never was.

    Parameters
    ----------
    parts : int
        That it has done.
    interval : float
        Of its rule, as the rule counts; it only matters where that is parts from look to look.

    >>> parts_since_look(30, 20.0), parts_since_look(30, float("inf"))
    (10, 30)
    """
    return parts % int(interval) if 1.0 <= interval < 1e9 else parts
