"""``linesim watch``: new records each week against the figures that stand in a scenario."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from linesim import __version__
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, Replications, ScenarioFile, Seed
from linesim.cli.output import command_line
from linesim.cli.reports import ReportOutlet
from linesim.records.mapping import load_mapping
from linesim.records.reading import read_records
from linesim.report.page.watch_page import watch_page
from linesim.report.terminal.records import aside_table, json_rows
from linesim.report.terminal.watch import watching_text
from linesim.study.options import StudyOptions
from linesim.study.watching.watch import Watching
from linesim.study.watching.watch import watch as watched
from linesim.works import load_works

__all__ = ["watch"]

Mapping = Annotated[
    Path,
    typer.Argument(
        metavar="RECORDS", help="Mapping of the new records (YAML), as linesim records has it.", show_default=False
    ),
]
Still = Annotated[bool, typer.Option("--no-runs", help="Judge no interval anew: nothing is run.")]


@command
def watch(
    records: Mapping,
    file: ScenarioFile,
    out: ReportOutlet,
    policy: OnePolicy = None,
    replications: Replications = None,
    seed: Seed = None,
    no_runs: Still = False,
) -> None:
    """Watch new records week by week: which figure has moved, since when, and whether the advice still holds."""
    out.check("weeks", "aside")
    works = load_works(file)
    every = read_records(load_mapping(records), records.parent)
    options = None if no_runs else StudyOptions(replications=replications, seed=seed)
    answer = watched(works, every, policy, options)
    tables = {"weeks": answer.table, "aside": aside_table(every.asides)}
    provenance = {"linesim": __version__, "scenario": str(file), "mapping": str(records)}
    out.put(
        tables, provenance, lambda: _content(answer) | {"aside": json_rows(tables["aside"])},
        lambda: watching_text(answer), lambda: watch_page(answer, provenance, command_line()), works=None,
    )  # fmt: skip


def _content(answer: Watching) -> dict[str, Any]:
    """The answer for JSON."""
    moved = [
        {
            "of": each.expected.of,
            "what": each.expected.what,
            "standing": each.expected.value,
            "since": str(each.chart.since),
            "since_between": [str(each.chart.since_low), str(each.chart.since_high)],
            "now": None if each.now is None else each.now.value,
            "best_before": None if each.advised is None else each.advised.before.best,
            "best_after": None if each.advised is None else each.advised.after.best,
        }
        for each in answer.watched
        if each.chart.since is not None
    ]
    return {"sentences": list(answer.sentences), "moved": moved, "weeks": json_rows(answer.table)}
