"""Scenario files for the cases of theory: each is written as YAML and read as a user's file is read."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import yaml

__all__ = ["Case", "case", "erlang", "exponential", "line_of", "scenario", "scenario_of_lines"]

_CASES = Path(__file__).parent.parent / "data" / "line_cases.json"
_FIRST_SEED = 20261125


class Case(NamedTuple):
    """One reference case with its own seed, fixed before any run was looked at."""

    id: str
    seed: int
    parameters: dict[str, Any]
    expected: dict[str, Any]


@cache
def _cases() -> dict[str, Case]:
    rows = json.loads(_CASES.read_text(encoding="utf-8"))["cases"]
    return {row["id"]: Case(row["id"], _FIRST_SEED + row["number"], row["parameters"], row["expected"]) for row in rows}


def case(name: str) -> Case:
    """The reference case of a name."""
    return _cases()[name]


def exponential(mean_min: float) -> dict[str, Any]:
    """An exponential time."""
    return {"exponential": {"mean": mean_min}}


def erlang(mean_min: float, phases: int) -> dict[str, Any]:
    """Erlang's time; exponential with one phase."""
    return {"erlang": {"mean": mean_min, "phases": phases}}


def scenario(operations: dict[str, dict[str, Any]], *, line: dict[str, Any] | None = None, **rest: Any) -> str:
    """Text of a scenario file with one line and one policy.

    Parameters
    ----------
    operations : dict
        Operations by name, in routing order.
    line : dict, optional
        More entries of the line.
    **rest
        As for `scenario_of_lines`.
    """
    return scenario_of_lines({"line": {**(line or {}), "operations": operations}}, **rest)


def scenario_of_lines(
    lines: dict[str, dict[str, Any]],
    *,
    length: float,
    warm_up: float = 0.0,
    rule: Any = "run out",
    exceptions: dict[str, Any] | None = None,
    **works: Any,
) -> str:
    """Text of a scenario file with one policy.

    Parameters
    ----------
    lines : dict
        Lines by name.
    length, warm_up : float, minutes
        Counted time, and time before.
    rule, exceptions
        When cutter sets are changed.
    **works
        More entries of the works (people, crib, cutters).
    """
    content = {
        "linesim": 1,
        "name": "a case of theory",
        "run": {"length": length, "warm_up": warm_up},
        "lines": lines,
        "policies": {"as stated": {"default": rule, "exceptions": exceptions or {}}},
        **works,
    }
    return str(yaml.safe_dump(content, sort_keys=False))


def line_of(minutes: Sequence[Any], buffers: Sequence[int | str]) -> dict[str, dict[str, Any]]:
    """Operations with their minutes and with buffers between them; the first draws castings without limit."""
    before = [0, *buffers]
    return {f"Op {10 * (at + 1)}": {"minutes": minutes[at], "buffer": before[at]} for at in range(len(minutes))}
