"""Names of points that lie close together stand apart, each with a line to its point where it is far."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from linesim.report.charts.labels import HEIGHT_PX, placed_labels

NARROWEST_SIGN_PX = 5.5
"""Mean width of a sign of 12 px in a sans-serif face."""
POINTS = st.lists(st.tuples(st.floats(150, 400), st.floats(100, 180)), min_size=1, max_size=8)


@given(POINTS)
def test_no_name_stands_on_another(points: list[tuple[float, float]]) -> None:
    texts = [f"by its place in the line {at}" for at in range(len(points))]
    boxes = []
    for (x, y), text, beside in zip(points, texts, placed_labels(points, texts, 560.0), strict=True):
        width = NARROWEST_SIGN_PX * len(text) * (1.0 if beside.right_px > 0.0 else -1.0)
        left, right = sorted((x + beside.right_px, x + beside.right_px + width))
        boxes.append((left, right, y + beside.up_px))
        assert beside.is_far == (abs(beside.up_px) > HEIGHT_PX)
    for (left, right, at), (other_left, other_right, other_at) in itertools.combinations(boxes, 2):
        assert right <= other_left or other_right <= left or abs(at - other_at) >= HEIGHT_PX
