"""``linesim sets``: how many cutter sets, tool grinders and setters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer

from linesim.cli.carrying import end_early, searched
from linesim.cli.command import command
from linesim.cli.options import Minutes, OnePolicy, ScenarioFile, StudyAsked, Write
from linesim.cli.reports import ReportOutlet
from linesim.cli.writing import Overlay
from linesim.report.page.search_pages import circulation_page
from linesim.report.terminal.search import circulation_text
from linesim.study.search import Holding, NumberStudy
from linesim.works import load_works

__all__ = ["sets"]

SetShare = Annotated[
    float,
    typer.Option("--set-share", metavar="SHARE", help="Write-off and interest of a set, share of its price a year."),
]
GrinderRate = Annotated[
    float | None,
    typer.Option("--grinder-rate", metavar="MONEY", help="One more grinder for an hour; the crib's rate unless given."),
]
IdleShare = Annotated[
    float,
    typer.Option("--idle-share", metavar="SHARE", help="Share of the wage that one more setter costs while idle."),
]
Runs = Annotated[int, typer.Option("--runs", metavar="N", help="Most runs to spend.")]
Fresh = Annotated[int, typer.Option("--fresh", metavar="N", help="Fresh replications of the verdict.")]


@dataclass(frozen=True)
class Costs:
    """What having things costs."""

    set_share: SetShare = 0.25
    grinder_rate: GrinderRate = None
    idle_share: IdleShare = 1.0


@command
def sets(
    file: ScenarioFile,
    asked: StudyAsked,
    costs: Costs,
    out: ReportOutlet,
    policy: OnePolicy = None,
    runs: Runs = 6000,
    fresh: Fresh = 24,
    minutes: Minutes = None,
    write: Write = None,
) -> None:
    """How many sets of each cutter, tool grinders and setters, so that waiting costs less than having them."""
    works = load_works(file)
    out.check("numbers")
    overlay = Overlay(write, file, out.force)
    holding = Holding(costs.set_share, costs.grinder_rate, costs.idle_share)
    study = NumberStudy(works, policy, holding, fresh, runs, minutes, asked.options())
    answer, was_stopped = searched(study, works, asked, out, "searching")
    overlay.write(answer.overlay_yaml)
    out.put_answer(answer, works, circulation_text, circulation_page)
    end_early(was_stopped)
