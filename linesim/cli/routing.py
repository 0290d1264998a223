"""``linesim routing``: variants of a routing against each other, and the sheet that justifies one."""

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
    ScenarioFile,
    Seed,
    StorePlace,
    Workers,
)
from linesim.cli.output import Outlet, announce_compiling, command_line
from linesim.cli.progress import watched

__all__ = ["routing"]

_TABLES = ("variants", "content", "capability")


@guarded
def routing(
    file: ScenarioFile,
    variants: Annotated[
        Path, typer.Option("--variants", metavar="FILE", help="File of variants (YAML).", show_default=False)
    ],
    replications: Annotated[
        int | None, typer.Option(metavar="N", help="Fresh runs of each variant; the scenario's number unless given.")
    ] = None,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of the intervals.")] = 0.95,
    html: Annotated[Path | None, typer.Option(metavar="FILE", help="Write the sheet as one HTML page.")] = None,
    excel: Annotated[Path | None, typer.Option(metavar="FILE", help="Write the sheet as an Excel workbook.")] = None,
    paper: Annotated[str, typer.Option(metavar="NAME", help="A4 or Letter, for the workbook.")] = "A4",
    units: Annotated[str, typer.Option(metavar="NAME", help="metric or inch, on the sheet.")] = "metric",
    currency: Annotated[str | None, typer.Option(metavar="NAME", help="Currency of the sheet.")] = None,
    rate: Annotated[float, typer.Option(metavar="X", help="That currency for one of the scenario's.")] = 1.0,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
    engine: Engine = "fast",
    workers: Workers = None,
    store: StorePlace = None,
    cluster: Cluster = None,
    name: Called = "",
) -> None:
    """Set variants of a routing against each other: quality, minutes, money, the line, and what would change it."""
    from linesim.report.page.justification import Sheets  # noqa: PLC0415 - help stays quick
    from linesim.report.terminal.routing import routing_text  # noqa: PLC0415
    from linesim.routing import load_variants, routing_steps, sentences_of  # noqa: PLC0415
    from linesim.routing.why import accounts_of, warnings_of  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    asked = load_variants(variants, works)
    outlet = Outlet(as_json, csv, force)
    outlet.check(_TABLES)
    sheets = Sheets(html, excel, paper, units, currency, rate, force)
    announce_compiling(engine)
    with crew_for("routing", works, workers, store, cluster, name) as record:
        steps = routing_steps(asked, replications, seed, confidence, record.crew, engine)
        found = watched(steps, "running the variants", not as_json)
        record.answer = {"sentences": sentences_of(found)}
    if sheets.is_wanted:
        for written in sheets.write(found, accounts_of(found), warnings_of(found), command_line()):
            typer.echo(f"Sheet written to {written}", err=True)
    outlet.put(found.tables, found.provenance, found.as_dict, lambda: routing_text(found))
    if any(made.sample.problems for made in found.made):
        raise typer.Exit(FOUND_PROBLEM)
