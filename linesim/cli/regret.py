"""``linesim regret``: how far a policy stays right, and what each loses, where lives are other than assumed."""

from __future__ import annotations

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, ScenarioFile, StudyAsked
from linesim.cli.reports import ReportOutlet
from linesim.report.page.regret_page import regret_page
from linesim.report.terminal.regret import regret_text
from linesim.study.doubt.study import RegretStudy
from linesim.works import load_works

__all__ = ["regret"]


@command
def regret(file: ScenarioFile, asked: StudyAsked, out: ReportOutlet, policy: OnePolicy = None) -> None:
    """Say how far a policy stays right where lives are other than assumed, what each loses, what to measure first."""
    works = load_works(file)
    out.check("still_right", "losses", "measure")
    study = RegretStudy(works, policy, options=asked.options())
    out.put_answer(answered(study, works, asked, out, "running"), works, regret_text, regret_page)
