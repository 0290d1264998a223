"""Names beside points that lie close together, so that none stands on another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

__all__ = ["HEIGHT_PX", "Beside", "placed_labels"]

HEIGHT_PX = 16.0
_SIGN_PX, _MARK_PX, _NEAR_PX = 7.4, 8.0, 13.0
_STEPS = 14


class Beside(NamedTuple):
    """Where a name stands, seen from its point.

    Attributes
    ----------
    right_px, up_px : float
        Of the end of the name that is nearer to the point; left and down below 0.
    is_far : bool
        Whether it needs a line to its point.
    """

    right_px: float
    up_px: float
    is_far: bool


class _Box(NamedTuple):
    left: float
    right: float
    middle: float

    def meets(self, other: _Box) -> bool:
        return self.left < other.right and other.left < self.right and abs(self.middle - other.middle) < HEIGHT_PX


def placed_labels(points_px: Sequence[tuple[float, float]], texts: Sequence[str], width_px: float) -> list[Beside]:
    """Where names of points go, each as near to its point as those placed before it allow.

    Parameters
    ----------
    points_px : sequence of (float, float)
        Right and up, px.
    texts : sequence of str
        Their names.
    width_px : float
        Of the picture; points on its right half have their names to the left.

    Notes
    -----
    From the top down each name tries the places above and below its point, step by step. Where the picture is shown
    wider than stated points move apart and names do not, so that what is free here is free there.

    >>> placed_labels([(10, 100), (500, 100)], ["one", "another"], 600)
    [Beside(right_px=9.0, up_px=13.0, is_far=False), Beside(right_px=-9.0, up_px=13.0, is_far=False)]
    """
    marks = [_Box(x - _MARK_PX, x + _MARK_PX, y) for x, y in points_px]
    boxes: list[_Box] = []
    answer = [Beside(0.0, 0.0, False)] * len(texts)
    for at in sorted(range(len(texts)), key=lambda number: -points_px[number][1]):
        x, y = points_px[at]
        length, side = _SIGN_PX * len(texts[at]), -1.0 if x > width_px / 2.0 else 1.0
        taken = [*boxes, *(mark for number, mark in enumerate(marks) if number != at)]
        for step in range(2 * _STEPS):
            up = (_NEAR_PX + (step // 2) * HEIGHT_PX) * (-1.0 if step % 2 else 1.0)
            along = side * (9.0 + 6.0 * (step // 2))
            ends = sorted((x + along, x + along + side * length))
            box = _Box(ends[0], ends[1], y + up)
            if not any(box.meets(other) for other in taken):
                break
        boxes.append(box)
        answer[at] = Beside(along, up, step > 1)
    return answer
