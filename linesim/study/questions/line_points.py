"""Points of a grid that leave the cutters as they are: overhauls, batches, which type is taken next, people."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import reduce
from typing import Any

from linesim.errors import StudyError, quoted
from linesim.plan.build import make_plan
from linesim.plan.mix_levers import sequences_of
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.levers import sequence_words
from linesim.words import keep
from linesim.works import Works
from linesim.works.part_types import SEQUENCE_NAMES
from linesim.works.policies import Policy
from linesim.works.staffing import People
from linesim.works.walks import operations_of

__all__ = ["LINE_KINDS", "line_points"]

_TIMES = (0.5, 0.7, 1.4, 2.0)
"""Overhauls and batches are tried at so many times what they are."""

_GRID_MIN = 10.0

Points = Iterator[tuple[str, Works, Policy]]
"""Name, works and policy of each point; the works is the scenario but for its people."""


def line_points(works: Works, base: str, kinds: Sequence[str]) -> tuple[Alternative, ...]:
    """Alternatives to a policy that differ from it in one thing beside its rules.

    Parameters
    ----------
    works : Works
        The checked scenario.
    base : str
        The policy.
    kinds : sequence of str
        Some of `LINE_KINDS`: "overhauls", the cutting minutes between those of each operation; "batches", the castings
        of one cycle of each line, in their ratio; "sequences", the order in which each operation with changeovers takes
        the waiting parts; "people", one more and one fewer in each pool, or in each of its
        shifts. Those paid by time used cost nothing more while idle.

    Raises
    ------
    StudyError
        The scenario has nothing of a kind.
    """
    points = []
    for kind in kinds:
        answer = list(_KINDS[kind](works, works.policies[base]))
        if not answer:
            raise StudyError(_NOTHING[kind])
        points += answer
    result = []
    for name, of, policy in points:
        taken = keep("points.grid", name=name) if name in works.policies else name
        wider = of.model_copy(update={"policies": {**works.policies, str(taken): policy}})
        result.append(Alternative(taken, wider, str(taken), name))
    return tuple(result)


def _overhauls(works: Works, policy: Policy) -> Points:
    """Each operation that is overhauled, more often and less often."""
    for at in operations_of(works):
        overhaul = None if at.operation.breakdowns is None else at.operation.breakdowns.overhaul
        every = None if overhaul is None else policy.overhauls.get(at.name, overhaul.every)
        if every is None or every == "never":
            continue
        for times in _TIMES:
            other = max(round(times * float(every) / _GRID_MIN) * _GRID_MIN, _GRID_MIN)
            update = {"overhauls": {**policy.overhauls, at.name: other}, "about": ""}
            yield (
                keep("points.overhauled", operation=at.name, hours=other / 60.0),
                works,
                policy.model_copy(update=update),
            )


def _batches(works: Works, policy: Policy) -> Points:
    """Each line whose castings come in batches, in smaller and larger ones."""
    for name, line in works.lines.items():
        sizes = policy.batches.get(name) or {kind: of.batch for kind, of in line.parts.items() if of.batch}
        if len(sizes) <= 1:
            continue
        for times in _TIMES:
            other = {kind: max(round(times * size), 1) for kind, size in sizes.items()}
            changed = policy.model_copy(update={"batches": {**policy.batches, name: other}, "about": ""})
            sizes_said = reduce(_and, (f"{count} {kind}" for kind, count in other.items()))
            yield keep("moves.in_batches", line=name, batches=sizes_said), works, changed


def _sequences(works: Works, policy: Policy) -> Points:
    """Each operation with changeovers, taking the waiting parts in each other order."""
    plan = make_plan(works.model_copy(update={"policies": {"trial": policy}}), "trial")
    for _, operation, now in sequences_of(plan):
        for sequence in SEQUENCE_NAMES:
            if sequence != now:
                words = keep("moves.sequence", operation=operation, sequence=sequence_words(sequence))
                other = {**policy.sequences, operation: sequence}
                yield words, works, policy.model_copy(update={"sequences": other, "about": ""})


def _and(first: str, second: str) -> str:
    return keep("format.and", first=first, last=second)


def _people(works: Works, policy: Policy) -> Points:
    """Each pool, or each of its shifts, with one more and one fewer."""
    for name, people in works.people.items():
        for words, changed in _one_more_or_fewer(name, people):
            pools = {**works.people, name: people.model_copy(update=changed)}
            yield words, works.model_copy(update={"people": pools}), policy.model_copy(update={"about": ""})


def _one_more_or_fewer(name: str, people: People) -> Iterator[tuple[str, dict[str, Any]]]:
    for more, word in ((1, "more"), (-1, "fewer")):
        if not people.by_shift and people.count + more >= 1:
            yield keep(f"points.{word}", pool=name), {"count": people.count + more}
        for shift, count in enumerate(people.by_shift):
            other = [*people.by_shift[:shift], count + more, *people.by_shift[shift + 1 :]]
            if min(other) >= 0 and any(other):
                yield keep(f"points.{word}_in_shift", pool=name, shift=shift + 1), {"by_shift": other}


_KINDS: dict[str, Callable[[Works, Policy], Points]] = {
    "overhauls": _overhauls, "batches": _batches, "sequences": _sequences, "people": _people,
}  # fmt: skip

LINE_KINDS = tuple(_KINDS)
"""Kinds of points that leave the cutters as they are."""

_NOTHING = {
    "overhauls": f"no machine of this works is overhauled, so that there are no {quoted('overhauls')} to try",
    "batches": f"no line of this works takes its types in batches, so that there are no {quoted('batches')} to try",
    "sequences": f"no machine of this works is changed over, so that there are no {quoted('sequences')} to try",
    "people": f"this works names no pool of people, so that there are no {quoted('people')} to try",
}
