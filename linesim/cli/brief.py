"""``linesim brief``: one page for whoever decides."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.options import ScenarioFile, StudyAsked
from linesim.cli.output import PageOutlet
from linesim.cli.papers import Paper
from linesim.errors import StudyError
from linesim.report.files.page_file import check_place
from linesim.report.files.whole import write_text
from linesim.report.page.brief_page import brief_page
from linesim.report.terminal.brief import brief_text
from linesim.study.advice.brief import Brief
from linesim.study.doubt.advised import AdvisedStudy
from linesim.works import load_works, to_yaml

__all__ = ["brief"]

Written = Annotated[
    Path | None,
    typer.Option("--write", metavar="FILE", help="Write the scenario with the proposal as a policy beside the others."),
]


@command
def brief(file: ScenarioFile, asked: StudyAsked, out: PageOutlet, on_paper: Paper, write: Written = None) -> None:
    """Brief whoever decides, on one page: what to change, what it brings and costs, the first week."""
    works = load_works(file)
    out.check("actions", "figures", "texts")
    on_paper.check(out.force)
    _check(write, out.force)
    study = AdvisedStudy(works, options=asked.options())
    answer = Brief(answered(study, works, asked, out, "looking for what to change first"))

    @on_paper.in_words
    def page() -> str:
        return brief_page(answer, date.today(), on_paper.paper)  # noqa: DTZ011 - the day of whoever asks

    if write is not None:
        write_text(write, to_yaml(answer.trial[0]))
        typer.echo(f"Scenario written to {write}", err=True)
    on_paper.put(page, out.force)
    out.put_answer(answer, works, on_paper.in_words(brief_text), lambda *_: page())


def _check(path: Path | None, is_forced: bool) -> None:
    """See to it that the scenario can be written."""
    if path is None:
        return
    check_place(path, "the scenario", "as-advised.yaml")
    if path.exists() and not is_forced:
        raise StudyError(f"{path} lies there already; name another file, or add --force to overwrite it")
