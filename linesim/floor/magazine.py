"""The magazine of a machine: when the setter is called for what is used up, and how the next cutter takes over."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.chance import Purpose
from linesim.floor.mount import Mount
from linesim.floor.station import Station
from linesim.plan.tables import NONE, Breakage

__all__ = ["Magazine"]


class Magazine:
    """The magazine of one machine.

    Attributes
    ----------
    is_here : bool
        Whether the machine has one; if not, each of its sets is changed by the setter.
    renewed_min : float
        When the setter has last been there, by the calendar.
    """

    def __init__(self, machine: Station) -> None:
        self.machine, self.site = machine, machine.site
        self.row = machine.site.rows.magazines[machine.operation]
        self.is_here = bool(self.row.is_here)
        self.renewed_min = machine.site.by_calendar(0.0)

    def wants_setter(self, due: Sequence[Mount], now_min: float) -> bool:
        """Whether there has to be a stop: a set is due that has no sister left, or the used ones are to be renewed.

        For these alone nobody is waited for who is not there.
        """
        if any(not mount.sharp for mount in due):
            return True
        shift_min = self.site.plan.shift_min
        most = max((len(mount.used) for mount in self.machine.mounts), default=0)
        is_new_shift = self.row.every_shift and now_min // shift_min > self.renewed_min // shift_min
        is_full = 0 < self.row.used_up <= most
        return (is_full or (most > 0 and is_new_shift)) and self._is_setter_there()

    def _is_setter_there(self) -> bool:
        setters = self.machine.spec.setters
        return setters == NONE or bool(self.site.pools[setters].count > 0)

    def relieves(self, broken: Mount) -> bool:
        """Whether a sister takes over from a set that broke; the setter comes where its part is salvaged."""
        return bool(broken.sharp) and broken.kind.broken != Breakage.SALVAGE

    def exchange_min(self, mounts: Sequence[Mount]) -> float:
        """Minutes in which the next cutters take over."""
        minutes = self.site.timing.minutes
        return sum(minutes(self.row.exchange_time, Purpose.EXCHANGE, mount.index, mount.ordinal) for mount in mounts)
