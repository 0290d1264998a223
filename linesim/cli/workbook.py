"""``linesim workbook``: a scenario as a workbook for a spreadsheet program, and back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.command import command
from linesim.cli.options import Force
from linesim.errors import StudyError
from linesim.report.files.whole import write_bytes
from linesim.works import Works, load_works, to_yaml
from linesim.works.book.writing import empty_workbook, to_workbook
from linesim.works.kinds import WORKBOOK
from linesim.works.shop.empty import empty_routing_sheet

__all__ = ["workbook"]

From = Annotated[
    Path,
    typer.Argument(
        metavar="[SCENARIO]",
        help="Scenario to write: YAML, a workbook, or a routing sheet. Left out, an empty workbook is written.",
        show_default=False,
    ),
]
To = Annotated[
    Path | None,
    typer.Argument(metavar="FILE", help="What to write: my-line.xlsx, or my-line.yaml.", show_default=False),
]
Inch = Annotated[bool, typer.Option("--inch", help="Write inches, thousandths, feet per minute, horsepower.")]
Sheet = Annotated[
    bool, typer.Option("--routing-sheet", help="Write an empty routing sheet of seven columns, with a worked row.")
]

_TEXTS = (".yaml", ".yml")


@command
def workbook(scenario: From, file: To = None, inch: Inch = False, sheet: Sheet = False, force: Force = False) -> None:
    """Write a workbook or a routing sheet to fill in, a scenario as a workbook, or a workbook as a file."""
    target = scenario if file is None else file
    if sheet and (file is not None or target.suffix.lower() != WORKBOOK):
        raise StudyError("--routing-sheet writes an empty one; one name such as my-part.xlsx was expected")
    if target.suffix.lower() not in (WORKBOOK, *_TEXTS):
        raise StudyError(f"{target}: a name such as my-line.xlsx, or my-line.yaml, was expected")
    works = None if file is None else load_works(scenario)
    if target.exists() and not force:
        raise StudyError(f"{target} lies there already; name another file, or add --force to overwrite it")
    if works is None and target.suffix.lower() in _TEXTS:
        raise StudyError(f"{target}: name the workbook first, then the file to write")
    write_bytes(target, empty_routing_sheet() if sheet else _content(works, target, inch))
    what = "An empty routing sheet" if sheet else "An empty workbook" if works is None else works.name
    typer.echo(f"{what}: written to {target}", err=True)


def _content(works: Works | None, target: Path, is_inch: bool) -> bytes:
    """What stands in the file."""
    if works is None:
        return empty_workbook(is_inch)
    return to_yaml(works).encode() if target.suffix.lower() in _TEXTS else to_workbook(works, is_inch)
