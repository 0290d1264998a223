"""The desk: what can be said of a works before it runs: speeds, forces, lives, loads, the constraint."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linesim.fetching import fetched

if TYPE_CHECKING:
    from linesim.desk.desk import TYPICAL as TYPICAL
    from linesim.desk.desk import Desk as Desk
    from linesim.desk.desk import desk_figures as desk_figures

__all__ = ["TYPICAL", "Desk", "desk_figures"]

_ROOMS = {"desk": ("TYPICAL", "Desk", "desk_figures")}


def __getattr__(name: str) -> Any:
    """Fetch a name when it is first asked for: a comparison needs but the table of the sets."""
    return fetched(__name__, _ROOMS, name)


def __dir__() -> list[str]:
    """Public names, fetched or not."""
    return sorted(__all__)
