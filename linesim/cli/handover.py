"""``linesim handover``: indicators, change intervals and data of the cutters for other systems."""

from __future__ import annotations

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import Local, OnePolicy, ScenarioFile
from linesim.cli.output import Outlet, announce_compiling
from linesim.report.terminal.handover import handover_text
from linesim.study.handover.study import HandoverStudy
from linesim.works import load_works

__all__ = ["handover"]


@command
def handover(file: ScenarioFile, asked: Local, out: Outlet, policy: OnePolicy = None) -> None:
    """Hand over to other systems: ISO 22400-2 indicators, change intervals, data of the cutters."""
    works = load_works(file)
    out.check("indicators", "not_given", "intervals", "tools", "properties")
    announce_compiling("fast")
    study = HandoverStudy(works, policy, asked.options())
    answer, _ = last_step(study.steps(), "running the policy", not out.as_json)
    out.put_answer(answer, works, handover_text)
