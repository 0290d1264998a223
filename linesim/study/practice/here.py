"""Why a claim does not come out in a works: its own minutes and money, by which a practitioner can check the answer.

All is desk work, from means: the run has the last word, and this says what weighs in it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import reduce
from typing import NamedTuple

from linesim.desk.sets import cycle_minutes, set_table
from linesim.plan.build import make_plan
from linesim.words import keep
from linesim.works import Works
from linesim.works.walks import operations_of

__all__ = ["Here", "Pace", "heats_add", "held_up", "looks_cost", "nothing_here", "one_after_another", "paces"]

Here = Callable[[Works, str, float], str]
"""Of a works, of what the comparison is (`Pair.of`), and of its greater figure: a sentence, or nothing."""

_NEAR = 0.95
"""From this share of the constraint's minutes on, a minute more at an operation is one for the line."""


class Pace(NamedTuple):
    """Minutes of a part at an operation, on each of its machines, and as a share of the line's longest."""

    minutes: float
    share: float


def nothing_here(_works: Works, _of: str, _more: float) -> str:
    """A claim that has nothing to say of one works."""
    return ""


def one_after_another(*sentences: str) -> str:
    """Sentences in a row; what is empty is left out.

    >>> one_after_another("", "So.", "And so.")
    'So. And so.'
    """
    rest = [each for each in sentences if each]
    return reduce(lambda first, then: keep("practice.then", first=first, then=then), rest) if rest else ""


def paces(works: Works) -> Mapping[tuple[str, str], Pace]:
    """Of each operation, by line and name; without changes, breakdowns and waiting."""
    plan = make_plan(works, next(iter(works.policies)))
    minutes = {
        (at.line_name, at.name): sum(cycle_minutes(plan, number, at.operation)) / at.operation.machines
        for number, at in enumerate(operations_of(works))
    }
    longest = {line: max(each for (of, _), each in minutes.items() if of == line) for line in works.lines}
    return {key: Pace(each, each / longest[key[0]] if longest[key[0]] else 0.0) for key, each in minutes.items()}


def held_up(works: Works, what: str, at: tuple[str, str], minutes: float, earned: float) -> str:
    """What so many minutes of each part cost at an operation.

    Parameters
    ----------
    works : Works
        The checked scenario.
    what : str
        That takes them: "Cleaning".
    at : tuple of str
        Line and operation.
    minutes : float
        Of each part, on the machine.
    earned : float
        Contribution per hour of the works, money/h.

    Returns
    -------
    str
        What of output and contribution they take at the constraint; elsewhere, how much time there is to spare.

    >>> held_up(Works.model_construct(lines={}, policies={}), "Cleaning", ("head", "Op 70"), 0.0, 600.0)
    ''
    """
    if not minutes > 0.0:
        return ""
    pace = paces(works)[at]
    takes = keep("practice.takes", what=what, minutes=minutes, all=pace.minutes, operation=at[1])
    if pace.share < _NEAR:
        return keep("practice.spare", takes=takes, share=100.0 * pace.share)
    share = minutes / pace.minutes
    if not earned > 0.0:
        return keep("practice.waits", takes=takes, share=100.0 * share)
    money = {"money": share * earned, "earned": earned, "currency": works.currency}
    return keep("practice.waits_money", takes=takes, share=100.0 * share, **money)


def looks_cost(works: Works, ways: tuple[tuple[float, float], ...], cutters: frozenset[str]) -> str:
    """What looks of a minute cost at the operation where they hold the line up most, each so often in an edge's life.

    Parameters
    ----------
    works : Works
        The checked scenario.
    ways : tuple of pairs of float
        Shares of an edge's expected life: at the first look, and between looks.
    cutters : frozenset of str
        Kinds that are looked at.

    Returns
    -------
    str
        Empty where no edge is looked at.
    """
    plan, pace = make_plan(works, next(iter(works.policies))), paces(works)
    parts: dict[tuple[str, str], list[float]] = {}
    for row in set_table(works, plan, None).to_dict(orient="records"):
        if row["cutter"] in cutters and math.isfinite(row["parts_per_edge"]):
            parts.setdefault((row["line"], row["operation"]), []).append(float(row["parts_per_edge"]))
    if not parts:
        return ""
    line, operation = max(
        parts, key=lambda key: sum(1.0 / life for life in parts[key]) / pace[key].minutes * pace[key].share
    )
    lives = parts[line, operation]
    each = [sum((1.0 + (1.0 - first) * life // max(1, round(spacing * life))) / life for life in lives)
            for first, spacing in ways]  # fmt: skip
    shares = [100.0 * minutes / pace[line, operation].minutes for minutes in (min(each), max(each))]
    earliest, latest = min(first for first, _ in ways), max(first for first, _ in ways)
    named = {"earliest": earliest, "latest": latest, "operation": operation}
    return keep("practice.looks", **named, least=shares[0], most=shares[1])


def heats_add(works: Works, cutters: frozenset[str]) -> str:
    """How much heats of castings scatter the lives of edges, beside what edges of one heat do.

    Parameters
    ----------
    works : Works
        The checked scenario.
    cutters : frozenset of str
        Kinds that are looked at.

    Returns
    -------
    str
        Empty where castings come in no heats.
    """
    kinds = make_plan(works, next(iter(works.policies)))
    heats = [line.casting.heats.life for line in works.lines.values() if line.casting.heats is not None]
    own = [cv for name, cv in zip(kinds.names.kinds, kinds.kinds.life_cv.tolist(), strict=True) if name in cutters]
    if not heats or not own or not max(heats) > 0.0:
        return ""
    mean = sum(own) / len(own)
    both = 100.0 * math.sqrt((1.0 + max(heats) ** 2) * (1.0 + mean**2) - 1.0)
    return keep("practice.heats_add", heats=100.0 * max(heats), own=100.0 * mean, both=both)
