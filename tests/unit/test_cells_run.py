"""One run and the desk: what stands in each cell is what the result holds, column by column."""

from __future__ import annotations

import pytest

from linesim.desk import Desk, desk_figures
from linesim.plan.tally import State
from linesim.report.terminal.check import desk_text
from linesim.report.terminal.run import run_text
from linesim.result import Result
from linesim.study import run
from linesim.works import changed, load_works
from tests.floors import a_blade, a_shop
from tests.printed import Printed, all_show, headings, shows, terminal_tables


@pytest.fixture(scope="module")
def result() -> Result:
    # Two of the lines together, so that headings and columns of several lines are there as well.
    works = changed(load_works("scenarios/works.yaml"), {"run": {"length": "8 days", "warm_up": "2 shifts"}})
    return run(works, "check the edge", seed=11, engine="fast")


@pytest.fixture(scope="module")
def desk() -> Desk:
    return desk_figures(load_works("scenarios/block-line.yaml"), "check the edge")


def table_of(page: object, title: str) -> Printed:
    """The one table of a page for the terminal whose title begins so."""
    (found,) = [table for table in terminal_tables(page) if table.title.startswith(title)]  # type: ignore[arg-type]
    return found


def test_lines_show_their_figures(result: Result) -> None:
    table, money = table_of(run_text(result), "Lines"), result.works.currency
    lines = result.lines
    assert table.column("line") == lines["line"].to_list()
    for head, values in {
        "good/h": lines["good_per_hour"],
        "in limits/h": lines["parts_in_limits_per_hour"],
        "first pass %": 100.0 * lines["first_pass_yield"],
        "scrap %": 100.0 * lines["scrap_share"],
        "lead min": lines["mean_lead_min"],
        f"cost {money} /part": lines["cost_per_good_part"],
        f"loss in it {money} /part": lines["quality_loss_per_good_part"],
        f"contrib. {money} /h": lines["contribution_per_hour"],
    }.items():
        all_show(table.column(head), values)
    assert lines["first_pass_yield"].nunique() == lines["scrap_share"].nunique() == len(lines)


def test_machines_show_their_shares_of_time(result: Result) -> None:
    table = table_of(run_text(result), "Machines")
    heads = {
        "cutting": State.CUTTING, "loading": State.LOADING, "gauging": State.GAUGING, "changes": State.CHANGING,
        "checks edge": State.CHECKING, "waits cutter": State.WAITING_FOR_SET, "waits setter": State.WAITING_FOR_SETTER,
        "first piece": State.FIRST_PIECE, "set right": State.SETTING_RIGHT, "repair": State.UNDER_REPAIR,
        "waits fitter": State.WAITING_FOR_FITTER,
        "waits part (starved)": State.WAITING_FOR_PART, "held up (blocked)": State.HELD_UP,
    }  # fmt: skip
    rows = [row for row in table.rows if any(row[1:])]
    assert [row[0] for row in rows] == result.machines["machine"].to_list()
    for head in table.heads[1:]:
        at = table.heads.index(head)
        all_show([row[at] for row in rows], 100.0 * result.machines[f"{heads[head].name.lower()}_share"])
    hidden = set(heads) - set(table.heads)
    assert all(result.machines[f"{heads[head].name.lower()}_share"].max() < 0.0005 for head in hidden)
    assert {"cutting", "loading", "changes", "checks edge", "waits part (starved)", "held up (blocked)"}.isdisjoint(
        hidden
    )


def test_the_ledger_shows_every_item_per_good_part(result: Result) -> None:
    table = table_of(run_text(result), "Ledger")
    lines = result.lines.set_index("line")
    sums = result.ledger.groupby(["line", "item"])["minor_units"].sum() / 100.0
    shipped = dict(zip(result.works.lines, result.tally.shipped.tolist(), strict=True))
    for line in result.works.lines:
        cells = dict(zip(table.column(table.heads[0]), table.column(line), strict=True))
        for item, cell in cells.items():
            if item == "all together":
                shows(cell, lines.loc[line, "cost_per_good_part"])
            else:
                shows(cell, sums.get((line, item), 0.0) / shipped[line])
        assert set(cells) - {"all together"} == set(result.ledger["item"])


def test_changes_show_counts_and_means(result: Result) -> None:
    table = table_of(run_text(result), "Cutter changes")
    rows = [row for row in table.rows if any(row[1:])]
    changes = result.changes
    assert [row[:2] for row in rows] == changes[["machine", "cutter"]].to_numpy().tolist()
    for head, name in {
        "due": "planned", "joined": "joined", "broken": "unplanned", "in place": "in_place", "looks": "looks",
        "parts/edge": "parts_per_edge", "life share": "life_share_at_change",
    }.items():  # fmt: skip
        at = table.heads.index(head)
        all_show([row[at] for row in rows], changes[name].astype(float))


def test_findings_are_printed_problems_first_marked(result: Result) -> None:
    text = str(run_text(result).renderables[2].renderable)  # type: ignore[union-attr] - before all but the lines
    for finding in result.findings:
        assert f"{'PROBLEM: ' if finding.is_problem else '- '}{finding.text}" in text


def test_lines_stand_as_headings_where_there_are_several_and_only_there(result: Result) -> None:
    side_by_side = {"Lines": [], "Ledger": []}
    wanted = side_by_side | {"Tests and failures in the field": ["block", "head"]}  # no test on the crankcase line
    found = headings(run_text(result))
    assert set(wanted) | {"Machines: share of time, %", "Cutter changes", "Gauges: readings"} <= set(found)
    assert found == {title: wanted.get(title, list(result.works.lines)) for title in found}
    blade = {"blade": a_blade(life=20.0)}
    both = {name: {"operations": {f"{name} 10": {"minutes": 2, "sets": ["blade"]}}} for name in ("one", "other")}
    two = headings(run_text(run(a_shop(lines=both, cutters=blade, length=200.0), engine="fast")))
    assert two["Machines: share of time, %"] == two["Cutter changes"] == ["one", "other"]
    alone = run(changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "2 shifts"}}), engine="fast")
    shown = headings(run_text(alone))
    assert {"Machines: share of time, %", "Cutter changes", "Gauges: readings"} <= set(shown)
    assert not any(shown.values()), shown


SPEEDS = {
    "rev/min": "spindle_rpm", "mm/min": "feed_rate_mm_min", "min/pass": "pass_min", "passes": "passes",
    "min": "cut_min", "life min": "life_min", "parts/edge": "parts_per_edge",
}  # fmt: skip
FORCES = {
    "motor kW": "power_kw", "rating kW": "rating_kw", "cutting N": "cutting_force_n", "radial N": "radial_force_n",
    "stiff. N/µm": "stiffness_n_um", "copies %": "copying_percent", "sharp Ra µm": "sharp_ra_um",
}  # fmt: skip
OPERATIONS = {
    "mach.": "machines", "handling": "handling_min", "cutting": "cutting_min", "gauging": "gauging_min",
    "cycle min": "cycle_min", "first piece": "first_piece_min",
    "repairs": "breakdown_min", "min/part": "minutes_per_part", "parts/h": "parts_per_hour",
    "load %": "load_percent",
}  # fmt: skip
SETS = {
    "min/part": "minutes_per_part", "life min": "life_min", "parts/edge": "parts_per_edge",
    "changed after": "parts_between", "min/change": "change_min",
}  # fmt: skip


@pytest.mark.parametrize(
    ("title", "name", "columns"),
    [
        ("Cuts: speeds", "cuts", SPEEDS),
        ("Cuts: sharp", "cuts", FORCES),
        ("Operations", "operations", OPERATIONS),
        ("Cutter sets", "sets", SETS),
    ],
)
def test_the_desk_shows_its_figures(desk: Desk, title: str, name: str, columns: dict[str, str]) -> None:
    table, values = table_of(desk_text(desk), title), getattr(desk, name)
    assert table.column("operation") == values["operation"].to_list()
    for head, column in columns.items():
        all_show(table.column(head), values[column].astype(float))


def test_the_desk_shows_minutes_lost_to_changes_and_looks(desk: Desk) -> None:
    for title, head, names in (
        ("Operations", "changes", ("change_min", "look_min")),
        ("Cutter sets", "lost min/part", ("change_min_per_part", "look_min_per_part")),
    ):
        values = desk.operations if title == "Operations" else desk.sets
        all_show(table_of(desk_text(desk), title).column(head), values[names[0]] + values[names[1]])
    assert min(desk.operations[name].max() for name in ("change_min", "look_min")) > 0.0
