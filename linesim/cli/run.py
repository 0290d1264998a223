"""``linesim run``: one run of one policy."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import pandas as pd
import typer

from linesim import __version__
from linesim.cli.command import command
from linesim.cli.guard import FOUND_PROBLEM, STOPPED
from linesim.cli.measuring import tell_what_to_measure
from linesim.cli.options import Engine, OnePolicy, Rules, ScenarioFile, Seed
from linesim.cli.output import STDOUT, Outlet, announce_compiling
from linesim.cli.progress import Bar
from linesim.errors import StudyError
from linesim.report.terminal.run import run_text
from linesim.result import Result
from linesim.result.plain import TABLES, plain_table
from linesim.study import Tryout, load_rules
from linesim.study.one.columns import check_trace_path
from linesim.works import load_works

__all__ = ["run"]

_TRACES = ("parts", "states", "changes_in_time", "sets_in_time")

Trace = Annotated[
    Path | None,
    typer.Option(
        "--trace",
        metavar="PATH",
        help="Write every event to FILE.parquet or a folder; - puts it into the CSV or JSON.",
    ),
]
Replication = Annotated[int, typer.Option("--replication", metavar="N", help="Which of the runs with this seed.")]


@command
def run(
    file: ScenarioFile,
    out: Outlet,
    policy: OnePolicy = None,
    seed: Seed = None,
    replication: Replication = 0,
    rules: Rules = None,
    trace: Trace = None,
    engine: Engine = "fast",
) -> None:
    """Run a scenario once: output, machine states, ledger, cutter changes, findings."""
    is_shown = trace == STDOUT
    trace_to = None if is_shown else trace
    _check_trace(trace, out)
    works = load_works(file)
    out.check(*TABLES, *(_TRACES if is_shown else ()))
    for own in rules or []:
        load_rules(own)
    announce_compiling(engine)
    tryout = Tryout(works, policy, engine)
    with Bar("running", not out.as_json) as bar:
        watch = bar if bar.is_wanted else None
        result = tryout.run(replication, seed, is_shown, watch, trace_to, keeps_on_interrupt=True)
    tables = {name: getattr(result, name) for name in TABLES} | _trace_tables(result)
    out.put(tables, _provenance(result), lambda: _with_trace(result), lambda: run_text(result), works=works)
    if result.stopped_at_min is not None:
        raise typer.Exit(STOPPED)
    if not (out.as_json or out.csv or rules):
        tell_what_to_measure(works, policy, engine)
    if any(finding.is_problem for finding in result.findings):
        raise typer.Exit(FOUND_PROBLEM)


def _check_trace(trace: Path | None, out: Outlet) -> None:
    """See to it that what happens can be written down where it is wanted."""
    if trace == STDOUT and not out.as_json and out.csv is None:
        raise StudyError("--trace - needs somewhere to go: add --csv DIR or --json, or name a folder or FILE.parquet")
    if trace is not None and trace != STDOUT:
        check_trace_path(trace, out.force)


def _trace_tables(result: Result) -> dict[str, pd.DataFrame]:
    """What was written down, event by event, by the names of its tables."""
    if result.trace is None:
        return {}
    return dict(
        zip(_TRACES, (getattr(result.trace, name) for name in ("parts", "states", "changes", "sets")), strict=True)
    )


def _with_trace(result: Result) -> dict[str, Any]:
    """The result as plain values, with the trace if there is one."""
    trace = {name: plain_table(table) for name, table in _trace_tables(result).items()}
    return result.as_dict() | ({"trace": trace} if trace else {})


def _provenance(result: Result) -> dict[str, Any]:
    """What is needed to make the tables again."""
    names = ("works", "policy", "digest", "engine", "seed", "replication")
    return {"linesim": __version__, **{name: result.summary[name] for name in names}}
