"""``linesim frontier``: output against quality loss over a grid of rules and intervals."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.crews import crew_for
from linesim.cli.guard import guarded
from linesim.cli.options import (
    AsJson,
    Called,
    Cluster,
    Csv,
    Engine,
    Force,
    Page,
    Rules,
    ScenarioFile,
    Seed,
    StorePlace,
    Workers,
)
from linesim.cli.output import Outlet, announce_compiling, command_line
from linesim.cli.progress import watched

__all__ = ["frontier"]


@guarded
def frontier(
    file: ScenarioFile,
    kind: Annotated[
        list[str] | None,
        typer.Option(
            metavar="KIND",
            help="Kind of rule: life, grouped, parts, check, shift or run out; say it again for each. "
            "Life, grouped and run out unless given.",
        ),
    ] = None,
    share: Annotated[
        list[float] | None,
        typer.Option(metavar="SHARE", help="Interval as a share of life; say it again for each. 0.4 to 1.2 at first."),
    ] = None,
    cutter: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="NAME", help="Cutter set that the grid changes; all unless given."),
    ] = None,
    base: Annotated[
        str | None, typer.Option(metavar="NAME", help="Policy that the other sets keep; the first unless given.")
    ] = None,
    without_own: Annotated[bool, typer.Option("--grid-only", help="Leave out the scenario's own policies.")] = False,
    replications: Annotated[
        int | None, typer.Option(metavar="N", help="Runs of each; the scenario's number unless given.")
    ] = None,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of all places together.")] = 0.95,
    workers: Workers = None,
    html: Page = None,
    as_json: AsJson = False,
    csv: Csv = None,
    rules: Rules = None,
    force: Force = False,
    engine: Engine = "fast",
    store: StorePlace = None,
    cluster: Cluster = None,
    name: Called = "",
) -> None:
    """Set output against quality loss for many rules and intervals: what is beaten, the frontier, the knee."""
    from linesim.report.page.frontier_page import frontier_page  # noqa: PLC0415 - help stays quick
    from linesim.report.terminal.frontier import frontier_text  # noqa: PLC0415
    from linesim.study.questions.frontier import frontier_steps  # noqa: PLC0415
    from linesim.study.questions.frontier_grid import SHARES, grid_of  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(("policies",))
    grid = grid_of(works, kind or ("life", "grouped", "run out"), share or SHARES, cutter, base, not without_own)
    announce_compiling(engine)
    with crew_for("frontier", works, workers, store, cluster, name) as record:
        steps = frontier_steps(grid, replications, seed, confidence, rules or (), engine, record.crew)
        found = watched(steps, "running the grid", not as_json)
        record.answer = {"sentences": list(found.sentences)}
    outlet.put(
        {"policies": found.table},
        found.provenance,
        found.as_dict,
        lambda: frontier_text(found),
        lambda: frontier_page(found, command_line()),
    )
