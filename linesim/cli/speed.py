"""``linesim speed``: cheapest and fastest speed and feed of a cut, and what the line makes of them."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.options import FeatureLine, OnePolicy, ScenarioFile, StudyAsked
from linesim.cli.output import Outlet
from linesim.report.terminal.speed import speed_text
from linesim.routing import CutSpeedStudy
from linesim.works import load_works

__all__ = ["speed"]

CutName = Annotated[str, typer.Option("--cut", metavar="NAME", help='The cut, or "Op 60 / rough".', show_default=False)]
Slowest = Annotated[float, typer.Option("--slowest", metavar="X", help="Least speed and feed, times those that stand.")]
Fastest = Annotated[
    float, typer.Option("--fastest", metavar="X", help="Greatest speed and feed, times those that stand.")
]


@command
def speed(
    file: ScenarioFile,
    cut: CutName,
    asked: StudyAsked,
    out: Outlet,
    line: FeatureLine = None,
    policy: OnePolicy = None,
    slowest: Slowest = 0.5,
    fastest: Fastest = 1.6,
) -> None:
    """Find the economic speed and feed of a cut, on paper and in the line."""
    works = load_works(file)
    out.check("speeds", "line")
    study = CutSpeedStudy(works, cut, line, policy, (slowest, fastest), asked.options())
    out.put_answer(answered(study, works, asked, out, "running at each speed"), works, speed_text)
