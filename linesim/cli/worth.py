"""``linesim worth``: what a minute is worth at each operation."""

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
from linesim.cli.progress import watched

__all__ = ["worth"]


@guarded
def worth(
    file: ScenarioFile,
    policy: OnePolicy = None,
    replications: Annotated[
        int | None, typer.Option(metavar="N", help="Runs of each works; three times the scenario's unless given.")
    ] = None,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of all intervals together.")] = 0.95,
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
    """Price one minute an hour less stopped at each operation: the constraint in money."""
    from linesim.report.page.worth_page import worth_page  # noqa: PLC0415 - help stays quick
    from linesim.report.terminal.worth import worth_text  # noqa: PLC0415
    from linesim.study.questions.worth import worth_steps  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(("worth",))
    announce_compiling(engine)
    with crew_for("worth", works, workers, store, cluster, name) as record:
        steps = worth_steps(works, policy, replications, seed, confidence, rules or (), engine, record.crew)
        found = watched(steps, "pricing a minute", not as_json)
        record.answer = {"sentences": list(found.sentences)}
    outlet.put(
        {"worth": found.table},
        found.provenance,
        found.as_dict,
        lambda: worth_text(found),
        lambda: worth_page(found, command_line()),
    )
