"""Parts since an edge was looked at, where a run begins with edges that have done some."""

from __future__ import annotations

from linesim.law import law

__all__ = ["parts_since_look"]


@law
def parts_since_look(parts: int, interval: float, first_look: float) -> int:
    """Parts since the last look at an edge that is looked at after every so many; all of them where it never was.

    Parameters
    ----------
    parts : int
        That it has done.
    interval : float
        Of its rule, as the rule counts: parts from look to look where edges are looked at.
    first_look : float
        Parts after which they are looked at first; infinite where they are not.

    >>> parts_since_look(30, 20.0, 20.0), parts_since_look(30, 5.0, 28.0), parts_since_look(30, 20.0, float("inf"))
    (10, 2, 30)
    """
    return parts if parts < first_look else (parts - int(first_look)) % int(interval)
