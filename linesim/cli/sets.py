"""``linesim sets``: how many cutter sets, tool grinders and setters."""

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

__all__ = ["sets"]


@guarded
def sets(
    file: ScenarioFile,
    policy: OnePolicy = None,
    set_share: Annotated[
        float, typer.Option(metavar="SHARE", help="Write-off and interest of a set, share of its price a year.")
    ] = 0.25,
    grinder_rate: Annotated[
        float | None,
        typer.Option(metavar="MONEY", help="One more grinder for an hour; the crib's rate unless given."),
    ] = None,
    idle_share: Annotated[
        float, typer.Option(metavar="SHARE", help="Share of the wage that one more setter costs while idle.")
    ] = 1.0,
    runs: Annotated[int, typer.Option(metavar="N", help="Most runs to spend.")] = 6000,
    replications: Annotated[int, typer.Option(metavar="N", help="Replications of each combination.")] = 12,
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
    """How many sets of each cutter, tool grinders and setters, so that waiting costs less than having them."""
    from linesim.report.files.overlay import check_overlay, write_overlay  # noqa: PLC0415 - help stays quick
    from linesim.report.page.search_pages import circulation_page  # noqa: PLC0415
    from linesim.report.terminal.search import circulation_text  # noqa: PLC0415
    from linesim.study.search import Holding, circulation_steps  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(("numbers",))
    extends = check_overlay(write, file, force) if write is not None else ""
    holding = Holding(set_share, grinder_rate, idle_share)
    announce_compiling(engine)
    with crew_for("sets", works, workers, store, cluster, name) as record:
        steps = circulation_steps(
            works, policy, holding, replications, fresh, runs, seed, confidence, record.crew, rules or (), engine
        )
        found, was_stopped = carried_on(steps, "searching", not as_json, minutes)
        record.answer = {"sentences": list(found.sentences)}
    if write is not None:
        write_overlay(write, found.overlay_yaml(extends))
        typer.echo(f"Scenario written to {write}", err=True)
    outlet.put(
        found.tables,
        found.provenance,
        found.as_dict,
        lambda: circulation_text(found),
        lambda: circulation_page(found, command_line()),
    )
    end_early(was_stopped)
