"""``linesim schema``: the JSON Schema of scenario files, for editors; and that of reports."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.command import command
from linesim.cli.output import put_json
from linesim.report.files.report_schema import report_schema
from linesim.works import scenario_schema

__all__ = ["schema"]

OfReports = Annotated[
    bool, typer.Option("--report", help="Print that of reports: of --json, and of the data in a page.")
]


@command
def schema(report: OfReports = False) -> None:
    """Print the JSON Schema of scenario files, so that an editor checks and completes them."""
    put_json(report_schema() if report else scenario_schema())
