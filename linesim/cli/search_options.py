"""Options that the searches share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["Confidence", "Minutes", "Write"]

Confidence = Annotated[float, typer.Option("--confidence", metavar="SHARE", help="Confidence of the intervals.")]
Minutes = Annotated[
    float | None,
    typer.Option("--minutes", metavar="N", help="End after so many minutes with the best so far.", show_default=False),
]
Write = Annotated[
    Path | None,
    typer.Option("--write", metavar="FILE", help="Write a scenario that extends FILE with what was found."),
]
