"""``linesim drivers``: what drives the result, and so what to measure first."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.carrying import end_early, searched
from linesim.cli.command import command
from linesim.cli.options import Minutes, OnePolicy, ScenarioFile, StudyAsked
from linesim.cli.reports import ReportOutlet
from linesim.report.page.search_pages import drivers_page
from linesim.report.terminal.search import drivers_text
from linesim.study.search import DriverStudy
from linesim.study.search.sensitivity.inputs import parse_range
from linesim.works import load_works

__all__ = ["drivers"]

MeasureName = Annotated[
    str | None,
    typer.Option("--measure", metavar="NAME", help="What is looked at; contribution_per_hour if parts have a worth."),
]
Ranges = Annotated[
    list[str] | None,
    typer.Option("--range", metavar="NAME=LOW:HIGH", help='Own range, such as "life of finish blade=0.7:1.5".'),
]
Together = Annotated[bool, typer.Option("--together", help="Take inputs of a kind as one.")]
Trajectories = Annotated[
    int,
    typer.Option("--trajectories", metavar="N", help="Screen all inputs at once after Morris; 0 for no screening."),
]


@command
def drivers(
    file: ScenarioFile,
    asked: StudyAsked,
    out: ReportOutlet,
    policy: OnePolicy = None,
    measure: MeasureName = None,
    bounds: Ranges = None,
    together: Together = False,
    trajectories: Trajectories = 0,
    minutes: Minutes = None,
) -> None:
    """What drives the result: which of the inputs that a shop knows least to measure first."""
    works = load_works(file)
    out.check("one_at_a_time", "screening")
    ranges = dict(map(parse_range, bounds or ()))
    study = DriverStudy(works, policy, measure, ranges, together, trajectories, minutes, asked.options())
    answer, was_stopped = searched(study, works, asked, out, "running")
    out.put_answer(answer, works, drivers_text, drivers_page)
    end_early(was_stopped)
