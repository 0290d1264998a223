"""The few figures of a shop that are most worth measuring, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.comparing.words import amount
from linesim.study.search.sensitivity.figures import DriverFigures
from linesim.study.search.sensitivity.inputs import Input
from linesim.study.search.sensitivity.words import ASK
from linesim.study.statistics.intervals import Difference

__all__ = ["worth_measuring"]


def worth_measuring(answer: DriverFigures, count: int = 5) -> list[str]:
    """Return the inputs that move the measure most, each with how far and where its truth is found.

    Parameters
    ----------
    answer : DriverFigures
        As far as the study has come.
    count : int
        At most so many. An input is left out if its interval holds no effect at all.
    """
    ends = sorted(_far_ends(answer), key=lambda end: -abs(end[2].mean))
    return [_sentence(answer, *end) for end in ends[:count]]


def _far_ends(answer: DriverFigures) -> Iterator[tuple[Input, float, Difference]]:
    """Yield each input with the end of its range that moves the measure more."""
    for one in answer.inputs:
        if one.name in answer.alone:
            low, high = answer.alone[one.name]
            factor, moved = max((one.low, low), (one.high, high), key=lambda end: abs(end[1].mean))
            if abs(moved.mean) > moved.half_width:
                yield one, factor, moved


def _sentence(answer: DriverFigures, one: Input, at: float, moved: Difference) -> str:
    scale = 100.0 if answer.measure.is_share else 1.0
    by = amount(scale * abs(moved.mean), scale * moved.half_width)
    unit = "" if answer.unit == "1/h" else f" {answer.unit}"
    change = "higher" if moved.mean > 0.0 else "lower"
    head = f"{one.words[0].upper()}{one.words[1:]}: at {at:g} times the figure {answer.measure.words} is {by}{unit}"
    return f"{head} {change}; {ASK.get(one.found_at, 'measure it')}."
