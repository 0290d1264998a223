"""``linesim frontier``: output against quality loss over a grid of rules and intervals."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.options import ScenarioFile, StudyAsked
from linesim.cli.reports import ReportOutlet
from linesim.report.page.frontier_page import frontier_page
from linesim.report.terminal.frontier import frontier_text
from linesim.study.questions.frontier import FrontierStudy
from linesim.study.questions.frontier_grid import USUAL_KINDS, grid_of
from linesim.works import load_works

__all__ = ["frontier"]

Kinds = Annotated[
    list[str] | None,
    typer.Option(
        "--kind",
        metavar="KIND",
        help="Kind of rule: life, grouped, parts, check, shift, run out, aimed or half corrected; or what else is "
        "changed: overhauls, batches, sequences or people; say it again for each. Life, grouped and run out unless "
        "given.",
    ),
]
Shares = Annotated[
    list[float] | None,
    typer.Option(
        "--share",
        metavar="SHARE",
        help="Interval as a share of life; say it again for each. 0.4 to 1.2 at first.",
    ),
]
Sets = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="NAME", help="Cutter set that the grid changes; all unless given."),
]
Base = Annotated[
    str | None,
    typer.Option("--base", metavar="NAME", help="Policy that the other sets keep to; today's practice unless given."),
]
GridOnly = Annotated[bool, typer.Option("--grid-only", help="Leave out the scenario's own policies.")]


@command
def frontier(
    file: ScenarioFile,
    asked: StudyAsked,
    out: ReportOutlet,
    kind: Kinds = None,
    share: Shares = None,
    cutter: Sets = None,
    base: Base = None,
    without_own: GridOnly = False,
) -> None:
    """Set output against quality loss for many rules and intervals: what is dominated, the frontier, the knee."""
    works = load_works(file)
    out.check("policies")
    grid = grid_of(works, kind or USUAL_KINDS, share, cutter, base, not without_own)
    answer = answered(FrontierStudy(grid, asked.options()), works, asked, out, "running the grid")
    out.put_answer(answer, works, frontier_text, frontier_page)
