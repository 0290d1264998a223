"""``linesim advise``: what to change first, in order of money."""

from __future__ import annotations

from linesim.cli.carrying import answered
from linesim.cli.command import command
from linesim.cli.options import ScenarioFile, StudyAsked
from linesim.cli.output import Outlet
from linesim.cli.papers import WordsFile, in_words, tell_missing
from linesim.report.terminal.advice import advice_text
from linesim.study.doubt.advised import AdvisedStudy
from linesim.works import load_works

__all__ = ["advise"]


@command
def advise(file: ScenarioFile, asked: StudyAsked, out: Outlet, words: WordsFile = None) -> None:
    """Say what to change first: the changes to today's practice that bring most a month, one by one and together."""
    works = load_works(file)
    out.check("actions", "judged", "figures", "items")
    tell_missing(words)
    answer = answered(
        AdvisedStudy(works, options=asked.options()), works, asked, out, "looking for what to change first"
    )
    out.put_answer(answer, works, in_words(words, advice_text))
