"""``linesim practice``: what every practitioner knows, held against a works or the lines of the demo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, Seed
from linesim.cli.output import announce_compiling
from linesim.cli.reports import ReportOutlet
from linesim.errors import StudyError
from linesim.report.page.practice_page import practice_page
from linesim.report.terminal.practice import practice_text
from linesim.study import StudyOptions
from linesim.study.practice import Practice, Practices, PracticeStudy
from linesim.works import load_works

__all__ = ["practice"]

File = Annotated[
    Path | None,
    typer.Argument(
        metavar="[FILE]", help="Scenario file (YAML); every line of the demo unless given.", show_default=False
    ),
]
Draws = Annotated[int, typer.Option("--draws", metavar="N", help="How often the assumed figures are drawn.")]
Letters = Annotated[
    str, typer.Option("--claims", metavar="LETTERS", help="Only the claims of these letters.", show_default=False)
]

_FOLDER = Path("scenarios")
_LINES = "*-line.yaml"


@command
def practice(
    out: ReportOutlet,
    file: File = None,
    draws: Draws = 200,
    claims: Letters = "",
    seed: Seed = None,
    policy: OnePolicy = None,
) -> None:
    """Hold what every practitioner knows against a works: how often each is so by the physics, and why not."""
    out.check("claims", "details")
    works = [load_works(path) for path in (_demo_lines() if file is None else [file])]
    announce_compiling("fast")
    answers: list[Practice] = []
    for one in works:
        study = PracticeStudy(one, policy, claims, StudyOptions(draws, seed))
        answers.append(last_step(study.steps(), one.name, not out.as_json)[0])
    out.put_answer(Practices(tuple(answers)), works[0] if len(works) == 1 else None, practice_text, practice_page)


def _demo_lines() -> list[Path]:
    """The lines of the demo, if they lie where the command is given."""
    files = sorted(_FOLDER.glob(_LINES))
    if not files:
        raise StudyError(
            f"there is no {_FOLDER / _LINES} here; name a scenario file, or go to the folder that holds {_FOLDER}"
        )
    return files
