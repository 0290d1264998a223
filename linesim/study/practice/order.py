"""Claims on the order of operations: the light cut late, and what disturbs a surface before its last cut."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from linesim.cutting.component import Component
from linesim.quality.limits import limits_um
from linesim.study.practice.alter import moved
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw
from linesim.study.practice.seen import Seen
from linesim.words import keep
from linesim.works import Works
from linesim.works.features import Feature
from linesim.works.model import Line

__all__ = ["DISTURBING", "LATE_CUT"]


class _Late(NamedTuple):
    """A feature whose last cut comes some operations after the one before it."""

    line: str
    feature: str
    last: str
    before: str


def _cutting(line: Line, feature: str) -> list[str]:
    """Operations that cut a feature, in their order."""
    return [
        name
        for name, operation in line.operations.items()
        if any(cut.feature == feature for stroke in operation.strokes.values() for cut in stroke.cuts.values())
    ]


# --- the late light cut -----------------------------------------------------------------------------------------------


def _late_cuts(works: Works) -> list[_Late]:
    """Features that handling can scratch and whose last cut comes late."""
    answer = []
    for line_name, line in works.lines.items():
        names = list(line.operations)
        for feature, of in line.features.items():
            cutting = _cutting(line, feature)
            scratches = of.scratch is not None and of.scratch.chance_per_move > 0.0
            if scratches and len(cutting) > 1 and names.index(cutting[-1]) > names.index(cutting[-2]) + 1:
                answer.append(_Late(line_name, feature, cutting[-1], cutting[-2]))
    return answer


def _late(draw: Draw) -> Iterator[Pair]:
    for at in _late_cuts(draw.works):
        early = draw.seen(
            f"{at.line} / {at.last} right after {at.before}",
            lambda works, at=at: moved(works, at.line, at.last, at.before),  # type: ignore[misc]
        )
        less, more = (_scratched(seen, at) for seen in (draw.as_it_stands, early))
        yield Pair(f"{at.line} / {at.feature}", keep("practice.what_late"), "%", less, more)


def _scratched(seen: Seen, at: _Late) -> float:
    """Percentage of shipped places with a scratch deeper than the drawing allows."""
    return 100.0 * seen.figure(at.line, at.feature, "scratch", "share_out")


def _no_late_cut(works: Works) -> str:
    return "" if _late_cuts(works) else keep("practice.no_late_cut")


LATE_CUT = Claim(
    "g",
    _no_late_cut,
    _late,
)


# --- what disturbs a surface ------------------------------------------------------------------------------------------


_MOVED = 0.1
"""A movement by this share of what is allowed to either side is worth an order of operations."""


def _allowed_um(feature: Feature) -> float:
    """What the drawing allows a size to either side, µm per side."""
    low_um, high_um = limits_um(feature, Component.SIZE)
    return (high_um - low_um) / 2.0


class _Disturbing(NamedTuple):
    """An operation that moves a feature, and the operation with the feature's last cut."""

    line: str
    feature: str
    operation: str
    last: str


def _disturbing(works: Works) -> list[_Disturbing]:
    """Operations that move a feature without cutting it, by a tenth of its tolerance to either side or more."""
    answer = []
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            for feature, moved_um in operation.disturbs.items():
                cutting, of = _cutting(line, feature), line.features[feature]
                if cutting and cutting[-1] != name and of.size is not None and moved_um >= _MOVED * _allowed_um(of):
                    answer.append(_Disturbing(line_name, feature, name, cutting[-1]))
    return answer


def _disturbed(draw: Draw) -> Iterator[Pair]:
    for at in _disturbing(draw.works):
        names = list(draw.works.lines[at.line].operations)
        rest = [name for name in names if name != at.operation]
        ahead = rest.index(at.last) - 1
        before = _behind(draw, at, rest[ahead] if ahead >= 0 else None)
        after = _behind(draw, at, at.last)
        less, more = (seen.figure(at.line, at.feature, "size", "sd") for seen in (before, after))
        words = f"{at.line} / {at.operation}: {at.feature}"
        yield Pair(words, keep("practice.what_disturbed"), "mm", less, more)


def _behind(draw: Draw, at: _Disturbing, behind: str | None) -> Seen:
    """What is seen with the disturbing operation behind another."""
    names = list(draw.works.lines[at.line].operations)
    number = names.index(at.operation)
    if (names[number - 1] if number else None) == behind:
        return draw.as_it_stands
    key = f"{at.line} / {at.operation} behind {behind or 'nothing'}"
    return draw.seen(key, lambda works: moved(works, at.line, at.operation, behind))


def _nothing_disturbs(works: Works) -> str:
    return "" if _disturbing(works) else keep("practice.nothing_disturbs")


DISTURBING = Claim(
    "i",
    _nothing_disturbs,
    _disturbed,
)
