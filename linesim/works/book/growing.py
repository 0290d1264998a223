"""A tree that grows value by value, as the cells of a workbook are read."""

from __future__ import annotations

from linesim.errors import Problem, ScenarioError, quoted
from linesim.works.book.spots import Spot, refuse
from linesim.works.nodes import MOST_NODES, Node, Path

__all__ = ["Growing"]


class Growing:
    """The tree of a workbook under way.

    Parameters
    ----------
    file : str
        Name of the workbook.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self.top = Node({}, file, None)
        self._count = 0

    def names(self, *path: str) -> list[str]:
        """Return the names of the entries at a path."""
        *_, node = self.top.along(path)
        is_there = len([*self.top.along(path)]) == len(path) + 1 and isinstance(node.value, dict)
        return [*node.value] if is_there else []

    def group(self, path: Path, spot: Spot) -> Node:
        """Return the group at a path, which begins at this spot if it is not there yet."""
        node = self.top
        for key in path:
            if key not in node.value:
                self._admit()
                node.value[key] = spot.node({})
            node = node.value[key]
            if not isinstance(node.value, dict):
                refuse(
                    spot, f"{quoted(str(key))} is given as a value and as a group of entries; one of them was expected"
                )
                return spot.node({})
        return node

    def put(self, path: Path, node: Node, spot: Spot) -> None:
        """Put a value at a path; a number at its end is an item of a list of fixed length."""
        *around, last = path
        if isinstance(last, int):
            self._put_item(tuple(around), last, node, spot)
            return
        entries = self.group(tuple(around), spot).value
        old = entries.get(last)
        if old is None or old.value == {}:
            self._admit()
            entries[last] = node
        elif not isinstance(old.value, dict) or node.value != {}:
            where = getattr(old.line, "name", "another cell")
            refuse(spot, f"{quoted(str(last))} is given twice, here and in {where}; once was expected")

    def gather(self, path: Path) -> None:
        """Make a list of the group at a path, whose entries go by numbers, in the order of these."""
        *_, around = self.top.along(path[:-1])
        group = around.get(path[-1])
        if group is not None and isinstance(group.value, dict):
            around.value[path[-1]] = group.with_value([group.value[name] for name in sorted(group.value, key=int)])

    def _put_item(self, path: Path, at: int, node: Node, spot: Spot) -> None:
        """Put one item of a list of fixed length, the items before it empty if they are not given."""
        *around, name = path
        items = self.group(tuple(around), spot).value.setdefault(name, spot.node([])).value
        while len(items) <= at:
            self._admit()
            items.append(spot.node(None))
        items[at] = node

    def _admit(self) -> None:
        """Count a value, and refuse numbers of them beyond any scenario's need."""
        self._count += 1
        if self._count > MOST_NODES:
            raise ScenarioError(
                [Problem(self.file, None, "", f"more than {MOST_NODES} values; a scenario was expected")]
            )
