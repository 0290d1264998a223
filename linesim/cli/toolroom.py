"""``linesim toolroom``: what the coming weeks ask of the tool room."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import Local, OnePolicy, ScenarioFile
from linesim.cli.output import PageOutlet, announce_compiling
from linesim.cli.papers import Paper
from linesim.report.page.toolroom_page import toolroom_page
from linesim.report.terminal.toolroom import toolroom_text
from linesim.study.toolroom.study import ToolRoomStudy
from linesim.works import load_works

__all__ = ["toolroom"]

Weeks = Annotated[int, typer.Option("--weeks", metavar="N", help="Weeks of the plan.")]


@command
def toolroom(
    file: ScenarioFile, asked: Local, out: PageOutlet, on_paper: Paper, policy: OnePolicy = None, weeks: Weeks = 8
) -> None:
    """Plan the tool room by week: regrinds, grinder hours, sets in circulation, orders and when, cost."""
    works = load_works(file)
    out.check("weeks", "kinds", "sets", "orders")
    on_paper.check(out.force)
    announce_compiling("fast")
    study = ToolRoomStudy(works, policy, weeks, asked.options())
    answer, _ = last_step(study.steps(), "running the coming weeks", not out.as_json)

    @on_paper.in_words
    def page() -> str:
        return toolroom_page(answer, date.today(), on_paper.paper)  # noqa: DTZ011 - the day of whoever asks

    on_paper.put(page, out.force)
    out.put_answer(answer, works, on_paper.in_words(toolroom_text), lambda *_: page())
