"""``linesim intervals``: the best intervals of all sets together."""

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
    OnePolicy,
    Page,
    Rules,
    ScenarioFile,
    Seed,
    StorePlace,
    Workers,
)
from linesim.cli.output import Outlet, announce_compiling, command_line
from linesim.cli.search_options import Confidence, Minutes, Write
from linesim.cli.stepping import carried_on, end_early

__all__ = ["intervals"]


@guarded
def intervals(
    file: ScenarioFile,
    goal: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="cost, contribution or output; by the worth of parts unless given."),
    ] = None,
    loss_cap: Annotated[
        float | None, typer.Option(metavar="MONEY", help="Greatest quality loss per good part.", show_default=False)
    ] = None,
    scrap_cap: Annotated[
        float | None, typer.Option(metavar="SHARE", help="Greatest share of scrap, such as 0.01.", show_default=False)
    ] = None,
    policy: OnePolicy = None,
    by: Annotated[str, typer.Option(metavar="WAY", help="Write intervals in parts, or as shares of life.")] = "parts",
    tolerance: Annotated[float, typer.Option(metavar="SHARE", help="What a flat range may cost.")] = 0.01,
    most_lives: Annotated[
        float, typer.Option(metavar="N", help="Look at no interval beyond so many lives of an edge; 1 for its life.")
    ] = 4.0,
    runs: Annotated[int, typer.Option(metavar="N", help="Runs to spend, about.")] = 4000,
    replications: Annotated[int, typer.Option(metavar="N", help="Most replications of one setting.")] = 16,
    fresh: Annotated[int, typer.Option(metavar="N", help="Fresh replications of the verdict.")] = 24,
    minutes: Minutes = None,
    seed: Seed = None,
    confidence: Confidence = 0.95,
    workers: Workers = None,
    write: Write = None,
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
    """Look for the best intervals of all cutter sets together, each with the range in which it hardly matters."""
    from linesim.report.files.overlay import check_overlay, write_overlay  # noqa: PLC0415 - help stays quick
    from linesim.report.page.search_pages import intervals_page  # noqa: PLC0415
    from linesim.report.terminal.search import intervals_text  # noqa: PLC0415
    from linesim.study.search import SearchPlan, best_intervals_steps, goal_of  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(("intervals", "comparison", "tries", "path"))
    extends = check_overlay(write, file, force) if write is not None else ""
    plan = SearchPlan(runs, replications, fresh, by, tolerance=tolerance, most_lives=most_lives)
    sought = goal_of(works, goal, loss_cap, scrap_cap)
    announce_compiling(engine)
    with crew_for("intervals", works, workers, store, cluster, name) as record:
        steps = best_intervals_steps(works, sought, policy, plan, seed, confidence, record.crew, rules or (), engine)
        found, was_stopped = carried_on(steps, "searching", not as_json, minutes)
        record.answer = {"sentences": list(found.sentences)}
    if write is not None:
        write_overlay(write, found.overlay_yaml(extends))
        typer.echo(f"Scenario written to {write}", err=True)
    outlet.put(
        found.tables,
        found.provenance,
        found.as_dict,
        lambda: intervals_text(found),
        lambda: intervals_page(found, command_line()),
    )
    end_early(was_stopped)
