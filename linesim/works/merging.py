"""A scenario that extends another: entries merge by name, and operations find their place in the routing.

What the upper file says goes over what the lower one says, by these rules:

- groups of entries merge name by name, at every depth; anything else (a figure, a text, a list) replaces;
- ``null`` takes an entry away, so that its usual value holds again;
- where one entry stands for the whole (the distribution of a time, the renewal of a cutter, the rule of a policy,
  an operation's minutes or strokes), naming another one replaces the first;
- new names come last, but an operation may say ``after: Op 30`` or ``after: start``; several that name the same
  operation follow it in the order of the file;
- a file that extends several lays them one over another in the order named, and itself over all of them.

Every value keeps the file and the line it came from.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path as FilePath
from pathlib import PurePosixPath, PureWindowsPath

from linesim.errors import Problem, ScenarioError, nearest, said
from linesim.works.model import Works
from linesim.works.nodes import UNREADABLE, Node, Path, told_together
from linesim.works.reading import read_file
from linesim.works.shape import dotted, shape_at

__all__ = ["LONGEST_CHAIN", "merged", "placed", "read_chain"]

LONGEST_CHAIN = 10
"""Files that are read for one scenario, the first included."""


def read_chain(path: FilePath, problems: list[Problem] | None = None) -> Node:
    """Read a scenario file and all those that it extends.

    Parameters
    ----------
    path : pathlib.Path
        The file that the user gave; those it extends must lie in its folder or below.
    problems : list of Problem, optional
        Takes what is wrong with single entries of the files; raised here unless given.

    Returns
    -------
    Node
        The merged tree.

    Raises
    ------
    ScenarioError
        If one of the files cannot be read, or may not be.
    """
    with told_together(problems) as found:
        return _Chain(path, found).tree()


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
    with told_together(problems) as found:
        return _Merger(found).merge(base, over, ())


def placed(tree: Node, problems: list[Problem] | None = None) -> Node:
    """Put every operation that says ``after`` in its place, and leave the word out.

    Parameters
    ----------
    tree : Node
        A scenario from the top.
    problems : list of Problem, optional
        Takes the places that cannot be found, whose word ``after`` is then `UNREADABLE`; raised here unless given.

    Returns
    -------
    Node

    Raises
    ------
    ScenarioError
        If an operation is placed after one that is not there, or in a circle.
    """
    lines = tree.get("lines")
    if lines is None or not isinstance(lines.value, dict):
        return tree
    with told_together(problems) as found:
        routed = {name: _routed(line, ("lines", name, "operations"), found) for name, line in lines.value.items()}
    return tree.with_value({**tree.value, "lines": lines.with_value(routed)})


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
            text, where = f"there is no {said(name)} to take away", dotted(Works, (*path, name))
            self.problems.append(Problem(node.file, node.line, where, text, _meant(name, entries)))
            near = nearest(name, entries)
            if near:
                entries[near] = entries[near].with_value(UNREADABLE)  # no complaint about what was to go
        elif shape is None or shape.model is None or name not in shape.model.model_fields:
            entries[name] = node


class _Chain:
    """The files from the one that the user gave down to those extended last."""

    def __init__(self, path: FilePath, problems: list[Problem]) -> None:
        self.first = path
        self.problems = problems
        self.folder = _resolved(path.parent, path.name)
        self.above: list[FilePath] = []
        self.count = 0

    def tree(self) -> Node:
        """Return the merged tree of the whole chain."""
        return self._read(self.folder / self.first.name)

    def _read(self, file: FilePath) -> Node:
        """Read one file and what it extends."""
        self.above.append(file)
        self.count += 1
        tree: Node | None = None
        over = read_file(file, file.relative_to(self.folder).as_posix(), self.problems)
        for named in _named(over.value.pop("extends", None)):
            lower = self._read(self._target(file, named))
            tree = lower if tree is None else merged(tree, lower, self.problems)
        self.above.pop()
        return placed(over if tree is None else merged(tree, over, self.problems), self.problems)

    def _target(self, file: FilePath, extends: Node) -> FilePath:
        """Return the file that is extended, if it may be."""
        text = extends.value
        if text is UNREADABLE:
            raise ScenarioError([])  # why has been told
        if not isinstance(text, str) or not text.lower().endswith((".yaml", ".yml")):
            raise _refused(extends, f'{said(text)} was found; a file such as "other.yaml" was expected')
        if PurePosixPath(text).is_absolute() or PureWindowsPath(text).anchor or "\\" in text:
            raise _refused(extends, f'{said(text)} is not relative to this file; one such as "other.yaml" was expected')
        target = _resolved(file.parent / text, text, extends)
        if not target.is_relative_to(self.folder):
            hint = f"Files that are extended lie in the folder of {self.first.name} or below it."
            raise _refused(extends, f"{said(text)} lies outside the folder of {self.first.name}", hint)
        self._unwind(target, extends)
        return target

    def _unwind(self, target: FilePath, extends: Node) -> None:
        """Refuse circles and long chains."""
        if target in self.above:
            raise _refused(
                extends, f"{said(extends.value)} extends this file in its turn; a file that does not was expected"
            )
        if self.count >= LONGEST_CHAIN:
            raise _refused(extends, f"more than {LONGEST_CHAIN} files extend one another; a shorter chain was expected")


def _named(extends: Node | None) -> list[Node]:
    """Return the names of the files to extend: none, one, or a list of them."""
    if extends is None:
        return []
    return extends.value if isinstance(extends.value, list) and extends.value else [extends]


def _resolved(path: FilePath, shown: str, extends: Node | None = None) -> FilePath:
    """Return a path with every link followed."""
    try:
        return path.resolve()
    except (OSError, ValueError, RuntimeError) as error:
        raise _refused(extends or Node(None, shown, None), f"{said(shown)} cannot be found") from error


def _refused(extends: Node, text: str, hint: str = "") -> ScenarioError:
    """Return an error about the entry extends."""
    path = "extends" if extends.line else ""
    return ScenarioError([Problem(extends.file, extends.line, path, text, hint)])


def _meant(name: str, known: Sequence[str] | dict[str, Node]) -> str:
    """Return a hint at the nearest known name."""
    near = nearest(name, known)
    return f"Did you mean {said(near)}?" if near else ""


def _routed(line: Node, path: Path, problems: list[Problem]) -> Node:
    """Return a line with its operations in order."""
    operations = line.get("operations")
    if operations is None or not isinstance(operations.value, dict):
        return line
    wishes = {name: wish for name, node in operations.value.items() if (wish := node.get("after")) is not None}
    lost = {name for name, wish in wishes.items() if wish.value is UNREADABLE}
    names = _ordered(list(operations.value), wishes, path, problems, lost)
    entries = {name: _without_after(operations.value[name], name in lost) for name in names}
    return line.with_value({**line.value, "operations": operations.with_value(entries)})


def _without_after(operation: Node, lost: bool) -> Node:
    """Return an operation without the word after; one whose place is lost keeps the word as unreadable."""
    wish = operation.get("after")
    if wish is None:
        return operation
    entries = {name: node for name, node in operation.value.items() if name != "after"}
    return operation.with_value({**entries, "after": wish.with_value(UNREADABLE)} if lost else entries)


def _ordered(
    names: list[str], wishes: dict[str, Node], path: Path, problems: list[Problem], lost: set[str]
) -> list[str]:
    """Return the names of the operations in the order of the routing; those whose place is not found are noted."""
    pending = {name: wish.value for name, wish in wishes.items() if wish.value is not None and name not in lost}
    for name in list(pending):
        text = _wrong_wish(name, wishes[name], names)
        if text:
            where = dotted(Works, (*path, name, "after"))
            others = [other for other in names if other != name]
            hint = "" if pending[name] == name else _meant(str(pending[name]), others)
            problems.append(Problem(wishes[name].file, wishes[name].line, where, text, hint))
            lost.add(name)
            del pending[name]
    while pending:
        target = next((target for target in pending.values() if target not in pending), None)
        if target is None:
            problems.extend(_circle(pending, wishes, path))
            lost |= pending.keys()
            break
        names = _moved(names, _taken(pending, target), target)
    return names


def _moved(names: list[str], block: list[str], target: str) -> list[str]:
    """Return the names with some of them put behind one operation, or first."""
    rest = [name for name in names if name not in block]
    at = 0 if target == "start" else rest.index(target) + 1
    return rest[:at] + block + rest[at:]


def _taken(pending: dict[str, str], target: str) -> list[str]:
    """Take those that are to follow one operation out of the list."""
    block = [name for name, wanted in pending.items() if wanted == target]
    for name in block:
        del pending[name]
    return block


def _wrong_wish(name: str, wish: Node, names: list[str]) -> str:
    """Return what is wrong with the word after, if anything is."""
    if wish.value == "start" or (wish.value in names and wish.value != name):
        return ""
    if wish.value == name:
        return f"{said(name)} cannot follow itself; the operation before it was expected"
    return f"{said(wish.value)} is not an operation of this line; an operation or start was expected"


def _circle(pending: dict[str, str], wishes: dict[str, Node], path: Path) -> list[Problem]:
    """Return a problem for each operation that waits for another in a circle."""
    return [
        Problem(
            wishes[name].file,
            wishes[name].line,
            dotted(Works, (*path, name, "after")),
            f"{said(name)} follows {said(target)}, which follows it in its turn; one that stands was expected",
        )
        for name, target in pending.items()
    ]
