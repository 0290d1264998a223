"""What an operation is called where a person reads of it: by its name and what it does."""

from __future__ import annotations

import re
from collections.abc import Iterator

from linesim.words import keep
from linesim.works.model import Works
from linesim.works.operations import Operation
from linesim.works.walks import operations_of

__all__ = ["called", "called_anywhere", "called_at", "machine_called", "set_called", "what_it_does"]

_BARE = re.compile(r"(op(eration)?\.?)?[\s\d./_-]+[a-z]?", re.IGNORECASE)
"""A name that says nothing but a number."""

_END_OF_CLAUSE = re.compile(r"[,;:.(\n]")
_LONGEST = 40
_MOST_FEATURES = 2


def what_it_does(name: str, operation: Operation) -> str:
    """Say in a few words what an operation does, as an order: "bore cylinders".

    Parameters
    ----------
    name : str
        Its name in the routing.
    operation : Operation

    Returns
    -------
    str
        As the scenario says (`does`); else nothing where the name itself says more than a number; else from its cuts;
        else the first clause of its remarks if that is short; else nothing.
    """
    if operation.does:
        return operation.does
    if not _BARE.fullmatch(name.strip()):
        return ""
    if operation.strokes:
        return _of_cuts(operation)
    clause = _END_OF_CLAUSE.split(operation.about.strip(), maxsplit=1)[0].strip()
    # Capitals within a first word ("CNC") are meant.
    words = clause if clause[1:2].isupper() else f"{clause[:1].lower()}{clause[1:]}"
    return words if len(words) <= _LONGEST else ""


def called(name: str, operation: Operation) -> str:
    """Return the name of an operation with what it does: "Op 60 (bore cylinders)".

    Parameters
    ----------
    name : str
        Its name in the routing, which stays whole.
    operation : Operation

    Returns
    -------
    str
        The name alone where nothing more is known, or where it holds what is done already.
    """
    return _beside(name, what_it_does(name, operation))


def called_at(works: Works, line: str, name: str) -> str:
    """Return what an operation of a line is called; a name that is no operation's ("everywhere") as it stands.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line, name : str
        Of the line and of the operation, as tables of results have them.
    """
    operations = works.lines[line].operations if line in works.lines else {}
    return called(name, operations[name]) if name in operations else name


def machine_called(works: Works, line: str, operation: str, machine: str) -> str:
    """Return what a machine of an operation is called: its name with what is done there.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line, operation, machine : str
        Names, as tables of results have them.
    """
    operations = works.lines[line].operations if line in works.lines else {}
    return _beside(machine, what_it_does(operation, operations[operation])) if operation in operations else machine


def set_called(works: Works, key: str) -> str:
    """Return what a set or a gauge is called that a policy names by its operation: "finish blade at Op 60 (bore ...)".

    Parameters
    ----------
    works : Works
        The checked scenario.
    key : str
        Such as "Op 60 / finish blade"; one without an operation comes back as it is.
    """
    operation, slash, name = key.partition(" / ")
    return keep("doing.at", name=name, operation=called_anywhere(works, operation)) if slash else key


def called_anywhere(works: Works, name: str) -> str:
    """Return what an operation is called where only its name is known; lines of a works may share a name.

    Parameters
    ----------
    works : Works
        The checked scenario.
    name : str
        Of the operation, as a policy names it.

    Returns
    -------
    str
        With what it does if all operations of the name do the same.
    """
    names = {called(name, at.operation) for at in operations_of(works) if at.name == name}
    return names.pop() if len(names) == 1 else name


def _beside(name: str, does: str) -> str:
    return keep("doing.beside", name=name, does=does) if does and does.casefold() not in name.casefold() else name


def _of_cuts(operation: Operation) -> str:
    """Return its processes, each with the features that it cuts."""
    parts: dict[str, list[str]] = {}
    for process, feature in _processes(operation):
        parts.setdefault(process, []).append(feature)
    orders = [keep(f"doing.{process}", features=_listed(features)) for process, features in parts.items()]
    return orders[0] if len(orders) == 1 else keep("doing.orders", orders=orders)


def _processes(operation: Operation) -> Iterator[tuple[str, str]]:
    cuts = [cut for stroke in operation.strokes.values() for cut in stroke.cuts.values()]
    yield from dict.fromkeys((cut.process, cut.feature) for cut in cuts)


def _listed(features: list[str]) -> str:
    if len(features) <= _MOST_FEATURES:
        return features[0] if len(features) == 1 else keep("doing.two", first=features[0], second=features[1])
    return keep("doing.more", first=features[0], more=len(features) - 1)
