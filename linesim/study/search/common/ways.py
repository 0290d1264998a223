"""Rules other than a count of parts that a search may give a set: those that the scenario's policies know, and shifts.

Only a rule that some policy of the scenario has for the set is tried, as nobody else knows how long a look takes there,
how well it reads, or where a gauge is to act; a change at the start of a shift needs no figure of anybody's. What each
rule counts or reads past is moved in proportion to the interval that it comes to with an average edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import pandas as pd

from linesim.desk.sets import set_table
from linesim.rules import kind_and_value
from linesim.study.crew.parcels import plan_at_hand
from linesim.study.search.common.set_at import SetAt
from linesim.study.search.common.way import Way
from linesim.works import Works
from linesim.works.policies import Policy, Rule

__all__ = ["way_under", "with_ways"]

_COUNTING = ("parts", "minutes", "life")
_PAST_LIMIT = ("gauge", "load", "run_out")
"""Rules under which no interval keeps an edge within its wear limit."""

_EVERY_SHIFT = "at the start of every shift"


def with_ways(works: Works, sets_at: Iterable[SetAt]) -> tuple[SetAt, ...]:
    """The sets, each with the other rules that may be tried of it.

    Parameters
    ----------
    works : Works
        The checked scenario.
    sets_at : iterable of SetAt
        Sets whose lives an interval may last say by `SetAt.most_lives` whether rules that keep no wear limit are tried:
        more than 1 life.

    Returns
    -------
    tuple of SetAt
        At most one rule of each kind: as today's policy has it, else the first of the others that has one.
    """
    names = dict.fromkeys([works.todays_policy, *works.policies])
    policies = {name: works.policies[name] for name in names}
    policies |= {_EVERY_SHIFT: Policy(default=Rule(shift=1))} if _EVERY_SHIFT not in policies else {}
    asked = works.model_copy(update={"policies": policies})
    tables = {name: _between(asked, name) for name in policies}
    return tuple(replace(set_at, ways=tuple(_ways(policies, tables, set_at))) for set_at in sets_at)


def _between(works: Works, name: str) -> Mapping[str, tuple[float, float]]:
    """By set the parts between changes with an average edge under a policy, and minutes of looks for each part."""
    table: pd.DataFrame = set_table(works, plan_at_hand(works, name), name)
    keys = (table["operation"] + " / " + table["cutter"]).tolist()
    figures = zip(table["parts_between"].tolist(), table["look_min_per_part"].tolist(), strict=True)
    return dict(zip(reversed(keys), reversed(list(figures)), strict=True))


def _ways(
    policies: Mapping[str, Policy], tables: Mapping[str, Mapping[str, tuple[float, float]]], set_at: SetAt
) -> Iterator[Way]:
    known: set[str] = set()
    for name, policy in policies.items():
        rule = policy.rule_for(set_at.operation, set_at.cutter)
        kind = kind_and_value(rule)[0].entry
        parts, look_min = tables[name][set_at.key]
        is_kept = kind not in _PAST_LIMIT or set_at.most_lives > 1.0
        if kind in (*_COUNTING, "own", *known) or not is_kept or not _is_within(rule, parts, set_at):
            continue
        known.add(kind)
        yield Way(kind, rule, set_at.snapped(min(parts, set_at.parts_per_life), "parts"), look_min)


def _is_within(rule: Rule, parts: float, set_at: SetAt) -> bool:
    """Whether an average edge is changed within the lives that are looked at, as far as the rule can tell."""
    if rule.check is not None and rule.check.past_share is not None:
        return rule.check.past_share <= set_at.most_lives
    return math.isinf(parts) or parts <= max(set_at.most_lives * set_at.parts_per_life, 1.0)


def way_under(policy: Policy, set_at: SetAt) -> int:
    """Number of the way that a set goes by under a policy, from 1; 0 for a count, or a rule that is not tried."""
    kind = kind_and_value(policy.rule_for(set_at.operation, set_at.cutter))[0].entry
    return next((at for at, way in enumerate(set_at.ways, 1) if way.kind == kind), 0)
