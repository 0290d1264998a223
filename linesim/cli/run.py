"""``linesim run``: one run of one policy."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from linesim.cli.guard import FOUND_PROBLEM, STOPPED, guarded
from linesim.cli.options import AsJson, Csv, Engine, Force, OnePolicy, Rules, ScenarioFile, Seed
from linesim.cli.output import STDOUT, Outlet, announce_compiling
from linesim.cli.progress import Bar
from linesim.errors import StudyError

if TYPE_CHECKING:
    import pandas as pd

    from linesim.result import Result

__all__ = ["run"]

_TRACES = ("parts", "states", "changes_in_time")


@guarded
def run(
    file: ScenarioFile,
    policy: OnePolicy = None,
    seed: Seed = None,
    replication: Annotated[int, typer.Option(metavar="N", help="Which of the runs with this seed.")] = 0,
    as_json: AsJson = False,
    csv: Csv = None,
    rules: Rules = None,
    trace: Annotated[
        Path | None,
        typer.Option(
            metavar="PATH",
            help="Write every event to FILE.parquet or a folder; - puts it into the CSV or JSON.",
        ),
    ] = None,
    force: Force = False,
    engine: Engine = "simpy",
) -> None:
    """Run a scenario once: output, machine states, ledger, cutter changes, findings."""
    from linesim import study  # noqa: PLC0415 - help stays quick
    from linesim.report.terminal.run import run_text  # noqa: PLC0415
    from linesim.result.plain import TABLES  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    is_shown = trace == STDOUT
    if is_shown and not as_json and csv is None:
        raise StudyError("--trace - needs somewhere to go: add --csv DIR or --json, or name a folder or FILE.parquet")
    trace_to = None if is_shown else trace
    if trace_to is not None:
        from linesim.study.one.columns import check_trace_path  # noqa: PLC0415

        check_trace_path(trace_to, force)
    works = load_works(file)
    outlet = Outlet(as_json, csv, force)
    outlet.check((*TABLES, *_TRACES) if is_shown else TABLES)
    for own in rules or []:
        study.load_rules(own)
    announce_compiling(engine)
    with Bar("running", not as_json) as bar:
        watch = bar if bar.is_wanted else None
        result = study.run(works, policy, seed, replication, is_shown, engine, watch, trace_to, True)
    tables = {name: getattr(result, name) for name in TABLES} | _trace_tables(result)
    outlet.put(tables, _provenance(result), lambda: _with_trace(result), lambda: run_text(result))
    if result.stopped_at_min is not None:
        raise typer.Exit(STOPPED)
    if any(found.is_problem for found in result.findings):
        raise typer.Exit(FOUND_PROBLEM)


def _trace_tables(result: Result) -> dict[str, pd.DataFrame]:
    """What was written down, event by event, by the names of its tables."""
    if result.trace is None:
        return {}
    return dict(zip(_TRACES, (result.trace.parts, result.trace.states, result.trace.changes), strict=True))


def _with_trace(result: Result) -> dict[str, Any]:
    """The result as plain values, with the trace if there is one."""
    from linesim.result.plain import plain_table  # noqa: PLC0415

    trace = {name: plain_table(table) for name, table in _trace_tables(result).items()}
    return result.as_dict() | ({"trace": trace} if trace else {})


def _provenance(result: Result) -> dict[str, Any]:
    """What is needed to make the tables again."""
    from linesim import __version__  # noqa: PLC0415

    kept = ("works", "policy", "digest", "engine", "seed", "replication")
    summary = {name: result.summary[name] for name in kept}
    return {"linesim": __version__, **summary}
