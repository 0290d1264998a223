"""``linesim compare``: policies against each other, with intervals."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.guard import FOUND_PROBLEM
from linesim.cli.options import ScenarioFile, StudyAsked
from linesim.cli.output import PageOutlet
from linesim.cli.spans import Ending
from linesim.desk import desk_figures
from linesim.report.page.comparison_page import comparison_page
from linesim.report.terminal.compare import comparison_text
from linesim.study import PolicyStudy
from linesim.works import load_works

__all__ = ["compare"]

Policies = Annotated[
    list[str] | None,
    typer.Option("--policy", metavar="NAME", help="Policy to compare; say it again for each. All unless given."),
]


@command
def compare(file: ScenarioFile, asked: StudyAsked, ending: Ending, out: PageOutlet, policy: Policies = None) -> None:
    """Compare tool-change policies: replications with common random numbers, intervals, paired differences."""
    works = load_works(file)
    out.check("policies", "differences", "replications", "ledger", "times", "details", "findings")
    study = PolicyStudy(works, policy, asked.options()).but(**ending.changes(works, asked.replications))
    answer = answered(study, works, asked, out, "comparing")
    out.put_answer(
        answer, works, comparison_text, lambda result, typed: comparison_page(result, desk_figures(works), typed)
    )
    if bool(answer.findings["is_problem"].any()):
        raise typer.Exit(FOUND_PROBLEM)
