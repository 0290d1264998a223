"""A scenario file, text or dictionary becomes a checked works; a works with changes becomes another."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from linesim.errors import Problem, ScenarioError
from linesim.works.checks import check
from linesim.works.merging import merged, placed, read_chain
from linesim.works.model import Calendar, Works
from linesim.works.nodes import Node, Sources, node_from_plain
from linesim.works.reading import read_text
from linesim.works.wording import problems_of
from linesim.works.writing import plain

__all__ = ["changed", "load_works", "works_from_dict", "works_from_text"]


def load_works(path: str | FilePath) -> Works:
    """Read and check a scenario file and those that it extends.

    Parameters
    ----------
    path : str or pathlib.Path
        A YAML file.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With every problem found, each with its file and line.
    """
    return _checked(read_chain(FilePath(path)))


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
        With every problem found.
    """
    tree = read_text(text, name)
    extends = tree.get("extends")
    if extends is not None:
        told = "extends needs a file to stand in a folder; a text that is complete in itself was expected"
        raise ScenarioError([Problem(name, extends.line, "extends", told)])
    return _checked(placed(tree))


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
        With every problem found.
    """
    return _checked(placed(node_from_plain(content, name)))


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
        With every problem found.

    Notes
    -----
    What the works says in shifts, days or weeks is measured by the calendar as it is after the change.
    """
    base = works.sources.root if works.sources.root.value else node_from_plain(plain(works), works.name)
    return _checked(placed(merged(base, node_from_plain(changes, name))))


def _checked(tree: Node) -> Works:
    """Check a tree against the models and across them."""
    content = tree.plain()
    if not isinstance(content, dict):
        raise ScenarioError([Problem(tree.file, tree.line, "", "entries such as name: and lines: were expected")])
    try:
        works = Works.model_validate(content, context=_context(content))
    except ValidationError as error:
        raise ScenarioError(problems_of(error, tree)) from None
    works._sources = Sources(tree)  # noqa: SLF001 - the one place where a works learns where it was written
    problems = check(works)
    if problems:
        raise ScenarioError(problems)
    return works


def _context(content: dict[str, Any]) -> dict[str, Any]:
    """Return the calendar and the currency, by which the rest is read; a wrong one is told with the rest."""
    try:
        calendar = Calendar.model_validate(content.get("calendar", {}))
    except ValidationError:
        calendar = Calendar()
    currency = content.get("currency", "EUR")
    known = isinstance(currency, str) and re.fullmatch(r"[A-Za-z]{1,12}", currency)
    return {"calendar": calendar.minutes_per(), "currency": currency if known else None}
