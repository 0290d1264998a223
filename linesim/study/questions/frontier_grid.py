"""A grid of policies: kinds of rule, each over intervals that are shares of a set's life."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from linesim.desk.sets import set_table
from linesim.errors import StudyError, nearest
from linesim.plan.build import make_plan
from linesim.study.comparing.alternatives import Alternative, policies_of
from linesim.study.comparing.words import listing, policy_words
from linesim.study.questions.line_points import LINE_KINDS, line_points
from linesim.words import keep
from linesim.works import Works
from linesim.works.policies import Check, Policy, Rule
from linesim.works.setting import CorrectionChange
from linesim.works.walks import cuts_of, operations_of

__all__ = ["KINDS", "MOST_POINTS", "SHARES", "USUAL_KINDS", "grid_of"]

KINDS = ("life", "grouped", "parts", "check", "shift", "run out", "aimed", "half corrected")
"""Kinds of rule: cutting minutes; the same with grouping; parts; looks at the edge; shifts; until broken; cutting
minutes with centred aims; cutting minutes with half of each reading put on the offset."""
USUAL_KINDS = ("life", "grouped", "run out")
"""Kinds of a first grid."""
SHARES = (0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2)
"""Intervals as shares of life."""
MOST_POINTS = 80

_SHIFTS = (1, 2, 4)
_GROUPED_PAST = 0.7
_BETWEEN_LOOKS, _FIRST_LOOK = 0.2, 0.5
"""Of a life: common practice, no source."""


class _Mounted(NamedTuple):
    """One set at one operation: the name of an exception for it, the parts that an edge lasts, whether it cuts."""

    exception: str
    parts: float
    cuts: bool


def grid_of(
    works: Works,
    kinds: Sequence[str] = USUAL_KINDS,
    shares: Sequence[float] | None = None,
    sets: Sequence[str] | None = None,
    base: str | None = None,
    with_own: bool = True,
) -> tuple[Alternative, ...]:
    """Policies that differ in the kind of rule and its interval.

    Parameters
    ----------
    works : Works
        The checked scenario.
    kinds : sequence of str
        Some of `KINDS`, and of `linesim.study.questions.line_points.LINE_KINDS`, which change one thing beside the
        cutters and leave these to the base policy. "grouped" changes what is past 0.7 of its interval in the same stop;
        "check" looks at half a life and each fifth of one from then on, and changes past that share of the wear limit;
        "shift" is every shift, every second and every fourth, whatever the shares.
    shares : sequence of float, optional
        Intervals as shares of each set's life, above 0 and at most 5; `SHARES` unless given.
    sets : sequence of str, optional
        Cutter sets that get the rule, by name or as "operation / set"; the others keep the base policy's. All of them
        unless given.
    base : str, optional
        The policy for the other sets; today's practice unless given.
    with_own : bool
        Whether the scenario's own policies come first.

    Returns
    -------
    tuple of Alternative
        At most `MOST_POINTS`; the changed works have the policies of the grid beside their own.

    Raises
    ------
    StudyError
        A kind, a set or a share cannot be, or there are too many points.
    """
    shares = shares or SHARES
    _check(kinds, shares)
    under = works.chosen_policy(base)
    plan = make_plan(works, under)
    table = set_table(works, plan, None)
    cutting = {cut.cut.cutter for cut in cuts_of(works)}
    makers: dict[str, Callable[..., NamedPolicies]] = {
        **_KINDS,
        "half corrected": partial(_half_corrected, gauges=_correcting(works)),
    }
    mounted = [
        _Mounted(f"{row['operation']} / {row['cutter']}", float(row["parts_per_edge"]), row["cutter"] in cutting)
        for row in table.to_dict(orient="records")
        if sets is None or row["cutter"] in sets or f"{row['operation']} / {row['cutter']}" in sets
    ]
    _check_sets(sets, [*works.cutters, *(each.exception for each in mounted)])
    built = {
        name: policy
        for kind in kinds
        if kind in KINDS
        for name, policy in makers[kind](mounted, shares, None if sets is None else works.policies[under])
    }
    taken = {name: (keep("points.grid", name=name) if name in works.policies else name) for name in built}
    own = policies_of(works) if with_own else ()
    beside = line_points(works, under, [kind for kind in kinds if kind in LINE_KINDS])
    count = len(built) + len(own) + len(beside)
    if count > MOST_POINTS:
        raise StudyError(f"{count} policies are too many for one frontier; at most {MOST_POINTS}")
    policies = {taken[name]: policy for name, policy in built.items()}
    wider = works.model_copy(update={"policies": {**works.policies, **{str(at): of for at, of in policies.items()}}})
    own = tuple(Alternative(each.name, wider, each.policy, each.words) for each in own)
    grid = tuple(Alternative(name, wider, str(name), policy_words(policy)) for name, policy in policies.items())
    return own + grid + beside


NamedPolicies = Iterator[tuple[str, Policy]]


def _of_life(each: _Mounted, share: float) -> Rule:
    """The same share of life for every set."""
    del each
    return Rule(life=share)


def _at_shifts(each: _Mounted, shifts: int) -> Rule:
    """The same shifts for every set."""
    del each
    return Rule(shift=shifts)


def _never(each: _Mounted) -> Rule:
    """No change but of what broke."""
    del each
    return Rule(run_out=True)


def _life(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Cutting minutes."""
    for share in shares:
        yield keep("points.life", share=share), _policy(mounted, base, partial(_of_life, share=share))


def _grouped(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Cutting minutes, several sets in one stop."""
    for name, policy in _life(mounted, shares, base):
        yield keep("points.grouped", name=name), policy.model_copy(update={"group_past": _GROUPED_PAST})


def _parts(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Parts, as many as an edge lasts at the desk."""
    for share in shares:
        yield keep("points.parts", share=share), _policy(mounted, base, partial(_so_many, share=share))


def _so_many(each: _Mounted, share: float) -> Rule:
    """So many parts as make a share of a life; an edge that never dulls runs out."""
    if not math.isfinite(each.parts):
        return Rule(run_out=True)
    return Rule(parts=max(1, round(share * each.parts)))


def _check_edge(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Looks at the edge."""
    for share in shares:
        yield keep("points.looked", share=share), _policy(mounted, base, partial(_looked_at, share=share))


def _looked_at(each: _Mounted, share: float) -> Rule:
    """Looks from half a life on, and a change past a share of the wear limit; nobody looks at a fresh edge."""
    if not math.isfinite(each.parts):
        return Rule(run_out=True)
    every, first = (max(1, round(each.parts * of_life)) for of_life in (_BETWEEN_LOOKS, _FIRST_LOOK))
    return Rule(check=Check(every=every, first=first, past_share=share))


def _shift(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Shifts."""
    del shares
    for shifts in _SHIFTS:
        yield keep("points.shift", count=shifts), _policy(mounted, base, partial(_at_shifts, shifts=shifts))


def _run_out(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Until broken."""
    del shares
    yield keep("points.run_out"), _policy(mounted, base, _never)


def _aimed(mounted: list[_Mounted], shares: Sequence[float], base: Policy | None) -> NamedPolicies:
    """Cutting minutes, fresh edges aimed so that the mean of their drift is 0."""
    aims = {each.exception: "centred" for each in mounted if each.cuts}
    for name, policy in _life(mounted, shares, base):
        yield keep("points.aimed", name=name), policy.model_copy(update={"aims": {**policy.aims, **aims}})


def _half_corrected(
    mounted: list[_Mounted], shares: Sequence[float], base: Policy | None, gauges: Sequence[str] = ()
) -> NamedPolicies:
    """Cutting minutes, and half of each reading put on the offset."""
    changes = {name: CorrectionChange(share=0.5) for name in gauges}
    if not gauges:
        raise StudyError('no gauge of this works corrects a cut, so that there is nothing to be "half corrected"')
    for name, policy in _life(mounted, shares, base):
        yield (
            keep("points.half_corrected", name=name),
            policy.model_copy(update={"corrections": {**policy.corrections, **changes}}),
        )


_KINDS: dict[str, Callable[[list[_Mounted], Sequence[float], Policy | None], NamedPolicies]] = dict(
    zip(KINDS, (_life, _grouped, _parts, _check_edge, _shift, _run_out, _aimed, _half_corrected), strict=True)
)


def _policy(mounted: list[_Mounted], base: Policy | None, rule: Callable[[_Mounted], Rule]) -> Policy:
    """A policy by which these sets follow a rule, and the others the base, or all of them a rule that is the same."""
    rules = {each.exception: rule(each) for each in mounted}
    if base is not None:
        return base.model_copy(update={"exceptions": {**base.exceptions, **rules}, "about": ""})
    kinds = list(rules.values())
    if all(answer == kinds[0] for answer in kinds):
        return Policy(default=kinds[0] if kinds else Rule(run_out=True))
    return Policy(default=Rule(life=1.0), exceptions=rules)


def _correcting(works: Works) -> list[str]:
    """Gauges that correct a cut, as a policy names them."""
    return [
        f"{at.name} / {name}"
        for at in operations_of(works)
        for name, gauge in at.operation.gauges.items()
        if gauge.corrects is not None
    ]


def _check(kinds: Sequence[str], shares: Sequence[float]) -> None:
    """See to it that kinds and shares can be."""
    for kind in kinds:
        if kind not in (*KINDS, *LINE_KINDS):
            raise StudyError(f'there is no kind of rule "{kind}"; there are {listing([*KINDS, *LINE_KINDS])}')
    if not kinds:
        raise StudyError("no kind of rule is named; at least one is needed")
    for share in shares:
        if not 0.0 < share <= 5.0:
            raise StudyError(f"an interval of {share:g} lives cannot be; a share above 0 and at most 5 was expected")


def _check_sets(sets: Sequence[str] | None, known: Sequence[str]) -> None:
    """See to it that every set named is there."""
    for name in sets or ():
        if name not in known:
            near = nearest(name, known)
            raise StudyError(f'there is no cutter set "{name}"' + (f'; did you mean "{near}"?' if near else ""))
