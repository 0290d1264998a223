"""Inputs that a shop knows least: which a works has, how far each may be off, and the works with them changed."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from linesim.errors import StudyError, nearest
from linesim.study.search.sensitivity.swing import Swing
from linesim.study.search.sensitivity.variations import SWINGS
from linesim.words import keep
from linesim.works import Works
from linesim.yaml_text import data_of

__all__ = ["Input", "inputs_of", "parse_range", "ranged", "together", "with_factors"]


@dataclass(frozen=True)
class Input:
    """One thing that may be other than the scenario says.

    Attributes
    ----------
    name : str
        Kind and what it is of: "life of finish blade".
    kind : str
        As in the data file: life, stiffness, loss ...
    targets : tuple of str
        What it is of: cutters, operations ("line / operation"), features ("line / feature"), materials or lines.
    words : str
        As a person says it.
    low, high : float
        Factors on the scenario's figure between which the truth may well lie.
    reason : str
        Where the range comes from.
    found_at : {"floor", "books", "customer"}
        Where the truth is found.
    """

    name: str
    kind: str
    targets: tuple[str, ...]
    words: str
    low: float
    high: float
    reason: str
    found_at: str = "floor"

    def factor(self, share: float) -> float:
        """The factor so far along the range, by ratio: 0 is the low end, 1 the high one.

        >>> Input("x", "life", ("a",), "x", 0.5, 2.0, "").factor(0.5)
        1.0
        """
        return float(self.low * (self.high / self.low) ** share)


@cache
def _entries() -> dict[str, dict[str, Any]]:
    """The data file, read once."""
    answer: dict[str, dict[str, Any]] = data_of("linesim.study.search.sensitivity", "data", "inputs.yaml")["inputs"]
    return answer


def inputs_of(works: Works) -> tuple[Input, ...]:
    """Every input that a works has, with its range; what makes no difference there is left out.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    tuple of Input
        In the order of the data file.
    """
    answer = []
    for kind, entry in _entries().items():
        for target in SWINGS[kind].targets(works):
            text = target.split(" / ")[-1] if entry["of"] in ("feature", "operation") else target
            figures = float(entry["low"]), float(entry["high"]), keep(f"inputs_why.{kind}"), str(entry["found_at"])
            one = Input(f"{kind} of {target}", kind, (target,), keep(f"inputs.{kind}", of=text), *figures)
            answer.append(_as_known(works, one) if kind == "life" else one)
    return tuple(answer)


def _as_known(works: Works, life: Input) -> Input:
    """The life of a cutter within the factor by which the scenario knows it, where it says so."""
    within = works.cutters[life.targets[0]].known_within
    reason = keep("inputs_why.as_stated", factor=within)
    return life if within == 1.0 else replace(life, low=1.0 / within, high=within, reason=reason)


def together(inputs: Iterable[Input]) -> tuple[Input, ...]:
    """Inputs of the same kind as one: the life of all cutters and so on."""
    kinds: dict[str, list[Input]] = {}
    for one in inputs:
        kinds.setdefault(one.kind, []).append(one)
    answer = []
    for kind, members in kinds.items():
        targets = tuple(target for member in members for target in member.targets)
        answer.append(replace(members[0], name=kind, targets=targets, words=keep(f"inputs_all.{kind}")))
    return tuple(answer)


def ranged(inputs: Sequence[Input], ranges: Mapping[str, tuple[float, float]]) -> tuple[Input, ...]:
    """Inputs with ranges of the user's own, by the name of an input or of a kind.

    Parameters
    ----------
    inputs : sequence of Input
        As they are.
    ranges : mapping
        Low and high factor by name; that of an input goes over that of its kind.

    Returns
    -------
    tuple of Input

    Raises
    ------
    StudyError
        A name is not known, or a range cannot be.
    """
    known = {one.name for one in inputs} | {one.kind for one in inputs}
    for name, (low, high) in ranges.items():
        if name not in known:
            near = nearest(name, sorted(known))
            hint = f'; did you mean "{near}"?' if near else ""
            raise StudyError(f'"{name}" is no input of this works{hint}')
        if not 0.0 < low < high < float("inf"):
            raise StudyError(
                f'the range of "{name}" is {low:g} to {high:g}; two factors above 0, the lower one first, were expected'
            )
    own = keep("inputs_why.as_given")

    def of(one: Input) -> Input:
        given = ranges.get(one.name, ranges.get(one.kind))
        return one if given is None else replace(one, low=given[0], high=given[1], reason=own)

    return tuple(of(one) for one in inputs)


def parse_range(text: str) -> tuple[str, tuple[float, float]]:
    """A range as it is typed.

    >>> parse_range("life of finish blade=0.7:1.5")
    ('life of finish blade', (0.7, 1.5))
    """
    answer = re.fullmatch(r"\s*(.+?)\s*=\s*([0-9.eE+-]+)\s*:\s*([0-9.eE+-]+)\s*", text)
    try:
        low, high = (float(answer[2]), float(answer[3])) if answer is not None else (math.nan, math.nan)
    except ValueError:
        low = high = math.nan
    if answer is None or not low < high:
        raise StudyError(f'"{text}" is no range; one such as "life of finish blade=0.7:1.5" was expected')
    return answer[1], (low, high)


def with_factors(works: Works, factors: Iterable[tuple[Input, float]]) -> Works:
    """The works with inputs multiplied by factors.

    Parameters
    ----------
    works : Works
        Stays as it is.
    factors : iterable of (Input, float)
        Which, and by what.

    Returns
    -------
    Works
    """
    for one, factor in factors:
        if factor != 1.0:
            swing: Swing = SWINGS[one.kind]
            for target in one.targets:
                works = swing.apply(works, target, factor)
    return works
