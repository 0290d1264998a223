"""``linesim intervals``: the best intervals of all sets together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer
from rich.console import Group

from linesim.cli.carrying import end_early, searched
from linesim.cli.command import command
from linesim.cli.options import Minutes, OnePolicy, ScenarioFile, StudyAsked, Write
from linesim.cli.output import command_line
from linesim.cli.reports import ReportOutlet
from linesim.cli.still_right import StillRight, still_right_lines
from linesim.cli.writing import Overlay
from linesim.report.page.search_pages import intervals_page
from linesim.report.terminal.search import intervals_text
from linesim.report.theme.grid import plain
from linesim.study.search import BestIntervals, IntervalStudy, SearchPlan, goal_of
from linesim.study.search.common.budget import USUAL_PLAN
from linesim.study.search.common.set_at import LONGEST_LIVES
from linesim.study.search.intervals.best import BEST
from linesim.works import load_works

__all__ = ["intervals"]


GoalName = Annotated[
    str | None,
    typer.Option("--goal", metavar="NAME", help="cost, contribution or output; by the worth of parts unless given."),
]
LossCap = Annotated[
    float | None,
    typer.Option("--loss-cap", metavar="MONEY", help="Greatest quality loss per good part.", show_default=False),
]
ScrapCap = Annotated[
    float | None,
    typer.Option("--scrap-cap", metavar="SHARE", help="Greatest share of scrap, such as 0.01.", show_default=False),
]
SettersCap = Annotated[
    float | None,
    typer.Option("--setters-cap", metavar="HOURS", help="Most that all setters work in a shift.", show_default=False),
]
By = Annotated[str, typer.Option("--by", metavar="WAY", help="Write intervals in parts, or as shares of life.")]
Tolerance = Annotated[float, typer.Option("--tolerance", metavar="SHARE", help="What a flat range may cost.")]
MostLives = Annotated[
    float,
    typer.Option(
        "--most-lives", metavar="N", help="Look at no interval beyond so many lives of an edge; 1 is its wear limit."
    ),
]
PastLimit = Annotated[
    bool, typer.Option("--past-limit", help="Look past the wear limit too, up to four lives of an edge.")
]
Levers = Annotated[
    bool,
    typer.Option("--levers/--no-levers", help="Look for other rules, aims, corrections, batches and overhauls too."),
]
Ranges = Annotated[
    bool, typer.Option("--ranges", help="Find how far each interval may be moved as well, once the verdict stands.")
]
OverLives = Annotated[
    bool, typer.Option("--over-lives", help="Look for what is best over all lives that edges may have.")
]
Runs = Annotated[int, typer.Option("--runs", metavar="N", help="Runs to spend, about.")]
Fresh = Annotated[int, typer.Option("--fresh", metavar="N", help="Fresh replications of the verdict.")]


@dataclass(frozen=True)
class Spending:
    """How much the search may spend, and how intervals are written."""

    by: By = "parts"
    tolerance: Tolerance = USUAL_PLAN.tolerance
    most_lives: MostLives = USUAL_PLAN.most_lives
    past_limit: PastLimit = False
    levers: Levers = True
    ranges: Ranges = False
    runs: Runs = USUAL_PLAN.runs
    fresh: Fresh = USUAL_PLAN.fresh
    over_lives: OverLives = False
    minutes: Minutes = None
    still_right: StillRight = False

    def plan(self) -> SearchPlan:
        """The same, as the search takes it."""
        return SearchPlan(
            self.runs, fresh=self.fresh, by=self.by, levers=self.levers, tolerance=self.tolerance,
            ranges=self.ranges, most_lives=LONGEST_LIVES if self.past_limit else self.most_lives,
            over_lives=self.over_lives, minutes=self.minutes,
        )  # fmt: skip


@command
def intervals(
    file: ScenarioFile,
    asked: StudyAsked,
    spending: Spending,
    out: ReportOutlet,
    goal: GoalName = None,
    loss_cap: LossCap = None,
    scrap_cap: ScrapCap = None,
    setters_cap: SettersCap = None,
    policy: OnePolicy = None,
    write: Write = None,
) -> None:
    """Look for the best intervals of all cutter sets together, each with the range in which it hardly matters."""
    works = load_works(file)
    out.check("intervals", "comparison", "tries", "path")
    overlay = Overlay(write, file, out.force)
    sought = goal_of(works, goal, loss_cap, scrap_cap, setters_cap)
    study = IntervalStudy(works, sought, policy, spending.plan(), asked.options())
    answer, was_stopped = searched(study, works, asked, out, "searching")
    overlay.write(answer.overlay_yaml)
    more = _still_right(answer, asked, out) if spending.still_right and not was_stopped else []
    out.put(
        answer.tables,
        answer.provenance,
        lambda: answer.as_dict() | ({"still_right": more} if more else {}),
        lambda: Group(intervals_text(answer), *map(plain, more)),
        lambda: intervals_page(answer, command_line(), more),
        works=works,
        summed=answer.summed,
    )
    end_early(was_stopped)


def _still_right(answer: BestIntervals, asked: StudyAsked, out: ReportOutlet) -> list[str]:
    """How far the intervals found stay right, beside the policies of the scenario."""
    works = answer.works.model_copy(update={"policies": {**answer.works.policies, BEST: answer.policy}})
    return still_right_lines(works, BEST, (), asked, out)
