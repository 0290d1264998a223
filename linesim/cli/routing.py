"""``linesim routing``: variants of a routing against each other, and the sheet that justifies one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.guard import FOUND_PROBLEM
from linesim.cli.options import ScenarioFile, StudyAsked
from linesim.cli.output import Outlet, command_line
from linesim.cli.papers import Paper
from linesim.report.page.justification import Sheets
from linesim.report.page.justification_html import justification_page
from linesim.report.terminal.routing import routing_text
from linesim.routing import RoutingStudy, load_variants
from linesim.routing.why import accounts_of, warnings_of
from linesim.works import load_works

__all__ = ["routing"]

VariantFile = Annotated[
    Path, typer.Option("--variants", metavar="FILE", help="File of variants (YAML).", show_default=False)
]
SheetPage = Annotated[Path | None, typer.Option("--html", metavar="FILE", help="Write the sheet as one HTML page.")]
SheetBook = Annotated[
    Path | None, typer.Option("--excel", metavar="FILE", help="Write the sheet as an Excel workbook.")
]
Units = Annotated[str, typer.Option("--units", metavar="NAME", help="metric or inch, on the sheet.")]
Currency = Annotated[str | None, typer.Option("--currency", metavar="NAME", help="Currency of the sheet.")]
Rate = Annotated[float, typer.Option("--rate", metavar="X", help="That currency for one of the scenario's.")]


@dataclass(frozen=True)
class SheetAsked:
    """Where the sheet goes beside paper, and for which reader."""

    html: SheetPage = None
    excel: SheetBook = None
    units: Units = "metric"
    currency: Currency = None
    rate: Rate = 1.0


@command
def routing(
    file: ScenarioFile, variants: VariantFile, asked: StudyAsked, sheet: SheetAsked, on_paper: Paper, out: Outlet
) -> None:
    """Set variants of a routing against each other: quality, minutes, money, the line, what would change it."""
    works = load_works(file)
    study = RoutingStudy(load_variants(variants, works), options=asked.options())
    out.check("variants", "content", "capability")
    on_paper.check(out.force)
    sheets = Sheets(sheet.html, sheet.excel, on_paper.paper, sheet.units, sheet.currency, sheet.rate, out.force)
    answer = answered(study, works, asked, out, "running the variants")
    if sheets.is_wanted or on_paper.pdf is not None:
        content = sheets.content(answer, accounts_of(answer), warnings_of(answer), command_line())
        for written in on_paper.in_words(sheets.write)(content):
            typer.echo(f"Sheet written to {written}", err=True)
        on_paper.put(on_paper.in_words(lambda: justification_page(content, on_paper.paper)), out.force)
    out.put_answer(answer, works, routing_text)
    if any(built.sample.problems for built in answer.tried):
        raise typer.Exit(FOUND_PROBLEM)
