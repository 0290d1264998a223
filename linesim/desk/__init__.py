"""The desk: what can be said of a works before it runs: speeds, forces, lives, loads, the constraint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.fetching import offering

if TYPE_CHECKING:
    from linesim.desk.desk import TYPICAL as TYPICAL
    from linesim.desk.desk import Desk as Desk
    from linesim.desk.desk import desk_figures as desk_figures

__all__ = ["TYPICAL", "Desk", "desk_figures"]

_ROOMS = {"desk": ("TYPICAL", "Desk", "desk_figures")}
"""A comparison needs but the table of the sets."""

__getattr__, __dir__ = offering(__name__, _ROOMS)
