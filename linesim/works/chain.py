"""The files of a scenario: the one that the user gave, and those that it extends, each laid over the one below."""

from __future__ import annotations

from pathlib import Path as FilePath
from pathlib import PurePosixPath, PureWindowsPath

from linesim.errors import Problem, ScenarioError, quoted
from linesim.works.kinds import ENDINGS, read_any
from linesim.works.merging import merged
from linesim.works.nodes import UNREADABLE, Node, collected
from linesim.works.ordering import in_routing_order
from linesim.works.reading import Allowance, file_content

__all__ = ["LONGEST_CHAIN", "read_chain"]

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
        If one of the files cannot be read, or may not be, or they hold more together than one may.
    """
    with collected(problems) as wrong:
        return _Chain(path, wrong).tree()


class _Chain:
    """The files from the one that the user gave down to those extended last."""

    def __init__(self, path: FilePath, problems: list[Problem]) -> None:
        self.first = path
        self.problems = problems
        self.folder = _resolved(path.parent, path.name)
        self.above: list[FilePath] = []
        self.count = 0
        self.allowance = Allowance()

    def tree(self) -> Node:
        """Return the merged tree of the whole chain."""
        return self._read(self.folder / self.first.name)

    def _read(self, file: FilePath) -> Node:
        """Read one file and what it extends."""
        self.above.append(file)
        self.count += 1
        tree: Node | None = None
        shown = file.relative_to(self.folder).as_posix()
        over = read_any(file_content(file, shown, self.allowance), shown, self.problems, self.allowance)
        for named in _named(over.value.pop("extends", None)):
            lower = self._read(self._target(file, named))
            tree = lower if tree is None else merged(tree, lower, self.problems)
        self.above.pop()
        whole = over if tree is None else merged(tree, over, self.problems)
        return in_routing_order(whole, self.problems)

    def _target(self, file: FilePath, extends: Node) -> FilePath:
        """Return the file that is extended, if it may be."""
        text = extends.value
        if text is UNREADABLE:
            raise ScenarioError([])  # why has been told
        if not isinstance(text, str) or not text.lower().endswith(ENDINGS):
            raise _refused(extends, f'{quoted(text)} was found; a file such as "other.yaml" was expected')
        if PurePosixPath(text).is_absolute() or PureWindowsPath(text).anchor or "\\" in text:
            raise _refused(
                extends, f'{quoted(text)} is not relative to this file; one such as "other.yaml" was expected'
            )
        target = _resolved(file.parent / text, text, extends)
        if not target.is_relative_to(self.folder):
            hint = f"Files that are extended lie in the folder of {self.first.name} or below it."
            raise _refused(extends, f"{quoted(text)} lies outside the folder of {self.first.name}", hint)
        self._unwind(target, extends)
        return target

    def _unwind(self, target: FilePath, extends: Node) -> None:
        """Refuse circles and long chains."""
        if target in self.above:
            raise _refused(
                extends, f"{quoted(extends.value)} extends this file in its turn; a file that does not was expected"
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
        raise _refused(extends or Node(None, shown, None), f"{quoted(shown)} cannot be found") from error


def _refused(extends: Node, text: str, hint: str = "") -> ScenarioError:
    """Return an error about the entry extends."""
    path = "extends" if extends.line else ""
    return ScenarioError([Problem(extends.file, extends.line, path, text, hint)])
