"""``linesim trial``: one set's interval changed for some weeks; foretold beforehand, answered afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import Local, OnePolicy, ScenarioFile
from linesim.cli.output import PageOutlet, announce_compiling
from linesim.cli.papers import Paper, day_from
from linesim.cli.prove import mapped_records
from linesim.errors import StudyError
from linesim.report.page.trial_page import answered_page, trial_page
from linesim.report.terminal.trial import answered_text, trial_text
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.study import USUAL_WEEKS, TrialStudy
from linesim.works import load_works

__all__ = ["trial"]

Key = Annotated[
    str, typer.Option("--set", metavar="NAME", help='The cutter set: "Op 60 / finish blade".', show_default=False)
]
Interval = Annotated[
    int, typer.Option("--interval", metavar="PARTS", help="Parts after which it is changed in the trial.")
]
Weeks = Annotated[int, typer.Option("--weeks", metavar="N", help="Weeks of the trial.")]
PastLimit = Annotated[bool, typer.Option("--past-limit", help="Let the interval go past the wear limit.")]
Answer = Annotated[
    list[Path] | None,
    typer.Option(
        "--answer",
        metavar="RECORDS",
        help="Mapping of the trial's records (YAML): was it as foretold? May be repeated.",
    ),
]
Since = Annotated[
    str, typer.Option("--since", metavar="DATE", help="First day of the trial in the records.", show_default=False)
]


@dataclass(frozen=True)
class Asked:
    """What is changed, for how long, and what is read back."""

    set: Key
    interval: Interval
    weeks: Weeks = USUAL_WEEKS
    past_limit: PastLimit = False
    answer: Answer = None
    since: Since = ""


@command
def trial(
    file: ScenarioFile, asked: Asked, local: Local, out: PageOutlet, on_paper: Paper, policy: OnePolicy = None
) -> None:
    """Foretell a trial of one set's interval: what to expect, when to stop, when it is seen; then answer it."""
    works, since = load_works(file), day_from("--since", asked.since)
    if since is not None and not asked.answer:
        raise StudyError("--since says when the records begin; the records are named after --answer")
    records = mapped_records(asked.answer) if asked.answer else None
    out.check(*(("quantities", "weeks") if records is None else ("answered", "aside")))
    on_paper.check(out.force)
    announce_compiling("fast")
    study = TrialStudy(works, asked.set, asked.interval, policy, asked.weeks, asked.past_limit, local.options())
    foretold, _ = last_step(study.steps(), "running the weeks of the trial", not out.as_json)
    today, paper = date.today(), on_paper.paper  # noqa: DTZ011 - the day of whoever asks
    if records is None:
        page = on_paper.in_words(lambda *_: trial_page(foretold, today, paper))
        on_paper.put(page, out.force)
        out.put_answer(foretold, works, on_paper.in_words(trial_text), page)
        return
    answered = TrialAnswered(foretold, records, since)
    page = on_paper.in_words(lambda *_: answered_page(answered, today, paper))
    on_paper.put(page, out.force)
    out.put_answer(answered, None, on_paper.in_words(answered_text), page)
