"""The line "still right down to ..." beneath an answer: how far it holds where lives are other than assumed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated

import typer

from linesim.cli.carrying import last_step
from linesim.cli.options import StudyAsked
from linesim.cli.output import Outlet
from linesim.errors import StudyError
from linesim.study import Crew
from linesim.words import keep
from linesim.works import Works

__all__ = ["StillRight", "still_right_lines"]

StillRight = Annotated[
    bool,
    typer.Option("--still-right", help="Say too how far the best stays right where lives are other than assumed."),
]


def still_right_lines(works: Works, policy: str, among: Sequence[str], asked: StudyAsked, out: Outlet) -> list[str]:
    """How far a policy stays right beside others; where that cannot be asked, why not.

    Parameters
    ----------
    works : Works
        Has all the policies.
    policy : str
        Which is asked about.
    among : sequence of str
        What else might be chosen.
    asked : StudyAsked
        Seed, confidence, engine and rules as given; runs are as many as the question needs.
    out : Outlet
        Beside JSON there is no bar.
    """
    from linesim.study.doubt.study import RegretStudy  # noqa: PLC0415 - loads as much as the command, and seldom asked for

    options = replace(asked.options(Crew(asked.workers)), replications=None)
    study = RegretStudy(works, policy, tuple(among), is_short=True, options=options)
    try:
        step, _ = last_step(study.steps(), "looking how far it stays right", not out.as_json)
    except StudyError as error:
        return [keep("regret.not_asked", why=str(error))]
    return list(step.sentences)
