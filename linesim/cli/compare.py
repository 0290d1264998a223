"""``linesim compare``: policies against each other, with intervals."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.crews import crew_for
from linesim.cli.guard import FOUND_PROBLEM, guarded
from linesim.cli.options import (
    AsJson,
    Called,
    Cluster,
    Csv,
    Engine,
    Force,
    Rules,
    ScenarioFile,
    Seed,
    StorePlace,
    Workers,
)
from linesim.cli.output import Outlet, announce_compiling, command_line
from linesim.cli.progress import Bar
from linesim.cli.spans import Length, WarmUp, spans_of, until_of

__all__ = ["compare"]

_TABLES = ("policies", "differences", "replications", "ledger", "times", "findings")


@guarded
def compare(
    file: ScenarioFile,
    policy: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Policy to compare; say it again for each. All unless given."),
    ] = None,
    replications: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="Runs of each policy; the scenario's number unless given. With --zone or --half-width: at first (10).",
        ),
    ] = None,
    zone: Annotated[
        float | None,
        typer.Option(
            metavar="MONEY",
            help="Go on until the best is known, if it leads by at least this much of what decides (money per hour).",
        ),
    ] = None,
    half_width: Annotated[
        str | None,
        typer.Option(metavar="WIDTH", help='Go on until what decides is known so well: "5" (money per hour) or "2%".'),
    ] = None,
    most: Annotated[
        int, typer.Option(metavar="N", help="Most runs of each policy, with --zone or --half-width.")
    ] = 200,
    warm_up: WarmUp = None,
    length: Length = None,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of the intervals.")] = 0.95,
    workers: Workers = None,
    html: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the report as one HTML page."),
    ] = None,
    as_json: AsJson = False,
    csv: Csv = None,
    rules: Rules = None,
    force: Force = False,
    engine: Engine = "fast",
    store: StorePlace = None,
    cluster: Cluster = None,
    name: Called = "",
) -> None:
    """Compare tool-change policies: replications with shared chance, intervals, paired differences."""
    from linesim import study  # noqa: PLC0415 - help stays quick
    from linesim.desk import desk_figures  # noqa: PLC0415
    from linesim.report.page.comparison_page import comparison_page  # noqa: PLC0415
    from linesim.report.terminal.compare import comparison_text  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(_TABLES)
    until = until_of(zone, half_width, replications, most)
    spans = spans_of(works, warm_up, length)
    announce_compiling(engine)
    with (
        crew_for("compare", works, workers, store, cluster, name) as record,
        Bar("comparing", not as_json) as bar,
    ):
        found = study.compare(
            works, policy, replications, seed, confidence, None, bar, rules or (), engine, until, record.crew, *spans
        )
        record.answer = {"sentences": list(found.sentences)}
    outlet.put(
        found.tables,
        found.provenance,
        found.as_dict,
        lambda: comparison_text(found),
        lambda: comparison_page(found, desk_figures(found.works), command_line()),
    )
    if bool(found.findings["is_problem"].any()):
        raise typer.Exit(FOUND_PROBLEM)
