"""One cutter set of a card: when it is changed, what is done in the change, how many are needed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.cards.records import CardSet, finite_or_none
from linesim.cards.rule_said import rule_said
from linesim.desk.dressing import dressing_stroke
from linesim.plan.mounted import PlannedSet
from linesim.plan.stations import kinds_of
from linesim.rules import kind_and_value
from linesim.words import keep
from linesim.works.crib import Cutter
from linesim.works.model import Works
from linesim.works.operations import Operation
from linesim.works.policies import Policy, Rule

__all__ = ["MountedSet", "card_set"]


@dataclass(frozen=True)
class MountedSet(PlannedSet):
    """One set at one operation, with what the scenario says of both."""

    works: Works
    operation: Operation
    operation_name: str

    @property
    def kind(self) -> str:
        """Its name."""
        return kinds_of(self.operation)[self.slot]

    @property
    def cutter(self) -> Cutter:
        """What the scenario says of it."""
        return self.works.cutters[self.kind]


def card_set(of: MountedSet, policies: tuple[Policy, Policy | None], pace: float, change_min: float) -> CardSet:
    """What a card says of a set.

    Parameters
    ----------
    of : MountedSet
        Its plan is that of the policy.
    policies : tuple of Policy
        The one that holds, and the one that it replaces, if there is one.
    pace : float
        Parts of the line in a shift for each machine of the operation.
    change_min : float
        Mean minutes of one change.

    Returns
    -------
    CardSet
    """
    policy, before = policies
    rule = policy.rule_for(of.operation_name, of.kind)
    kind, _ = kind_and_value(rule)
    row = int(of.plan.mounts.rule[of.mount])
    changes = pace * of.share_of_parts / of.interval.parts
    magazine = of.operation.magazine
    return CardSet(
        of.kind,
        of.cutter.about,
        tuple(of.plan.names.cuts[cut] for cut in of.cuts),
        rule_said(rule),
        _before(of, rule, before),
        finite_or_none(of.interval.parts) if kind.counts else None,
        kind.entry != "parts" and _minutes_differ(of),
        int(of.plan.rules.interval[row]) if kind.looks else None,
        int(of.plan.rules.first_look[row]) if kind.looks else None,
        float(of.plan.rules.limit_mm[row]) if kind.looks else math.nan,
        float(of.plan.kinds.wear_limit_mm[of.plan.mounts.kind[of.mount]]),
        _renewal(of.cutter),
        math.nan if of.cutter.renewal.dressed is None else of.cutter.renewal.dressed.takes,
        dressing_stroke(of.cutter),
        change_min,
        _aims(of),
        int(of.plan.mounts.rezero_parts[of.mount]),
        changes,
        _at_hand(of.cutter, changes * of.operation.machines),
        0 if magazine is None else magazine.of_kind(of.kind),
    )


def _before(of: MountedSet, rule: Rule, before: Policy | None) -> str:
    """When it was changed until now; empty if that is the same."""
    if before is None:
        return ""
    was = before.rule_for(of.operation_name, of.kind)
    return "" if was == rule else rule_said(was)


def _minutes_differ(of: MountedSet) -> bool:
    """Whether one part takes the set longer than another, so that minutes give no sure count."""
    is_cut_again = any(gauge.tries for gauge in of.operation.gauges.values())
    return is_cut_again or of.operation.minutes is not None or of.share_of_parts < 1.0 or _types(of) > 1


def _types(of: MountedSet) -> int:
    line = int(of.plan.operations.line[of.number])
    return len(list(of.works.lines.values())[line].parts)


def _renewal(cutter: Cutter) -> str:
    """What is done in a change."""
    renewal = cutter.renewal
    if renewal.reground is not None:
        return keep("cards.reground")
    if renewal.indexed is not None:
        return keep("cards.indexed", count=renewal.indexed.edges)
    if renewal.dressed is not None:
        how = "cards.dressed_by_machine" if renewal.dressed.by_machine else "cards.dressed"
        return keep(how, times=renewal.dressed.times)
    return keep("cards.new")


def _aims(of: MountedSet) -> tuple[tuple[str, float], ...]:
    """By cut, by how much deeper a fresh edge is set, µm per side."""
    aims = [(of.plan.names.cuts[cut], float(of.plan.cuts.aim_um[cut])) for cut in of.cuts]
    return tuple((cut, aim) for cut, aim in aims if aim != 0.0)


def _at_hand(cutter: Cutter, changes: float) -> int:
    """Sharp sets for a shift: what the changes take, and one for an edge that breaks."""
    renewal = cutter.renewal
    if renewal.indexed is not None:
        taken = changes / renewal.indexed.edges
    elif renewal.dressed is not None:
        taken = changes / max(renewal.dressed.times, 1)
    else:
        taken = changes
    return math.ceil(taken - 1e-9) + 1
