"""``linesim shift``: the coming shift, from what is on the machines now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.command import command
from linesim.cli.options import OnePolicy, Replications, ScenarioFile, Seed
from linesim.cli.output import PageOutlet, announce_compiling
from linesim.cli.papers import Paper, Units, system_of
from linesim.cli.progress import Bar
from linesim.report.files.standing_file import check_standing, write_standing
from linesim.report.page.coming_page import coming_page
from linesim.report.terminal.coming import coming_text
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.reading import rows_from_file
from linesim.study.coming.standing import as_table, standing_rows
from linesim.study.coming.study import ForecastStudy
from linesim.study.options import StudyOptions
from linesim.words import counted
from linesim.works import Works, load_works

__all__ = ["shift"]

Shifts = Annotated[int, typer.Option("--shifts", metavar="N", help="How many shifts are foretold.")]
Leave = Annotated[
    str | None,
    typer.Option(
        "--leave", metavar="CUTTER", help="What if it is left in until the end; also OPERATION / CUTTER.",
        show_default=False,
    ),
]  # fmt: skip
State = Annotated[
    Path | None,
    typer.Option(
        "--from", metavar="FILE", help="How the line stands: a table (.csv, .xlsx), or an earlier forecast (.json).",
        show_default=False,
    ),
]  # fmt: skip
Template = Annotated[
    Path | None,
    typer.Option("--template", metavar="FILE", help="Write the table for this line, to fill in, and end."),
]
StateOut = Annotated[
    Path | None,
    typer.Option("--state-out", metavar="FILE", help="Write how the line stands at the end, to carry on from."),
]
First = Annotated[str, typer.Option("--clock", metavar="HH:MM", help="When the first shift of a day begins.")]
Day = Annotated[
    str | None,
    typer.Option(
        "--day", metavar="DAY", help="Day of the week with which it begins; unless given, monday.", show_default=False
    ),
]
OfDay = Annotated[
    int | None,
    typer.Option(
        "--shift", metavar="N", help="Shift of that day; unless given, that of --at, or 1.", show_default=False
    ),
]
At = Annotated[
    str | None,
    typer.Option("--at", metavar="HH:MM", help="The time it is; unless given, the shift's start.", show_default=False),
]


@dataclass(frozen=True)
class When:
    """Which shifts are foretold."""

    shifts: Shifts = 1
    clock: First = "06:00"
    day: Day = None
    shift: OfDay = None
    at: At = None


@dataclass(frozen=True)
class Tables:
    """How the line stands, in and out."""

    state: State = None
    template: Template = None
    state_out: StateOut = None

    def check(self, is_forced: bool) -> None:
        """See to it that what is wanted can be written."""
        for path in (self.template, self.state_out):
            if path is not None:
                check_standing(path, is_forced)


@command
def shift(
    file: ScenarioFile,
    out: PageOutlet,
    when: When,
    stands: Tables,
    paper: Paper,
    units: Units = "metric",
    policy: OnePolicy = None,
    leave: Leave = None,
    seed: Seed = None,
    replications: Replications = None,
) -> None:
    """Foretell the coming shift from how the line stands now: what is due when, who and what is needed."""
    works = load_works(file)
    stands.check(out.force)
    if stands.template is not None:
        _write_template(works, policy, stands.template)
        return
    out.check("due", "output", "sets", "people", "clashes", "grouping", "standstill", "state", "state_at_end")
    paper.check(out.force)
    system = system_of(units)
    rows = None if stands.state is None else rows_from_file(stands.state, works)
    options = StudyOptions(replications=replications, seed=seed)
    moment = (when.clock, when.day, when.shift, when.at)
    study = ForecastStudy(works, policy, rows, when.shifts, leave, *moment, options)
    announce_compiling("fast")
    with Bar("running", not out.as_json) as bar:
        forecast = study.run(bar if bar.is_wanted else None)
    if stands.state_out is not None:
        write_standing(stands.state_out, as_table(forecast.at_end))
        typer.echo(f"How the line stands at the end written to {stands.state_out}", err=True)

    @paper.in_words
    def page(of: Forecast, _: str = "") -> str:
        return coming_page(of, date.today(), paper.paper, system)  # noqa: DTZ011

    paper.put(lambda: page(forecast), out.force)
    out.put_answer(forecast, works, paper.in_words(coming_text), page)


def _write_template(works: Works, policy: str | None, path: Path) -> None:
    rows = standing_rows(works, policy)
    write_standing(path, as_table(rows))
    typer.echo(
        f"{counted(len(rows), 'row', 'rows')} to fill in written to {path}; then: linesim shift FILE --from {path}",
        err=True,
    )
