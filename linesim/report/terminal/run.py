"""One run for the terminal: what came out, where the time of machines went, what it cost, what went wrong."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pandas as pd
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.ledger import ITEMS
from linesim.plan.tally import State
from linesim.report.terminal.run_troubles import trouble_tables
from linesim.report.terminal.run_types import type_tables
from linesim.report.theme.grid import Column, chunks, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.result import Result

__all__ = ["run_text"]

_STATE_HEADS = {
    State.CUTTING: "cutting",
    State.LOADING: "loading",
    State.GAUGING: "gauging",
    State.CHECKING: "checks edge",
    State.CHANGING: "changes",
    State.WAITING_FOR_SET: "waits cutter",
    State.WAITING_FOR_SETTER: "waits setter",
    State.CHANGING_OVER: "changes over",
    State.WAITING_FOR_OPERATOR: "waits operator",
    State.SETTING_RIGHT: "set right",
    State.FIRST_PIECE: "first piece",
    State.FILLING: "fills batch",
    State.WAITING_FOR_RESULT: "waits result",
    State.WAITING_FOR_FELLOW: "waits fellow",
    State.UNDER_REPAIR: "repair",
    State.OVERHAUL: "overhaul",
    State.WAITING_FOR_FITTER: "waits fitter",
    State.WAITING_FOR_PART: "waits part (starved)",
    State.HELD_UP: "held up (blocked)",
}
_LEAST_SHOWN = 0.0005
_LINES_ABREAST = 4


def run_text(result: Result) -> Group:
    """One run laid out for a terminal of 100 columns.

    Parameters
    ----------
    result : Result
        What to show.

    Returns
    -------
    rich.console.Group
    """
    # What was shipped out of the drawing, and what does not work, comes before any table but that of the lines.
    parts: list[RenderableType] = [_head(result), _lines(result), _findings(result), _states(result), *_ledger(result)]
    if len(result.changes):
        parts.append(_changes(result))
    parts += type_tables(result)
    parts += trouble_tables(result)
    if len(result.staffing):
        parts.append(_staffing(result))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _head(result: Result) -> Text:
    """What was run."""
    plan = result.plan
    begun = f"after a warm-up of {plan.warm_up_min:g} min" if plan.begins is None else "from the state given"
    about = (
        f'Policy "{plain(plan.policy)}", seed {result.seed}, replication {result.replication}: '
        f"{plan.length_min:g} min counted {begun}."
    )
    if result.stopped_at_min is not None:
        about += f"\nCut short: stopped at minute {result.stopped_at_min:g} of "
        about += f"{plan.warm_up_min + result.works.run.length:g}."
    return Text.assemble((plain(result.works.name), "bold"), "\n", about)


def _lines(result: Result) -> RenderableType:
    """The headline of each line."""
    money = result.works.currency
    columns = [Column("line", True, 16)]
    columns += number_columns(
        "good/h",
        "in limits/h",
        "first pass %",
        "scrap %",
        "lead min",
        f"cost {money} /part",
        f"loss in it {money} /part",
        f"contrib. {money} /h",
    )
    rows = [
        [
            str(row["line"]),
            number(row["good_per_hour"], 2),
            number(row["parts_in_limits_per_hour"], 2),
            number(100.0 * row["first_pass_yield"], 1),
            number(100.0 * row["scrap_share"], 1),
            number(row["mean_lead_min"], 0),
            number(row["cost_per_good_part"], 2),
            number(row["quality_loss_per_good_part"], 2),
            number(row["contribution_per_hour"], 2),
        ]
        for row in _rows(result.lines)
    ]
    return grid("Lines", columns, rows)


def _states(result: Result) -> RenderableType:
    """Share of time of every machine in every state that occurs."""
    table = result.machines
    shown = [state for state in _STATE_HEADS if table[_share(state)].max() >= _LEAST_SHOWN]
    columns = [Column("machine", True, 18), *(Column(_STATE_HEADS[state]) for state in shown)]

    def rows() -> Iterator[list[str]]:
        for line in result.works.lines:
            if len(result.works.lines) > 1:
                yield [line]
            for row in _rows(table[table["line"] == line]):
                yield [str(row["machine"]), *(number(100.0 * row[_share(state)], 1) for state in shown)]

    return grid("Machines: share of time, %", columns, rows())


def _share(state: State) -> str:
    return f"{state.name.lower()}_share"


def _ledger(result: Result) -> Iterator[RenderableType]:
    """Money per good part, item by item, the lines side by side."""
    sums = result.ledger.groupby(["line", "item"])["minor_units"].sum() / 100.0
    shipped = dict(zip(result.works.lines, result.tally.shipped.tolist(), strict=True))
    for lines in chunks(list(shipped), _LINES_ABREAST):
        columns = [Column(f"per good part, {result.works.currency}", True, 26)]
        columns += [Column(line if len(shipped) > 1 else "") for line in lines]
        items = [item for item in ITEMS if any((line, item) in sums.index for line in lines)]
        rows = [
            [item, *(_per_part(float(sums.get((line, item), 0.0)), shipped[line]) for line in lines)] for item in items
        ]
        totals = [
            _per_part(float(sums[sums.index.get_level_values("line") == line].sum()), shipped[line]) for line in lines
        ]
        yield grid("Ledger", columns, [*rows, ["all together", *totals]])


def _per_part(money: float, shipped: int) -> str:
    return number(money / shipped, 2) if shipped else UNKNOWN


def _changes(result: Result) -> RenderableType:
    """Cutter sets changed."""
    columns = [Column("machine", True, 18), Column("cutter set", True, 20)]
    names = {"planned": "due", "joined": "joined", "unplanned": "broken", "in_place": "in place", "looks": "looks"}
    if result.plan.magazines.is_here.any():
        names["taken_over"] = "by sister"
    if result.changes["load_alarms"].any():
        names |= {"load_alarms": "alarms", "load_false": "false", "load_missed": "missed"}
    if result.changes["broke_unseen"].any():
        names |= {"broke_unseen": "unseen", "cut_unseen": "parts meanwhile", "probe_found": "probed"}
    columns += number_columns(*names.values(), "parts/edge", "life share")

    def rows() -> Iterator[list[str]]:
        for line in result.works.lines:
            if len(result.works.lines) > 1:
                yield [line]
            for row in _rows(result.changes[result.changes["line"] == line]):
                counts = [str(row[name]) for name in names]
                means = [number(row["parts_per_edge"], 1), number(row["life_share_at_change"], 2)]
                yield [str(row["machine"]), str(row["cutter"]), *counts, *means]

    return grid("Cutter changes", columns, rows())


def _staffing(result: Result) -> RenderableType:
    """People by shift."""
    columns = [Column("people", True, 18)]
    columns += number_columns("shift", "attend, min", "work, min", "beyond it", "free, min", "waited for, min")
    names = ("attended_min", "worked_min", "beyond_min", "free_min", "waited_min")
    rows = [
        [str(row["pool"]), str(row["shift"]), *(number(row[name], 0) for name in names)]
        for row in _rows(result.staffing)
    ]
    return grid("People by shift", columns, rows)


def _findings(result: Result) -> Text:
    """What was found, problems first."""
    lines = [("PROBLEM: " if finding.is_problem else "- ") + plain(finding.text) for finding in result.findings]
    return Text("\n".join(lines) or "Nothing out of the ordinary was found.")


def _rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    return [{str(name): value for name, value in row.items()} for row in table.to_dict(orient="records")]
