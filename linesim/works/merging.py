"""A scenario laid over another: entries merge by name.

What the upper file says goes over what the lower one says, by these rules:

- groups of entries merge name by name, at every depth; anything else (a figure, a text, a list) replaces;
- ``null`` takes an entry away, so that its usual value holds again;
- where one entry stands for the whole (the distribution of a time, the renewal of a cutter, the rule of a policy,
  an operation's minutes or strokes), naming another one replaces the first;
- new names come last, but an operation may say ``after: Op 30`` or ``after: start`` (see `linesim.works.ordering`);
- a file that extends several lays them one over another in the order named, and itself over all of them.

Every value keeps the file and the line it came from.
"""

from __future__ import annotations

from linesim.errors import Problem, nearest, quoted
from linesim.works.model import Works
from linesim.works.nodes import UNREADABLE, Node, Path, collected, has_room
from linesim.works.shape import dotted, shape_at

__all__ = ["merged"]


def merged(base: Node, over: Node, problems: list[Problem] | None = None) -> Node:
    """Lay one scenario over another, by name.

    Parameters
    ----------
    base, over : Node
        The lower and the upper one, both from the top.
    problems : list of Problem, optional
        Takes what cannot be taken away; raised here unless given.

    Returns
    -------
    Node

    Raises
    ------
    ScenarioError
        If the upper one takes away a name that the lower one does not have.
    """
    with collected(problems) as wrong:
        return _Merger(wrong).merge(base, over, ())


class _Merger:
    """Lays one tree over another and collects what is wrong."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = problems

    def merge(self, base: Node, over: Node, path: Path) -> Node:
        """Return the upper node with what only the lower one has."""
        if not isinstance(base.value, dict) or not isinstance(over.value, dict):
            return over
        entries = self._without_replaced(base, over, path)
        for name, node in over.value.items():
            if node.value is None:
                self._take_away(entries, name, node, path)
            else:
                entries[name] = self.merge(entries[name], node, (*path, name)) if name in entries else node
        return over.with_value(entries)

    def _without_replaced(self, base: Node, over: Node, path: Path) -> dict[str, Node]:
        """Return the lower entries but for those that another one now stands for."""
        shape = shape_at(Works, path)
        one_of = shape.model.alternatives if shape is not None and shape.model is not None else frozenset()
        given = {name for name, node in over.value.items() if node.value is not None} & one_of
        gone = one_of - given if given else frozenset()
        return {name: node for name, node in base.value.items() if name not in gone}

    def _take_away(self, entries: dict[str, Node], name: str, node: Node, path: Path) -> None:
        """Remove an entry; a name that is not there is an error, an entry that is not set is none."""
        shape = shape_at(Works, path)
        if name in entries:
            del entries[name]
        elif shape is not None and shape.named:
            self._refuse(entries, name, node, path)
        elif shape is None or shape.model is None or name not in shape.model.model_fields:
            entries[name] = node

    def _refuse(self, entries: dict[str, Node], name: str, node: Node, path: Path) -> None:
        """Note a name to take away that is not there; of the nearest, which was meant to go, nothing else is told."""
        if not has_room(self.problems):
            return
        near = nearest(name, entries)
        if near:
            entries[near] = entries[near].with_value(UNREADABLE)
        text, where = f"there is no {quoted(name)} to take away", dotted(Works, (*path, name))
        hint = f"Did you mean {quoted(near)}?" if near else ""
        self.problems.append(Problem(node.file, node.line, where, text, hint))
