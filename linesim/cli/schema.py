"""``linesim schema``: the JSON Schema of scenario files, for editors; and that of reports."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.command import command
from linesim.cli.output import put_json
from linesim.errors import StudyError
from linesim.report.files.report_schema import report_schema
from linesim.words.catalogue import template
from linesim.works import scenario_schema

__all__ = ["schema"]

OfReports = Annotated[
    bool, typer.Option("--report", help="Print that of reports: of --json, and of the data in a page.")
]
OfWords = Annotated[
    bool, typer.Option("--words", help="Print the words of the sheets, to begin a translation with (YAML).")
]
OfCommand = Annotated[
    str | None,
    typer.Argument(metavar="COMMAND", help="With --report: of this command, with its tables and columns."),
]


@command
def schema(of: OfCommand = None, report: OfReports = False, words: OfWords = False) -> None:
    """Print the JSON Schema of scenario files, so that an editor checks and completes them."""
    if words:
        typer.echo(template(), nl=False)
        return
    if of is not None and not report:
        raise StudyError(f"for the report of a command: linesim schema --report {of}")
    put_json(report_schema(of) if report else scenario_schema())
