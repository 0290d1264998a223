"""The order of a routing: operations that say ``after`` stand behind the one that they name.

Operations that say nothing stand as in the file. Each is followed by those that name it, in the order of the file, and
each of these by those that name it in its turn. The time taken grows with the number of operations alone.
"""

from __future__ import annotations

from linesim.errors import Problem, hint_at, quoted
from linesim.works.model import Works
from linesim.works.nodes import UNREADABLE, Node, Path, collected, has_room
from linesim.works.shape import dotted

__all__ = ["in_routing_order"]

_START = "start"
_LONGEST_GUESSED_IN = 1000
"""Operations of a line in which the one that was meant is looked for; more are refused in any case."""
_Followers = dict[str | None, list[str]]
"""Who wishes to follow each operation; under None those that wish to stand first."""


def in_routing_order(tree: Node, problems: list[Problem] | None = None) -> Node:
    """Put every operation that says ``after`` where it belongs, and leave the word out.

    Parameters
    ----------
    tree : Node
        A scenario from the top.
    problems : list of Problem, optional
        Takes wishes that cannot be met, whose word ``after`` is then `UNREADABLE`; raised here unless given.

    Returns
    -------
    Node

    Raises
    ------
    ScenarioError
        If an operation is to follow one that is not there, or in a circle.
    """
    lines = tree.get("lines")
    if lines is None or not isinstance(lines.value, dict):
        return tree
    with collected(problems) as wrong:
        routed = {name: _routed(line, ("lines", name, "operations"), wrong) for name, line in lines.value.items()}
    return tree.with_value({**tree.value, "lines": lines.with_value(routed)})


def _routed(line: Node, path: Path, problems: list[Problem]) -> Node:
    """Return a line with its operations in order."""
    operations = line.get("operations")
    if operations is None or not isinstance(operations.value, dict):
        return line
    routing = _Routing(operations.value, path, problems)
    entries = {name: routing.without_wish(name) for name in routing.order()}
    return line.with_value({**line.value, "operations": operations.with_value(entries)})


class _Routing:
    """The operations of one line and what they wish to follow."""

    def __init__(self, operations: dict[str, Node], path: Path, problems: list[Problem]) -> None:
        self.operations = operations
        self.path = path
        self.problems = problems
        self.wishes = {name: wish for name, node in operations.items() if (wish := node.get("after")) is not None}
        self.lost = {name for name, wish in self.wishes.items() if wish.value is UNREADABLE}

    def order(self) -> list[str]:
        """Return the names in the order of the routing; those whose wish cannot be met stand as in the file."""
        followers = self._followers()
        reached: set[str] = set()
        order = _behind(None, followers, reached)
        for name in self.operations:
            if name in self.lost or not self._wishes_something(name):
                order += [name, *_behind(name, followers, reached)]
        circle = [name for name in self.operations if self._follows(name) and name not in reached]
        if not circle:
            return order
        self._refuse_circle(circle)
        return self.order()

    def without_wish(self, name: str) -> Node:
        """Return an operation without the word after; one whose wish is lost keeps the word as unreadable."""
        operation, wish = self.operations[name], self.wishes.get(name)
        if wish is None:
            return operation
        entries = {entry: node for entry, node in operation.value.items() if entry != "after"}
        if name in self.lost:
            entries["after"] = wish.with_value(UNREADABLE)
        return operation.with_value(entries)

    def _wishes_something(self, name: str) -> bool:
        """Whether an operation says after, and not null."""
        return name in self.wishes and self.wishes[name].value is not None

    def _follows(self, name: str) -> bool:
        """Whether an operation has a wish that is not lost."""
        return self._wishes_something(name) and name not in self.lost

    def _followers(self) -> _Followers:
        """Return who wishes to follow each operation; wishes that cannot be met are noted and lost."""
        followers: _Followers = {}
        for name in self.wishes:
            if not self._follows(name):
                continue
            target = self.wishes[name].value
            if target == _START:
                followers.setdefault(None, []).append(name)
            elif isinstance(target, str) and target != name and target in self.operations:
                followers.setdefault(target, []).append(name)
            else:
                self._refuse(name, target)
        return followers

    def _refuse(self, name: str, target: object) -> None:
        """Note a wish for an operation that is not there, or for the operation itself."""
        self.lost.add(name)
        if not has_room(self.problems):
            return
        if target == name:
            self._note(name, f"{quoted(name)} cannot follow itself; the operation before it was expected")
            return
        is_short = len(self.operations) <= _LONGEST_GUESSED_IN
        hint = hint_at(str(target), [other for other in self.operations if other != name]) if is_short else ""
        self._note(name, f"{quoted(target)} is not an operation of this line; an operation or start was expected", hint)

    def _refuse_circle(self, circle: list[str]) -> None:
        """Note each operation that waits for another in a circle."""
        self.lost.update(circle)
        for name in circle:
            if has_room(self.problems):
                text = f"{quoted(name)} follows {quoted(self.wishes[name].value)}, which follows it in its turn"
                self._note(name, f"{text}; one that stands was expected")

    def _note(self, name: str, text: str, hint: str = "") -> None:
        """Write down what is wrong with an operation's wish."""
        wish, where = self.wishes[name], dotted(Works, (*self.path, name, "after"))
        self.problems.append(Problem(wish.file, wish.line, where, text, hint))


def _behind(root: str | None, followers: _Followers, reached: set[str]) -> list[str]:
    """Return all that follow an operation, or stand first, each behind the one that it names."""
    order: list[str] = []
    waiting = followers.get(root, [])[::-1]
    while waiting:
        name = waiting.pop()
        order.append(name)
        reached.add(name)
        waiting += followers.get(name, [])[::-1]
    return order
