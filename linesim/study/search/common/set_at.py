"""The sets whose intervals are looked for: a kind of cutter at an operation, as an exception of a policy names it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from linesim.desk.sets import set_table
from linesim.plan.plan import Plan
from linesim.study.crew.parcels import plan_at_hand
from linesim.study.search.common.round_numbers import next_round, round_parts, round_share
from linesim.study.search.common.way import Way
from linesim.works import Works
from linesim.works.policies import Policy, Rule
from linesim.works.walks import Mount

__all__ = ["SetAt", "Setting", "all_sets_at", "intervals_under", "policy_of"]

LONGEST_LIVES = 4.0
"""No interval beyond so many lives is looked at; whoever gets there may as well run the set out."""


@dataclass(frozen=True)
class SetAt:
    """One kind of cutter set at one operation.

    Attributes
    ----------
    key : str
        As an exception of a policy names it: operation / cutter.
    line, operation, cutter : str
        Names; of several lines that share an operation's name, the first.
    mount : int
        Its slot on the operation's first machine, as the plan counts.
    minutes : float, min
        Cutting minutes that one part takes of it.
    life_min : float, min
        Life of an average edge.
    most_lives : float
        No interval beyond so many lives is looked at.
    ways : tuple of Way
        Rules other than a count that may be tried of it.
    """

    key: str
    line: str
    operation: str
    cutter: str
    mount: int
    minutes: float
    life_min: float
    most_lives: float = LONGEST_LIVES
    ways: tuple[Way, ...] = ()

    @property
    def parts_per_life(self) -> float:
        """Parts that an average edge lasts."""
        return self.life_min / self.minutes

    def rule(self, parts: int, by: str, way: int = 0) -> Rule:
        """The rule for an interval: after so many parts, or at that share of the life (way 0), or one of its ways."""
        if way:
            return self.ways[way - 1].at(parts)
        if by == "life":
            return Rule(life=round_share(parts / self.parts_per_life))
        return Rule(parts=parts)

    def snapped(self, parts: float, by: str) -> int:
        """An interval near to one, such as a shop would choose, within what is looked at."""
        most = max(self.most_lives * self.parts_per_life, 1.0)
        within = min(max(parts, 1.0), most)
        if by == "life":
            share = min(round_share(within / self.parts_per_life), max(round_share(self.most_lives), 0.05))
            return max(1, round(share * self.parts_per_life))
        answer = round_parts(within)
        return answer if answer <= most else next_round(answer, -1)


@dataclass(frozen=True)
class Setting:
    """Intervals of all sets together.

    Attributes
    ----------
    parts : tuple of int
        Parts between changes, set by set.
    group_past : float or None
        Share of the interval past which a set joins a stop; None: each by itself.
    values : tuple of float
        Of the levers that are sought beside the intervals, lever by lever.
    ways : tuple of int
        Set by set 0 where it goes by a count, else the number of its way, from 1; empty where all go by a count.
    """

    parts: tuple[int, ...]
    group_past: float | None = None
    values: tuple[float, ...] = ()
    ways: tuple[int, ...] = ()

    def way(self, at: int) -> int:
        """Number of the way that a set goes by; 0 for a count."""
        return self.ways[at] if self.ways else 0

    def but_way(self, at: int, way: int) -> Setting:
        """The same with one set going another way."""
        ways = [self.way(each) if each != at else way for each in range(len(self.parts))]
        return replace(self, ways=tuple(ways) if any(ways) else ())

    def but(self, at: int, parts: int) -> Setting:
        """The same with one other interval."""
        return replace(self, parts=(*self.parts[:at], parts, *self.parts[at + 1 :]))

    def but_value(self, at: int, value: float) -> Setting:
        """The same with one other value of a lever."""
        return replace(self, values=(*self.values[:at], value, *self.values[at + 1 :]))


def all_sets_at(works: Works, most_lives: float = LONGEST_LIVES) -> tuple[SetAt, ...]:
    """Every set whose interval matters: it dulls or breaks.

    Parameters
    ----------
    works : Works
        The checked scenario.
    most_lives : float
        No interval beyond so many lives is to be looked at.

    Returns
    -------
    tuple of SetAt
        In the order of the routing. Sets of operations of the same name in several lines are one, as policies name
        them so.
    """
    plan = plan_at_hand(works, works.todays_policy)
    table = set_table(works, plan, None)
    numbers = {(line, name): number for number, (line, name) in enumerate(_operations(works))}
    answer: dict[str, SetAt] = {}
    for row in table.to_dict(orient="records"):
        line, operation, cutter = (str(row[name]) for name in ("line", "operation", "cutter"))
        key = f"{operation} / {cutter}"
        minutes, life_min = float(row["minutes_per_part"]), float(row["life_min"])
        if key in answer or not math.isfinite(life_min) or minutes <= 0.0:
            continue
        mount = _first_mount(plan, numbers[line, operation], cutter)
        answer[key] = SetAt(key, line, operation, cutter, mount, minutes, life_min, most_lives)
    return tuple(answer.values())


def _operations(works: Works) -> Iterable[tuple[str, str]]:
    """Line and name of every operation, in the order of the plan."""
    return ((line, name) for line, of in works.lines.items() for name in of.operations)


def _first_mount(plan: Plan, operation: int, cutter: str) -> int:
    """Where a kind sits on the first machine of an operation."""
    machine = int(plan.operations.first_machine[operation])
    mounts = np.arange(plan.machines.first_mount[machine], plan.machines.end_mount[machine])
    kind = plan.names.kinds.index(cutter)
    return int(mounts[plan.mounts.kind[mounts] == kind][0])


def policy_of(
    setting: Setting,
    sets_at: Iterable[SetAt],
    by: str,
    base: Policy,
    about: str = "",
    others: Iterable[Mount] | None = None,
) -> Policy:
    """A policy with the intervals of a setting.

    Parameters
    ----------
    setting : Setting
        The intervals.
    sets_at : iterable of SetAt
        The sets they are for.
    by : {"parts", "life"}
        How intervals are written.
    base : Policy
        Gives the rules of the sets that are not among these, and all levers beside the rules.
    about : str
        Remarks, for people.
    others : iterable of Mount, optional
        Every set of the works; exceptions of the base that none of them needs any more are left out.
    """
    exceptions: dict[str, Rule] = dict(base.exceptions) if others is None else _needed(base, others)
    pairs = enumerate(zip(sets_at, setting.parts, strict=True))
    exceptions |= {set_at.key: set_at.rule(parts, by, setting.way(at)) for at, (set_at, parts) in pairs}
    return base.model_copy(update={"about": about, "exceptions": exceptions, "group_past": setting.group_past})


def _needed(base: Policy, mounts: Iterable[Mount]) -> dict[str, Rule]:
    """Exceptions of a policy for sets that are named."""
    names = {name for mount in mounts for name in (mount.cutter, f"{mount.operation} / {mount.cutter}")}
    return {name: rule for name, rule in base.exceptions.items() if name in names}


def intervals_under(works: Works, policy: str, sets_at: Iterable[SetAt]) -> Mapping[str, float]:
    """Parts between changes as a policy has them, with an average edge; a full life where it sets no interval."""
    table = set_table(works, plan_at_hand(works, policy), policy)
    keys = (table["operation"] + " / " + table["cutter"]).tolist()
    known = dict(zip(reversed(keys), reversed(table["parts_between"].tolist()), strict=True))
    return {set_at.key: float(known[set_at.key]) for set_at in sets_at}
