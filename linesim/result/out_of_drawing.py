"""Parts that were shipped although they are out of the drawing: how many, and in what."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.cutting.component import Component
from linesim.plan.tally import Tally
from linesim.words import keep
from linesim.works.model import Line, Works

__all__ = ["out_of_drawing"]

_MOST_NAMED = 5
"""Characteristics that are named, the commonest first."""

_SIDES = {
    Component.SIZE: ("cut away too much", "metal left on"),
    Component.ROUGHNESS: ("too smooth", "too rough"),
    Component.SCRATCH: ("scratched", "scratched"),
    Component.POSITION: ("off their place", "off their place"),
    Component.TILT: ("tilted", "tilted"),
    Component.FORM: ("out of form", "out of form"),
}
"""What is wrong with a place below the lower limit and above the upper one, in the model's units."""


def out_of_drawing(works: Works, tally: Tally) -> Iterator[str]:
    """Say of each line how many parts it shipped out of the drawing, and which characteristics were out.

    Parameters
    ----------
    works : Works
        What was run.
    tally : Tally
        What the run left behind; true values, not gauge readings.

    Yields
    ------
    str
        How many, then what was out, the commonest first; nothing of a line whose parts are all within the drawing.
    """
    first = 0
    for number, (name, line) in enumerate(works.lines.items()):
        out, shipped = int(tally.parts_out[number]), int(tally.shipped[number])
        if out:
            share = 100.0 * out / shipped
            yield keep("findings.shipped_out", line=name, out=out, shipped=shipped, share=share)
            yield from _which(name, line, first, tally)
        first += len(line.features)


def _which(where: str, line: Line, first: int, tally: Tally) -> Iterator[str]:
    """The characteristics that are out, the commonest first."""
    counts: dict[tuple[str, str], int] = {}
    for number, name in enumerate(line.features, first):
        for of in Component:
            for side, column in zip(_SIDES[of], (tally.below, tally.above), strict=True):
                _count(counts, (name, side), int(column[number, of]))
        _count(counts, (name, "not cleaned up"), int(tally.unclean[number]))
    numbers = {name: number for number, name in enumerate(line.features, first)}
    for name, side in sorted(counts, key=lambda each: -counts[each])[:_MOST_NAMED]:
        places = int(tally.places[numbers[name]])
        what, often = keep(f"findings.side_{side}"), counts[name, side]
        yield keep("findings.which_out", line=where, feature=name, side=what, out=often, places=places)


def _count(counts: dict[tuple[str, str], int], of: tuple[str, str], more: int) -> None:
    if more:
        counts[of] = counts.get(of, 0) + more
