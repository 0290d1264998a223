"""What a comparison keeps of one run: figures by line and of the whole works, times, ledger, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from linesim.fast.choice import choose_engine
from linesim.ledger import ITEMS, Item, total_pence
from linesim.plan.build import make_plan
from linesim.plan.tables import Plan
from linesim.plan.tally import State
from linesim.result import Result
from linesim.study.own_rules import load_rules
from linesim.study.runs import run_plan
from linesim.works import Works

__all__ = ["WHOLE_WORKS", "Outcome", "Task", "carry_out"]

WHOLE_WORKS = "whole works"
"""Stands for the line in rows that sum up all lines."""

Row = dict[str, Any]


@dataclass(frozen=True)
class Task:
    """One run of a comparison."""

    works: Works
    policy: str
    seed: int
    replication: int
    rule_files: tuple[Path, ...] = ()
    engine: str = "simpy"


@dataclass(frozen=True)
class Outcome:
    """What is kept of it: rows with the policy and the replication in each."""

    figures: list[Row]
    times: list[Row]
    ledger: list[Row]
    findings: list[Row]


def carry_out(task: Task) -> Outcome:
    """Do one run of a comparison, in this process or in a worker.

    Parameters
    ----------
    task : Task
        What to run; rule files are loaded first.

    Returns
    -------
    Outcome
    """
    for file in task.rule_files:
        load_rules(file)
    plan = _plan(_Same(task.works), task.policy)
    choice = choose_engine(plan, task.engine)
    tally = run_plan(plan, task.seed, task.replication, engine=choice.engine)
    result = Result(task.works, plan, tally, task.seed, task.replication, choice.engine, engine_note=choice.why)
    head = {"policy": task.policy, "replication": task.replication}
    return Outcome(
        figures=[head | row for row in _figures(result)],
        times=[head | row for row in _times(result)],
        ledger=[head | row for row in _ledger(result)],
        findings=[head | {"text": found.text, "is_problem": found.is_problem} for found in result.findings],
    )


class _Same:
    """A works known by its identity, so that its plan can be kept from run to run."""

    def __init__(self, works: Works) -> None:
        self.works = works

    def __hash__(self) -> int:
        return hash(id(self.works))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.works is self.works


@lru_cache(maxsize=8)
def _plan(same: _Same, policy: str) -> Plan:
    """The plan of a works under a policy, made once for all replications in this process."""
    return make_plan(same.works, policy)


def _figures(result: Result) -> list[Row]:
    """One row per line and one for all of them."""
    shares = _change_counts(result)
    rows = []
    for number, line in enumerate(result.lines.to_dict(orient="records")):
        row = {str(name): value for name, value in line.items()}
        rows.append(row | _per_100(shares[row["line"]], int(result.tally.shipped[number])))
    return [*rows, _whole(result, rows)]


def _whole(result: Result, rows: Sequence[Row]) -> Row:
    """All lines together: rates add up, shares and means are taken over all parts."""
    tally = result.tally
    shipped, left = int(tally.shipped.sum()), int(tally.shipped.sum() + tally.scrapped_parts.sum())
    ledger = result.ledger
    cost, loss = (total_pence(rows) / 100.0 for rows in (ledger, ledger[ledger["item"] == Item.QUALITY_LOSS]))
    added = (
        "good_per_hour",
        "parts_in_limits_per_hour",
        "contribution_per_hour",
        "castings",
        "shipped",
        "scrapped",
    )
    counts = _change_counts(result)
    changes = (
        sum(planned for planned, _ in counts.values()),
        sum(unplanned for _, unplanned in counts.values()),
    )
    return {
        "line": WHOLE_WORKS,
        **{name: sum(row[name] for row in rows) for name in added},
        "first_pass_yield": _ratio(float(tally.shipped_first_pass.sum()), left),
        "scrap_share": _ratio(float(tally.scrapped_parts.sum()), left),
        "mean_in_line": sum(row["mean_in_line"] for row in rows),
        "mean_lead_min": _ratio(float(tally.lead_min.sum()), shipped),
        "cost_per_good_part": _ratio(cost, shipped),
        "quality_loss_per_good_part": _ratio(loss, shipped),
        **_per_100(changes, shipped),
    }


def _change_counts(result: Result) -> dict[str, tuple[int, int]]:
    """Planned changes (joined ones among them) and unplanned ones, by line."""
    table = result.changes
    sums = table.groupby("line")[["planned", "joined", "unplanned"]].sum()
    counts = dict.fromkeys(result.works.lines, (0, 0))
    for line, row in sums.iterrows():
        counts[str(line)] = (int(row["planned"] + row["joined"]), int(row["unplanned"]))
    return counts


def _per_100(changes: tuple[int, int], shipped: int) -> Row:
    """Changes for each hundred good parts."""
    planned, unplanned = changes
    return {
        "planned_per_100": _ratio(100.0 * planned, shipped),
        "unplanned_per_100": _ratio(100.0 * unplanned, shipped),
    }


def _ratio(top: float, bottom: float) -> float:
    return top / bottom if bottom else float("nan")


def _times(result: Result) -> list[Row]:
    """Share of time that each machine spends in each state."""
    rows = []
    for machine in result.machines.to_dict(orient="records"):
        place = {name: machine[name] for name in ("line", "operation", "machine")}
        rows += [place | {"state": state.words, "share": machine[f"{state.name.lower()}_share"]} for state in State]
    return rows


def _ledger(result: Result) -> list[Row]:
    """Money per good part, by line and item, and for the whole works."""
    shipped = dict(zip(result.works.lines, result.tally.shipped.tolist(), strict=True))
    money = result.ledger.groupby(["line", "item"])["pence"].sum() / 100.0
    rows = []
    for item in ITEMS:
        spent = {line: float(money.get((line, item), 0.0)) for line in shipped}
        rows += [{"line": line, "item": item, "per_good_part": _ratio(spent[line], shipped[line])} for line in shipped]
        whole = _ratio(sum(spent.values()), sum(shipped.values()))
        rows.append({"line": WHOLE_WORKS, "item": item, "per_good_part": whole})
    return rows
