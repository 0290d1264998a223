"""``linesim drivers``: what drives the result, and so what to measure first."""

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
from linesim.cli.search_options import Confidence, Minutes
from linesim.cli.stepping import carried_on, end_early

__all__ = ["drivers"]


@guarded
def drivers(
    file: ScenarioFile,
    policy: OnePolicy = None,
    measure: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="What is looked at; contribution_per_hour if parts have a worth."),
    ] = None,
    bounds: Annotated[
        list[str] | None,
        typer.Option("--range", metavar="NAME=LOW:HIGH", help='Own range, such as "life of finish blade=0.7:1.5".'),
    ] = None,
    together: Annotated[bool, typer.Option("--together", help="Take inputs of a kind as one.")] = False,
    trajectories: Annotated[
        int, typer.Option(metavar="N", help="Screen all inputs at once after Morris; 0 for no screening.")
    ] = 0,
    replications: Annotated[int, typer.Option(metavar="N", help="Replications of every run.")] = 8,
    minutes: Minutes = None,
    seed: Seed = None,
    confidence: Confidence = 0.95,
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
    """What drives the result: which of the inputs that a shop knows least to measure first."""
    from linesim.report.page.search_pages import drivers_page  # noqa: PLC0415
    from linesim.report.terminal.search import drivers_text  # noqa: PLC0415 - help stays quick
    from linesim.study.search import drivers_steps  # noqa: PLC0415
    from linesim.study.search.sensitivity.inputs import parse_range  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(("one_at_a_time", "screening"))
    ranges = dict(map(parse_range, bounds or ()))
    announce_compiling(engine)
    with crew_for("drivers", works, workers, store, cluster, name) as record:
        steps = drivers_steps(
            works, policy, measure, ranges, together, trajectories, replications, seed, confidence, record.crew,
            rules or (), engine,
        )  # fmt: skip
        found, was_stopped = carried_on(steps, "running", not as_json, minutes)
        record.answer = {"sentences": list(found.sentences)}
    outlet.put(
        found.tables,
        found.provenance,
        found.as_dict,
        lambda: drivers_text(found),
        lambda: drivers_page(found, command_line()),
    )
    end_early(was_stopped)
