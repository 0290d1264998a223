"""What to measure first, told after a run of a works that leans on typical figures."""

from __future__ import annotations

import typer

from linesim.cli.carrying import last_step
from linesim.desk.assumed_marks import assumed_by_marks
from linesim.study.options import StudyOptions
from linesim.study.search import DriverStudy
from linesim.study.search.sensitivity.first import worth_measuring
from linesim.works import Works

__all__ = ["tell_what_to_measure"]

_MINUTES = 0.5
_REPLICATIONS = 5


def tell_what_to_measure(works: Works, policy: str | None, engine: str) -> None:
    """Print the five figures that are most worth measuring, if any figure only stands in for the shop's own.

    Parameters
    ----------
    works : Works
        That was run.
    policy : str or None
        Under which.
    engine : {"fast", "simpy"}
        By which it is run.
    """
    count = len({(each.figure, each.used_for) for each in assumed_by_marks(works)})
    if not count:
        return
    options = StudyOptions.of(replications=_REPLICATIONS, engine=engine, workers=1)
    answer, _ = last_step(DriverStudy(works, policy, minutes=_MINUTES, options=options).steps(), "what to measure")
    typer.echo(f"{count} figures are assumed (linesim check lists them). Most worth measuring:")
    sentences = worth_measuring(answer)
    for number, text in enumerate(sentences, start=1):
        typer.echo(f"{number}. {text}")
    if not sentences:
        typer.echo("Nothing is significant after so few runs; linesim drivers takes more.")
