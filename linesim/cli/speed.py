"""``linesim speed``: cheapest and fastest speed and feed of a cut, and what the line makes of them."""

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
    ScenarioFile,
    Seed,
    StorePlace,
    Workers,
)
from linesim.cli.output import Outlet, announce_compiling
from linesim.cli.progress import watched

__all__ = ["speed"]

_TABLES = ("speeds", "line")


@guarded
def speed(
    file: ScenarioFile,
    cut: Annotated[str, typer.Option("--cut", metavar="NAME", help='The cut, or "Op 60 / rough".', show_default=False)],
    line: Annotated[str | None, typer.Option(metavar="NAME", help="Its line.")] = None,
    policy: OnePolicy = None,
    slowest: Annotated[float, typer.Option(metavar="X", help="Least speed and feed, times those that stand.")] = 0.5,
    fastest: Annotated[float, typer.Option(metavar="X", help="Greatest speed and feed, times those that stand.")] = 1.6,
    replications: Annotated[int | None, typer.Option(metavar="N", help="Runs of each; the scenario's number.")] = None,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of the intervals.")] = 0.95,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
    engine: Engine = "fast",
    workers: Workers = None,
    store: StorePlace = None,
    cluster: Cluster = None,
    name: Called = "",
) -> None:
    """Find the economic speed and feed of a cut, on paper and in the line."""
    from linesim.report.terminal.speed import speed_text  # noqa: PLC0415 - help stays quick
    from linesim.routing import cut_named, speed_on_paper, speed_steps  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force)
    outlet.check(_TABLES)
    announce_compiling(engine)
    paper = speed_on_paper(works, cut_named(works, cut, line), policy, (slowest, fastest))
    with crew_for("speed", works, workers, store, cluster, name) as record:
        steps = speed_steps(paper, replications, seed, confidence, record.crew, engine)
        found = watched(steps, "running at each speed", not as_json)
        record.answer = {"sentences": list(found.sentences)}
    outlet.put(found.tables, {"seed": found.seed}, found.as_dict, lambda: speed_text(found))
