"""Signs of a lesson's own decision: what a shift shows of how it was run, by the true state of things.

A sign is read off what happened, not off the words of an order: a rule, a change by hand and a word to the setter that
come to the same are the same decision.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import MappingProxyType

from linesim.errors import quoted
from linesim.plan.tally import State
from linesim.training.carrying import Carried, Case, EdgeSeen
from linesim.training.orders import TrainingError

__all__ = ["SIGNS", "check_sign", "sign_of"]


def _set_up(carried: Carried, of: str) -> float:
    return float(carried.case.way == of)


def _edges(carried: Carried, of: str) -> list[EdgeSeen]:
    """Edges of a set on the machines of an operation."""
    operation, _, name = of.partition(" / ")
    directory = carried.case.directory
    named = {directory.machine_name(machine) for machine in directory.machines(operation)}
    return [edge for edge in carried.edges if edge.machine in named and edge.set == name]


def _most_worn(carried: Carried, of: str) -> float:
    return max((edge.life_share for edge in _edges(carried, of)), default=0.0)


def _edges_used(carried: Carried, of: str) -> float:
    return float(len(_edges(carried, of)))


def _brushed(carried: Carried, of: str) -> float:
    machines = carried.case.directory.machines(of)
    begun = sum(carried.watched.begun[machine] for machine in machines)
    return sum(carried.watched.brushed[machine] for machine in machines) / begun if begun else 0.0


def _moved(carried: Carried, of: str) -> float:
    operation, _, name = of.partition(" / ")
    directory, watched = carried.case.directory, carried.watched
    cut = directory.cut(directory.machines(operation)[0], name)
    return watched.moved_um[cut] / watched.moves[cut] if watched.moves[cut] else 0.0


def _waited(carried: Carried, of: str) -> float:
    machines = carried.case.directory.machines(of)
    return float(carried.tally.state_min[machines, State.WAITING_FOR_SETTER].sum())


_READ: dict[str, Callable[[Carried, str], float]] = {
    "set up": _set_up,
    "most worn edge": _most_worn,
    "edges used": _edges_used,
    "share brushed": _brushed,
    "mean move of the offset": _moved,
    "minutes kept from the setter": _waited,
}

SIGNS = MappingProxyType(
    {
        "set up": "1 if the line is set up in the way named, else 0; of WAY",
        "most worn edge": "largest true life share at which an edge came off, or was still in at the end; "
        "of OPERATION / SET",
        "edges used": "edges that came off or were still in at the end; of OPERATION / SET",
        "share brushed": "share of parts begun on locating faces that had been cleaned; of OPERATION",
        "mean move of the offset": "by how much an offset was moved each time, this way or that, µm per side; "
        "of OPERATION / CUT",
        "minutes kept from the setter": "machine minutes of waiting for a setter; of OPERATION",
    }
)
"""Signs by which a decision is known, and of what each is read."""


def sign_of(carried: Carried, figure: str, of: str) -> float:
    """Read a sign off a shift.

    Parameters
    ----------
    carried : Carried
        The shift.
    figure : str
        One of `SIGNS`.
    of : str
        Where it is read, as `SIGNS` says.
    """
    return _READ[figure](carried, of)


def check_sign(case: Case, figure: str, of: str, ways: Sequence[str]) -> None:
    """See that a sign can be read where a mark says.

    Parameters
    ----------
    case : Case
        A shift of the lesson.
    figure, of : str
        The sign, one of `SIGNS`, and where it is read.
    ways : sequence of str
        Ways to set the line up.

    Raises
    ------
    TrainingError
        There is no such way, operation, set or cut.
    """
    operation, slash, name = of.partition(" / ")
    match SIGNS[figure].rpartition("; of ")[2]:
        case "WAY":
            if of not in ways:
                raise TrainingError(f"there is no way {quoted(of)}; there are {', '.join(map(quoted, ways))}")
        case "OPERATION / SET":
            for machine in case.directory.machines(operation):
                case.directory.mounts(machine, name if slash else "")
        case "OPERATION / CUT":
            for machine in case.directory.machines(operation):
                case.directory.cut(machine, name)
        case "OPERATION":
            case.directory.machines(of)
        case other:
            raise AssertionError(other)
