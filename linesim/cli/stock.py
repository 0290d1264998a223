"""``linesim stock``: how much to leave for each cut, and the least number of cuts."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson, Csv, Force, OnePolicy, ScenarioFile
from linesim.cli.output import Outlet, announce_compiling

__all__ = ["stock"]

_TABLES = ("as_it_stands", "choices", "plan", "simulated")


@guarded
def stock(
    file: ScenarioFile,
    feature: Annotated[str, typer.Option("--feature", metavar="NAME", help="The feature.", show_default=False)],
    line: Annotated[str | None, typer.Option(metavar="NAME", help="Its line; the first that has it.")] = None,
    policy: OnePolicy = None,
    cpk: Annotated[float, typer.Option(metavar="X", help="Capability wanted of size and roughness.")] = 1.33,
    check: Annotated[int, typer.Option(metavar="N", help="Simulate the plan so many times; 0 does not.")] = 0,
    rz: Annotated[float, typer.Option(metavar="X", help="Rz over Ra.")] = 5.0,
    skin: Annotated[float, typer.Option(metavar="UM", help="Damaged layer under the casting's skin, µm.")] = 300.0,
    damaged: Annotated[float, typer.Option(metavar="UM", help="Damaged layer after a cut, µm; 0 in iron.")] = 0.0,
    sigmas: Annotated[float, typer.Option(metavar="X", help="Standard deviations to be cleaned up.")] = 3.0,
    thinnest: Annotated[float, typer.Option(metavar="MM", help="Least depth that an edge cuts, mm.")] = 0.05,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
) -> None:
    """Plan the stock: how much to leave for each cut, and the least number of cuts that meets the drawing."""
    from linesim.report.terminal.stock import stock_text  # noqa: PLC0415 - help stays quick
    from linesim.result.plain import plain_table  # noqa: PLC0415
    from linesim.routing import check_stock_plan, stock_plan  # noqa: PLC0415
    from linesim.routing.stock import StockRules  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force)
    outlet.check(_TABLES)
    announce_compiling("fast" if check else "simpy")
    plan = stock_plan(works, feature, line, policy, cpk, StockRules(rz, skin, damaged, sigmas, thinnest))
    simulated = check_stock_plan(plan, works.chosen_policy(policy), works.run.seed, check)
    tables = plan.tables | ({"simulated": simulated} if len(simulated) else {})
    head = {"sentences": list(plan.sentences), "warnings": list(plan.warnings)}
    outlet.put(
        tables,
        head,
        lambda: head | {name: plain_table(table) for name, table in tables.items()},
        lambda: stock_text(plan, simulated),
    )
