"""Variants of a routing from rows of a table: which figure of which operation or cut becomes what."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import yaml

from linesim.errors import StudyError, quoted
from linesim.routing.variants import MOST_VARIANTS
from linesim.works import Works
from linesim.works.doing import called
from linesim.works.nodes import Path
from linesim.works.operations import Operation

__all__ = ["AS_IT_STANDS", "LEFT_OUT", "TypedChange", "change_places", "copied", "removed", "renamed", "variants_text"]

AS_IT_STANDS = "as it stands"
"""The first variant, which the others replace."""

LEFT_OUT = "left out"
"""The figure of an operation, a stroke or a cut that takes it out of the routing."""

_OF_OPERATION = ("machines", "minutes", "load", "unload", "stiffness", "rate", "after")
_OF_CUT = ("depth", "speed", "feed", "cutter")
_OF_GAUGE = ("every",)
_FIGURE = re.compile(r"[-+]?\d+(?:\.\d+)?")
_COMMA = re.compile(r"^([-+]?\d+),(\d+)")
"""A decimal comma, as many write it."""


class TypedChange(NamedTuple):
    """One row.

    Attributes
    ----------
    variant : str
        To which variant it belongs.
    where : str
        A key of `change_places`.
    becomes : str
        What stands there in the variant, with its unit; nothing where something is left out.
    """

    variant: str
    where: str
    becomes: str


def change_places(works: Works, line: str) -> dict[str, Path]:
    """What a row may change, by the words that a table offers.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line : str
        Its line.

    Returns
    -------
    dict of str to path
        In the order of the routing; no two words are alike.
    """
    result: dict[str, Path] = {}
    for name, operation in works.lines[line].operations.items():
        at: Path = ("lines", line, "operations", name)
        head = called(name, operation)
        shown = [entry for entry in _OF_OPERATION if entry != "minutes" or operation.minutes is not None]
        result |= {f"{head}: {entry}": (*at, entry) for entry in shown}
        result[f"{head}: {LEFT_OUT}"] = at
        for words, path, entries in _parts(operation):
            result |= {f"{head}, {words}: {entry}": (*at, *path, entry) for entry in entries}
            result[f"{head}, {words}: {LEFT_OUT}"] = (*at, *path)
    return result


def _parts(operation: Operation) -> Iterator[tuple[str, Path, tuple[str, ...]]]:
    """Strokes, cuts and gauges of an operation: words that tell them apart, path, and the figures that may change."""
    count = Counter(name for stroke in operation.strokes.values() for name in stroke.cuts)
    for stroke_name, stroke in operation.strokes.items():
        yield f"stroke {stroke_name}", ("strokes", stroke_name), ()
        for name in stroke.cuts:
            words = f"cut {name}" if count[name] == 1 else f"cut {name} of {stroke_name}"
            yield words, ("strokes", stroke_name, "cuts", name), _OF_CUT
    for name in operation.gauges:
        yield f"gauge {name}", ("gauges", name), _OF_GAUGE


def variants_text(works: Works, line: str, policy: str, rows: Sequence[TypedChange]) -> str:
    """Write the rows as a file of variants; the line as it stands is the first of them.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line, policy : str
        Its line, and the policy under which every variant starts.
    rows : sequence of TypedChange
        Rows that are empty altogether are passed over.

    Returns
    -------
    str
        For `variants_from_text`.

    Raises
    ------
    StudyError
        A row is not finished, or speaks of what is not there; by its number.
    """
    places = change_places(works, line)
    changes: dict[str, dict[str, Any]] = {}
    words: dict[str, list[str]] = {}
    features: dict[str, None] = {}
    for number, row in enumerate(rows, start=1):
        if not any(cell.strip() for cell in row):
            continue
        name, path, value = _read(number, row, places)
        _put(changes.setdefault(name, {}), path, value, f"row {number}")
        becomes = "" if value is None else f" {row.becomes.strip()}"
        words.setdefault(name, []).append(f"{row.where}{becomes}")
        features |= dict.fromkeys(_features_at(works, line, path))
    if not changes:
        raise StudyError("no row is filled in yet; a variant, what it changes, and what that becomes were expected")
    if len(changes) >= MOST_VARIANTS:
        raise StudyError(f"{len(changes)} variants were found; at most {MOST_VARIANTS - 1} were expected")
    variants = {name: {"about": "; ".join(words[name]), "changes": tree} for name, tree in changes.items()}
    content = {
        "name": "Variants that were typed in",
        "question": f"Which is best: the routing as it stands, or {_listed(list(changes))}?",
        "line": line, "policy": policy, "features": list(features) or list(works.lines[line].features),
        "variants": {AS_IT_STANDS: {"about": "The routing as it stands", "changes": {}}, **variants},
    }  # fmt: skip
    text: str = yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=110)
    return text


def copied(rows: Sequence[TypedChange], name: str, to: str) -> list[TypedChange]:
    """The rows with a copy of a variant behind them.

    Raises
    ------
    StudyError
        The name of the copy is empty or in use.
    """
    _check_new(rows, to)
    return [*rows, *(row._replace(variant=to.strip()) for row in rows if row.variant == name)]


def renamed(rows: Sequence[TypedChange], name: str, to: str) -> list[TypedChange]:
    """The rows with a variant under another name.

    Raises
    ------
    StudyError
        That name is empty or in use.
    """
    _check_new(rows, to)
    return [row._replace(variant=to.strip()) if row.variant == name else row for row in rows]


def removed(rows: Sequence[TypedChange], name: str) -> list[TypedChange]:
    """The rows without a variant."""
    return [row for row in rows if row.variant != name]


def _check_new(rows: Sequence[TypedChange], to: str) -> None:
    if not to.strip() or to.strip() == AS_IT_STANDS or any(row.variant == to.strip() for row in rows):
        raise StudyError(f"{quoted(to.strip())} was found; a name that no variant has yet was expected")


def _read(number: int, row: TypedChange, places: Mapping[str, Path]) -> tuple[str, Path, Any]:
    """The variant's name, where it changes something, and what that becomes; None for what is left out."""
    name, becomes = row.variant.strip(), _COMMA.sub(r"\1.\2", row.becomes.strip())
    if not name or name == AS_IT_STANDS:
        seen = f"{quoted(name)} was found" if name else "nothing was found"
        raise StudyError(f"row {number}, variant: {seen}; the name of a variant of its own was expected")
    if row.where not in places:
        raise StudyError(f"row {number}, what changes: {quoted(row.where)} is not in this routing; choose it anew")
    path = places[row.where]
    if row.where.endswith(f": {LEFT_OUT}"):
        return name, path, None
    if not becomes:
        raise StudyError(f"row {number}, becomes: nothing was found; the value in this variant was expected")
    if _FIGURE.fullmatch(becomes):
        figure = float(becomes)
        return name, path, int(figure) if figure.is_integer() else figure
    return name, path, becomes


def _put(tree: dict[str, Any], path: Path, value: Any, row: str) -> None:
    """Put a value into a tree of changes; nothing may stand there yet, nor may what it belongs to be left out."""
    *way, last = (str(step) for step in path)
    for step in way:
        tree = tree.setdefault(step, {})
        if tree is None:
            raise StudyError(f"{row}: {quoted(step)} is left out by another row of this variant")
    if last in tree:
        raise StudyError(f"{row}: another row of this variant changes the same already")
    tree[last] = value


def _features_at(works: Works, line: str, path: Path) -> list[str]:
    """Features that the operation of a change cuts."""
    operation = works.lines[line].operations[str(path[3])]
    return [cut.feature for stroke in operation.strokes.values() for cut in stroke.cuts.values()]


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
