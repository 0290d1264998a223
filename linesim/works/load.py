"""A scenario file, text or dictionary becomes a checked works; a works with changes becomes another."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path as FilePath
from typing import Any

from linesim.errors import Problem, ScenarioError, few_guesses
from linesim.unit_table import few_units
from linesim.works.chain import read_chain
from linesim.works.checks import check
from linesim.works.kinds import read_any
from linesim.works.mending import mended
from linesim.works.merging import merged
from linesim.works.model import Works
from linesim.works.nodes import MOST_PROBLEMS, Node, collected, node_from_plain
from linesim.works.ordering import in_routing_order
from linesim.works.reading import Allowance, read_text
from linesim.works.writing import plain

__all__ = [
    "MOST_SHOWN", "changed", "load_works", "overlaid", "works_from_bytes", "works_from_dict", "works_from_text",
    "works_from_tree",
]  # fmt: skip

MOST_SHOWN = 100
"""Errors of one scenario that are told; of the others only their number is."""


def load_works(path: str | FilePath) -> Works:
    """Read and check a scenario file and those that it extends.

    Parameters
    ----------
    path : str or pathlib.Path
        A YAML file, or a workbook (.xlsx).

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong, each with its file and its line or cell, in their order.
    """
    return _checked(partial(read_chain, FilePath(path)))


def works_from_text(text: str, name: str = "scenario") -> Works:
    """Read and check a scenario given as a text, such as an upload; it cannot extend a file.

    Parameters
    ----------
    text : str
        YAML.
    name : str
        What to call it in errors.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong.
    """
    return _checked(partial(_complete, text, name))


def works_from_bytes(content: bytes, name: str) -> Works:
    """Read and check a scenario given as the content of a file, such as an upload; it cannot extend a file.

    Parameters
    ----------
    content : bytes
        YAML in UTF-8, or a workbook.
    name : str
        What the file is called; its ending says what it is.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong.
    """
    return _checked(partial(_complete, content, name))


def works_from_dict(content: Mapping[str, Any], name: str = "scenario") -> Works:
    """Check a scenario given as plain Python values.

    Parameters
    ----------
    content : mapping
        What a file would say.
    name : str
        What to call it in errors.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong.
    """
    return _checked(partial(node_from_plain, content, name))


def works_from_tree(read: Callable[[list[Problem]], Node]) -> Works:
    """Check a scenario that stands within another file, such as a lesson.

    Parameters
    ----------
    read : callable
        Given a list for what is wrong on the way, returns the tree of the scenario.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong.
    """
    return _checked(read)


def changed(works: Works, changes: Mapping[str, Any], name: str = "changes") -> Works:
    """Return a works with changes laid over it by name, checked anew.

    Parameters
    ----------
    works : Works
        Stays as it is.
    changes : mapping
        As a file would say it that extends this one: None takes an entry away, ``after`` places an operation.
    name : str
        What to call the changes in errors.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong.

    Notes
    -----
    What the works says in shifts, days or weeks is measured by the calendar as it is after the change.
    """
    return _checked(lambda problems: merged(_tree_of(works), node_from_plain(changes, name, problems), problems))


def overlaid(works: Works, changes: Node) -> Works:
    """Return a works with changes that were read from a file laid over it by name, checked anew.

    Parameters
    ----------
    works : Works
        Stays as it is.
    changes : Node
        A tree that knows its file and lines, as `linesim.works.reading` gives it; otherwise as for `changed`.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong, at the file and line where it stands.
    """
    return _checked(lambda problems: merged(_tree_of(works), changes, problems))


def _tree_of(works: Works) -> Node:
    """Return the tree of a works, with its files and lines where they are known."""
    return works.sources.root if works.sources.root.value else node_from_plain(plain(works), works.name)


def _complete(content: str | bytes, name: str, problems: list[Problem]) -> Node:
    """Read a text or the content of a file that extends nothing."""
    if isinstance(content, str):
        tree = read_text(content, name, problems)
    else:
        allowance = Allowance()
        allowance.take(len(content), name)
        tree = read_any(content, name, problems, allowance)
    extends = tree.get("extends")
    if extends is not None:
        text = "extends needs a file to stand in a folder; a text that is complete in itself was expected"
        raise ScenarioError([Problem(name, extends.line, "extends", text)])
    return tree


def _checked(read: Callable[[list[Problem]], Node]) -> Works:
    """Read a tree, check it against the models and across them, and tell all that is wrong together."""
    try:
        with few_guesses(), few_units(), collected(None) as problems:
            tree = in_routing_order(read(problems), problems)
            return _works_of(tree, problems)
    except ScenarioError as error:
        raise ScenarioError(_in_order(error.problems)) from error.__cause__


def _works_of(tree: Node, problems: list[Problem]) -> Works:
    """Return the works that a tree says; an error if anything is wrong with it."""
    if not isinstance(tree.value, dict):
        raise ScenarioError([Problem(tree.file, tree.line, "", "entries such as name: and lines: were expected")])
    rest = mended(tree)
    problems.extend(rest.problems)
    if rest.works is not None:
        problems.extend(check(rest.works, rest.gone))
    if problems or rest.works is None:
        raise ScenarioError([])  # collected with the problems
    return rest.works


def _in_order(problems: Sequence[Problem]) -> list[Problem]:
    """Return the problems by file and line, each once, and no more than anybody would read."""
    ordered = sorted(dict.fromkeys(problems), key=lambda problem: (problem.file, problem.line or 0))
    more = len(ordered) - MOST_SHOWN
    if more <= 0:
        return ordered
    count = f"{more}" if len(ordered) < MOST_PROBLEMS else f"{more} or more"
    return [*ordered[:MOST_SHOWN], Problem(ordered[0].file, None, "", f"and {count} further errors")]
