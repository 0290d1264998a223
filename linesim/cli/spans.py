"""How long a study runs and when it ends, as options of commands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer

from linesim.errors import StudyError
from linesim.study import BestKnown, HalfWidth
from linesim.study.options import SpanWanted, Until
from linesim.works import Works, changed

__all__ = ["Ending", "spans_of", "until_of"]

WarmUp = Annotated[
    str | None,
    typer.Option(
        "--warm-up",
        metavar="TIME",
        help='Not counted at the beginning: "2 days", or auto (MSER-5 on pilot runs). The scenario\'s unless given, '
        "and auto where it says nothing.",
        show_default=False,
    ),
]
Length = Annotated[
    str | None,
    typer.Option(
        "--length",
        metavar="TIME",
        help='Counted: "10 weeks", or auto (long enough for changes of every set). The scenario\'s unless given.',
        show_default=False,
    ),
]
Zone = Annotated[
    float | None,
    typer.Option(
        "--zone",
        metavar="MONEY",
        help="Go on until the best is known, if it leads by at least this much of what decides (money per hour).",
    ),
]
Width = Annotated[
    str | None,
    typer.Option(
        "--half-width",
        metavar="WIDTH",
        help='Go on until what decides is known so well: "5" (money per hour) or "2%".',
    ),
]
Most = Annotated[
    int, typer.Option("--most", metavar="N", help="Most runs of each policy, with --zone or --half-width.")
]
_FIRST = 10


@dataclass(frozen=True)
class Ending:
    """When a comparison ends, and how long its runs are."""

    zone: Zone = None
    half_width: Width = None
    most: Most = 200
    warm_up: WarmUp = None
    length: Length = None

    def changes(self, works: Works, replications: int | None) -> dict[str, SpanWanted | Until]:
        """The same as changes of a study's options."""
        warm_up, length = spans_of(works, self.warm_up, self.length)
        until = until_of(self.zone, self.half_width, replications, self.most)
        return {"warm_up": warm_up, "length": length, "until": until}


def spans_of(works: Works, warm_up: str | None, length: str | None) -> tuple[SpanWanted, SpanWanted]:
    """Warm-up and counted time as a study takes them.

    Parameters
    ----------
    works : Works
        For its calendar.
    warm_up, length : str or None
        As typed: a time with its unit, a number of minutes, "auto", or nothing.

    Returns
    -------
    (float, "auto" or None, float, "auto" or None)

    Raises
    ------
    ScenarioError
        A text is no length of worked time.
    """
    is_open = warm_up is None and "warm_up" not in works.run.model_fields_set
    return ("auto" if is_open else _span(works, "warm_up", warm_up), _span(works, "length", length))


def _span(works: Works, name: str, text: str | None) -> SpanWanted:
    """One length of time, read as a scenario would have it."""
    if text is None or text == "auto":
        return "auto" if text else None
    given = float(text) if text.replace(".", "", 1).isdigit() else text
    return float(getattr(changed(works, {"run": {name: given}}).run, name))


def until_of(zone: float | None, half_width: str | None, replications: int | None, most: int) -> Until:
    """When a comparison ends.

    Parameters
    ----------
    zone : float or None
        Indifference zone.
    half_width : str or None
        A figure, or a share in per cent.
    replications : int or None
        Replications at first.
    most : int
        Replications at most.

    Returns
    -------
    HalfWidth, BestKnown or None

    Raises
    ------
    StudyError
        Both are given, or the half width is no figure.
    """
    first = min(_FIRST, most) if replications is None else replications
    if zone is not None and half_width is not None:
        raise StudyError("--zone and --half-width were both given; a study ends by one of the two")
    if zone is not None:
        return BestKnown(zone, first, most)
    if half_width is None:
        return None
    try:
        figure = float(half_width.removesuffix("%"))
    except ValueError:
        expected = "a figure such as 5, or a share such as 2%, was expected"
        raise StudyError(f'--half-width "{half_width}" cannot be read; {expected}') from None
    is_share = half_width.endswith("%")
    return HalfWidth(None if is_share else figure, figure / 100.0 if is_share else None, first, most)
