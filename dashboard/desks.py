"""The desks that a server has in memory; what has been changed on them is in the store as well."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict

from dashboard.desk import Desk

__all__ = ["Desks"]

_MOST_DESKS = 400


class Desks:
    """All desks of a server; the longest unused are cleared first."""

    def __init__(self) -> None:
        self._desks: OrderedDict[str, Desk] = OrderedDict()
        self._lock = threading.Lock()

    def find(self, desk_id: str) -> Desk | None:
        """A desk by its id."""
        with self._lock:
            desk = self._desks.get(desk_id)
            if desk is not None:
                self._desks.move_to_end(desk_id)
                desk.used_s = time.monotonic()
            return desk

    def add(self, desk: Desk) -> Desk:
        """A new desk; the longest unused one goes when there are too many."""
        with self._lock:
            self._desks[desk.id] = desk
            while len(self._desks) > _MOST_DESKS:
                self._desks.popitem(last=False)
            return desk
