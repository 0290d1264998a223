"""What if a set is left in until the end of the shift: the same runs twice, priced, up to a shift after that end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from linesim.errors import StudyError, hint_at, listed, quoted
from linesim.fast import steps
from linesim.ledger import Ledger
from linesim.plan.plan import Plan
from linesim.plan.tables import Ints, Rules
from linesim.result.lines import line_columns
from linesim.rules import RuleWay
from linesim.study.coming.followed import Following
from linesim.study.statistics.intervals import Difference, paired_difference
from linesim.works import Works

__all__ = ["LeftIn", "Pair", "Pairs", "mounts_named"]

_NEVER = 1e9
"""Parts that no edge ever does."""


class Pair(NamedTuple):
    """One run as planned and with the sets left in."""

    money: tuple[float, float]
    shipped: tuple[int, int]
    scrapped: tuple[int, int]
    out: tuple[int, int]
    is_broken: tuple[bool, bool]
    greatest_share: float
    """Life share that the edge left in has come to, at the end of the shift or when it broke."""
    was_due: bool
    """Whether it was due in the shift at all."""


@dataclass(frozen=True, eq=False)
class LeftIn:
    """What leaving a set in until the end of the shift brings, as planned subtracted from left in.

    Attributes
    ----------
    named : str
        The set as it was asked for.
    mounts : tuple of str
        Which it is, machine and cutter.
    money : Difference
        Contribution up to the end of the shift after, when its change is over in both, in the scenario's currency.
    shipped, scrapped, out : Difference
        Parts up to then: shipped, scrapped, shipped out of the drawing.
    broken, broken_planned : float
        Share of the runs in which it breaks within the shift, left in and as planned.
    past_limit : float
        Share of the runs in which its wear land passes the limit within the shift.
    due : float
        Share of the runs in which it comes due within the shift as planned.
    """

    named: str
    mounts: tuple[str, ...]
    money: Difference
    shipped: Difference
    scrapped: Difference
    out: Difference
    broken: float
    broken_planned: float
    past_limit: float
    due: float


def mounts_named(plan: Plan, named: str) -> Ints:
    """The mounted sets that a text names: a cutter, or an operation or machine and a cutter, parted by a stroke.

    Raises
    ------
    StudyError
        There is none.
    """
    names, mounts = plan.names, plan.mounts
    where, _, cutter = (part.strip() for part in named.rpartition("/"))
    by: dict[tuple[str, str], list[int]] = {}
    for mount, (machine, kind) in enumerate(zip(mounts.machine.tolist(), mounts.kind.tolist(), strict=True)):
        operation = names.operations[int(plan.machines.operation[machine])]
        for key in ("", names.machines[machine], operation):
            by.setdefault((key.casefold(), names.kinds[kind].casefold()), []).append(mount)
    chosen = by.get((where.casefold(), cutter.casefold())) or by.get(("", named.strip().casefold()))
    if chosen is None:
        kinds = list(dict.fromkeys(names.kinds[kind] for kind in mounts.kind.tolist()))
        hint = hint_at(cutter, kinds)
        expected = f'a mounted cutter such as {listed(kinds[:6])}, or "operation / cutter" was expected'
        raise StudyError(f"{quoted(named)} is not mounted here; {expected}{'. ' + hint if hint else ''}")
    return np.array(sorted(set(chosen)), dtype=np.int64)


class Pairs:
    """Runs of a plan as it is and with some sets left in until the end of what is foretold.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run, from the state stated.
    mounts : array of int
        The sets that are left in.
    end_min : float
        Until when; a shift more is run after that.
    """

    def __init__(self, works: Works, plan: Plan, mounts: Ints, end_min: float) -> None:
        self._works, self._mounts, self._end_min = works, mounts, end_min
        self._ledger = Ledger(works, plan)
        own = plan.mounts.rule[mounts[0]]
        columns = {name: np.append(column, column[own]) for name, column in plan.rules._asdict().items()}
        rules = Rules(**columns)
        rules.way[-1], rules.interval[-1] = RuleWay.PARTS, _NEVER
        self._plan = replace(plan, rules=rules)
        self._planned = plan.mounts.rule
        self._left_in = self._planned.copy()
        self._left_in[mounts] = len(rules.way) - 1

    def run(self, seed: int, replication: int) -> Pair:
        """One pair, on the same castings, edges and breakdowns."""
        first, second = (self._one(seed, replication, is_left) for is_left in (False, True))
        columns = zip(first[:5], second[:5], strict=True)
        return Pair(*columns, greatest_share=second[5], was_due=first[6])  # type: ignore[arg-type,misc]

    def _one(self, seed: int, replication: int, is_left: bool) -> tuple[float, int, int, int, bool, float, bool]:
        floor = Following(self._plan, seed, replication)
        if is_left:
            floor.put_rules(self._left_in)
        floor.run_until(self._end_min)
        shares = floor.working.arrays["mounts"]["life_share"][self._mounts].copy()
        floor.put_rules(self._planned)
        floor.run_until(self._end_min + self._plan.shift_min)
        run = floor.followed()
        own = np.isin(run.mounts, self._mounts) & (run.minutes < self._end_min)
        first_share = max(float(shares.max()), float(run.shares[own].max(initial=0.0)))
        tally = floor.tally
        cost = self._ledger.sums(tally).sum(axis=1)
        per_hour = line_columns(self._works, self._plan, tally, cost, cost)["contribution_per_hour"]
        money = float(per_hour.sum()) * tally.counted_min / 60.0
        counts = (int(each.sum()) for each in (tally.shipped, tally.scrapped_parts, tally.parts_out))
        shipped, scrapped, out = counts
        is_broken = bool((run.whys[own] == steps.BROKEN).any())
        return money, shipped, scrapped, out, is_broken, first_share, bool(own.any())

    def answer(self, named: str, pairs: Sequence[Pair], level: float) -> LeftIn:
        """What the pairs say."""
        plan = self._plan
        mounts = tuple(
            f"{plan.names.machines[int(plan.mounts.machine[mount])]}: {plan.names.kinds[int(plan.mounts.kind[mount])]}"
            for mount in self._mounts
        )

        def apart(name: str) -> Difference:
            both = [getattr(pair, name) for pair in pairs]
            return paired_difference([float(left) for _, left in both], [float(as_is) for as_is, _ in both], level)

        broken = np.mean([pair.is_broken for pair in pairs], axis=0)
        past = float(np.mean([pair.greatest_share > 1.0 for pair in pairs]))
        due = float(np.mean([pair.was_due for pair in pairs]))
        return LeftIn(
            named, mounts, apart("money"), apart("shipped"), apart("scrapped"), apart("out"), float(broken[1]),
            float(broken[0]), past, due,
        )  # fmt: skip
