"""Whether gauges in the measuring room can read there, and by whom."""

from __future__ import annotations

from linesim.errors import quoted
from linesim.works.nodes import Path
from linesim.works.operations import Gauge, Operation
from linesim.works.report import Report
from linesim.works.walks import operations_of

__all__ = ["check_measuring_rooms", "is_in_room"]


def is_in_room(gauge: Gauge) -> bool:
    """Whether a gauge reads in the measuring room."""
    return gauge.where == "measuring room"


def check_measuring_rooms(report: Report) -> None:
    """Look up the people of measuring rooms, and whether gauges and rooms belong together.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for at in operations_of(report.works):
        room, path = at.operation.measuring_room, (*at.path, "measuring_room")
        away = [name for name, gauge in at.operation.gauges.items() if is_in_room(gauge)]
        if room is None:
            for name in away:
                text = "a gauge in the measuring room needs a measuring_room at its operation (carry, by, meanwhile)"
                report.add((*at.path, "gauges", name, "where"), text, "", [at.path])
            continue
        if room.by is not None:
            report.known((*path, "by"), room.by, report.works.people, "a pool of people", ("people",))
        if not away:
            text = "no gauge of the operation reads there; a gauge with where: measuring room was expected"
            report.add(path, text, "", [(*at.path, "gauges")])
        _check_gauges(report, at.path, at.operation, away)


def _check_gauges(report: Report, at: Path, operation: Operation, away: list[str]) -> None:
    """What a gauge in the room cannot have, and what the operation cannot have beside it."""
    for name in away:
        if operation.gauges[name].drift is not None:
            text = (
                f"{quoted(name)} stands in the measuring room, where gauges are kept on their masters; leave drift out"
            )
            report.add((*at, "gauges", name, "drift"), text, "", [(*at, "gauges", name)])
    first = operation.first_piece
    if away and first is not None and first.meanwhile == "runs on":
        text = "first pieces that go to a bench while the machine runs on and a measuring room exclude each other here"
        report.add(
            (*at, "first_piece", "meanwhile"), f"{text}; meanwhile: stands was expected", "", [(*at, "first_piece")]
        )
