"""Ways through a works: every operation, every cut and every mount, each with its place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from linesim.works.model import Line, Works
from linesim.works.nodes import Path
from linesim.works.operations import Cut, Operation
from linesim.works.upkeep import overhauled_by

__all__ = [
    "CutPlace", "Mount", "OperationPlace", "callers_of", "cuts_of", "cutters_of", "mounted", "mounts", "operations_of",
    "pools_of", "readings",
]  # fmt: skip


@dataclass(frozen=True)
class OperationPlace:
    """An operation of a works and where it stands.

    Parameters
    ----------
    line_name, name : str
        Names of the line and of the operation.
    line : Line
    operation : Operation
    """

    line_name: str
    name: str
    line: Line
    operation: Operation

    @property
    def path(self) -> Path:
        """Names that lead to the operation."""
        return ("lines", self.line_name, "operations", self.name)


@dataclass(frozen=True)
class CutPlace:
    """A cut of an operation and where it stands.

    Parameters
    ----------
    at : OperationPlace
    stroke, name : str
        Names of the stroke and of the cut.
    cut : Cut
    """

    at: OperationPlace
    stroke: str
    name: str
    cut: Cut

    @property
    def path(self) -> Path:
        """Names that lead to the cut."""
        return (*self.at.path, "strokes", self.stroke, "cuts", self.name)


def operations_of(works: Works) -> Iterator[OperationPlace]:
    """Yield every operation, line by line in the order of the routing."""
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            yield OperationPlace(line_name, name, line, operation)


def cuts_of(works: Works) -> Iterator[CutPlace]:
    """Yield every cut, operation by operation, in the order of its strokes."""
    for at in operations_of(works):
        for stroke_name, stroke in at.operation.strokes.items():
            for name, cut in stroke.cuts.items():
                yield CutPlace(at, stroke_name, name, cut)


def cutters_of(operation: Operation) -> list[str]:
    """Return the names of the cutter sets that each machine of an operation mounts, each once."""
    cuts = (cut.cutter for stroke in operation.strokes.values() for cut in stroke.cuts.values())
    return list(dict.fromkeys([*operation.sets, *cuts]))


def mounts(works: Works) -> dict[str, int]:
    """Return how many sets of each kind are on the machines, sisters in their magazines included.

    Parameters
    ----------
    works : Works

    Returns
    -------
    dict of str to int
        By the name of the set. A machine mounts one set of each kind that it uses, shared by all the cuts that name
        it, and its magazine may hold sisters of it; a set that nothing uses is left out.
    """
    counts: dict[str, int] = {}
    for at in operations_of(works):
        for name in cutters_of(at.operation):
            magazine = at.operation.magazine
            on_each = 1 if magazine is None else magazine.of_kind(name)
            counts[name] = counts.get(name, 0) + at.operation.machines * on_each
    return counts


class Mount(NamedTuple):
    """A kind of cutter set at one operation."""

    line: str
    operation: str
    cutter: str


def mounted(works: Works) -> list[Mount]:
    """Return every kind of cutter set at every operation, in the order of the routing."""
    return [Mount(at.line_name, at.name, name) for at in operations_of(works) for name in cutters_of(at.operation)]


def readings(works: Works) -> dict[Mount, set[str]]:
    """Return what the gauges read of each cutter set's work: size, roughness or both.

    Parameters
    ----------
    works : Works
        Accepted by the models; names may lead nowhere.

    Returns
    -------
    dict of Mount to set of str
        A gauge reads the work of the set that makes the last cut of its feature at or before the gauge; a set that no
        gauge reads is left out.
    """
    answer: dict[Mount, set[str]] = {}
    last: dict[tuple[str, str], Mount] = {}
    for at in operations_of(works):
        for stroke in at.operation.strokes.values():
            for cut in stroke.cuts.values():
                last[at.line_name, cut.feature] = Mount(at.line_name, at.name, cut.cutter)
        for gauge in at.operation.gauges.values():
            maker = last.get((at.line_name, gauge.feature))
            if maker is not None:
                answer.setdefault(maker, set()).update(gauge.reads)
    return answer


def callers_of(operation: Operation) -> tuple[str, ...]:
    """The pools of people who are called to the machines of an operation, each once; not those at benches beside."""
    changeover, first, attended = operation.changeover, operation.first_piece, operation.attended
    stands = first is not None and first.meanwhile == "stands"
    pools = (
        operation.setters,
        operation.fitters,
        *(overhauled_by(operation, number) for number in range(operation.machines)),
        None if changeover is None else changeover.by,
        first.by if first is not None and stands else None,
        None if attended is None else attended.by,
    )
    return tuple(dict.fromkeys(pool for pool in pools if pool is not None))


def pools_of(operation: Operation) -> tuple[str, ...]:
    """The pools of people who are called to an operation, its machines, benches and measuring room; each once."""
    repair = None if operation.test is None else operation.test.repair
    apart = (
        None if operation.first_piece is None else operation.first_piece.by,
        None if operation.measuring_room is None else operation.measuring_room.by,
        None if repair is None else repair.people,
    )
    return tuple(dict.fromkeys([*callers_of(operation), *(pool for pool in apart if pool is not None)]))
