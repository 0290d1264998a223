"""``linesim history``: operation by operation, where the error of a feature came from."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import FeatureLine, FeatureName, Local, OnePolicy, ScenarioFile
from linesim.cli.output import announce_compiling
from linesim.cli.reports import ReportOutlet
from linesim.report.page.history_page import history_page
from linesim.report.terminal.history import history_text
from linesim.routing import HistoryStudy
from linesim.works import load_works

__all__ = ["history"]

Of = Annotated[
    str, typer.Option("--of", metavar="WHAT", help="size, position, tilt (squareness, parallelism) or form.")
]


@command
def history(
    file: ScenarioFile,
    feature: FeatureName,
    asked: Local,
    out: ReportOutlet,
    line: FeatureLine = None,
    policy: OnePolicy = None,
    of: Of = "size",
) -> None:
    """Tell the life history of a feature: how much of its error each cut and source has brought."""
    works = load_works(file)
    out.check("history", "totals", "arising", "surface")
    announce_compiling()
    study = HistoryStudy(works, feature, line, policy, asked.options(), of)
    answer, _ = last_step(study.steps(), "following the parts", not out.as_json)
    out.put_answer(answer, works, history_text, history_page)
