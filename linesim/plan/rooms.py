"""From measuring rooms as the scenario describes them to their rows in the plan."""

from __future__ import annotations

from linesim.plan.columns import Rows
from linesim.plan.room_tables import Meanwhile, Rooms
from linesim.plan.tables import NONE
from linesim.plan.times import TimeTable
from linesim.works.checks_probe import is_in_spindle
from linesim.works.checks_room import is_in_room
from linesim.works.gauge import Gauge
from linesim.works.operations import Operation

__all__ = ["add_room", "room_columns"]

_MEANWHILE = {
    "runs on": Meanwhile.RUNS_ON,
    "quarantine": Meanwhile.QUARANTINE,
    "sweep back": Meanwhile.SWEEP_BACK,
    "stands": Meanwhile.STANDS,
}


def add_room(rows: Rows[Rooms], operation: Operation, position: int, pools: dict[str, int], times: TimeTable) -> None:
    """Enter the row of one operation; without a gauge in the room it has no benches."""
    room = operation.measuring_room
    if room is None or not any(map(is_in_room, operation.gauges.values())):
        rows.add(benches=0, carry_time=NONE, by=NONE, marks=0, meanwhile=int(Meanwhile.RUNS_ON), number=position)
        return
    rows.add(
        benches=room.benches,
        carry_time=times.add(room.carry),
        by=NONE if room.by is None else pools[room.by],
        marks=int(room.part == "marked"),
        meanwhile=int(_MEANWHILE[room.meanwhile]),
        number=position,
    )


def room_columns(gauge: Gauge) -> dict[str, int]:
    """Columns of a gauge on where it reads."""
    return {"in_room": int(is_in_room(gauge)), "in_spindle": int(is_in_spindle(gauge))}
