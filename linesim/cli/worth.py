"""``linesim worth``: what a minute is worth at each operation."""

from __future__ import annotations

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, ScenarioFile, StudyAsked
from linesim.cli.reports import ReportOutlet
from linesim.report.page.worth_page import worth_page
from linesim.report.terminal.worth import worth_text
from linesim.study.questions.worth import WorthStudy
from linesim.works import load_works

__all__ = ["worth"]


@command
def worth(file: ScenarioFile, asked: StudyAsked, out: ReportOutlet, policy: OnePolicy = None) -> None:
    """Price one minute an hour less stopped at each operation: the value of a bottleneck minute."""
    works = load_works(file)
    out.check("worth")
    answer = answered(WorthStudy(works, policy, asked.options()), works, asked, out, "pricing a minute")
    out.put_answer(answer, works, worth_text, worth_page)
