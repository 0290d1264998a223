"""``linesim compare``: policies against each other, with intervals."""

from __future__ import annotations

from typing import Annotated

import typer
from rich.console import Group

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.guard import FOUND_PROBLEM
from linesim.cli.options import ScenarioFile, StudyAsked
from linesim.cli.output import command_line
from linesim.cli.reports import ReportOutlet
from linesim.cli.spans import Ending
from linesim.cli.still_right import StillRight, still_right_lines
from linesim.report.terminal.compare import comparison_text
from linesim.report.theme.grid import plain
from linesim.study import Comparison, PolicyStudy
from linesim.works import Works, load_works

__all__ = ["compare"]

Policies = Annotated[
    list[str] | None,
    typer.Option("--policy", metavar="NAME", help="Policy to compare; say it again for each. All unless given."),
]


@command
def compare(
    file: ScenarioFile,
    asked: StudyAsked,
    ending: Ending,
    out: ReportOutlet,
    policy: Policies = None,
    still_right: StillRight = False,
) -> None:
    """Compare tool-change policies: replications with common random numbers, intervals, paired differences."""
    works = load_works(file)
    out.check("policies", "differences", "replications", "ledger", "times", "details", "findings")
    study = PolicyStudy(works, policy, asked.options()).but(**ending.changes(works, asked.replications))
    answer = answered(study, works, asked, out, "comparing")
    more = _still_right(answer, asked, out) if still_right else []
    out.put(
        answer.tables,
        answer.provenance,
        lambda: answer.as_dict() | ({"still_right": more} if more else {}),
        lambda: Group(comparison_text(answer), *map(plain, more)),
        lambda: _page(answer, works, more),
        works=works,
    )
    if bool(answer.findings["is_problem"].any()):
        raise typer.Exit(FOUND_PROBLEM)


def _page(answer: Comparison, works: Works, more: list[str]) -> str:
    """The report, as it is written."""
    from linesim.desk import desk_figures  # noqa: PLC0415 - as below
    from linesim.report.page.comparison_page import comparison_page  # noqa: PLC0415 - slow to load, and seldom asked for

    return comparison_page(answer, desk_figures(works), command_line(), more)


def _still_right(answer: Comparison, asked: StudyAsked, out: ReportOutlet) -> list[str]:
    """How far the best policy stays right; beside the others that were compared."""
    best = answer.best.policy
    if best is None:
        return []
    return still_right_lines(answer.works, best, answer.tables["policies"]["policy"].to_list(), asked, out)
