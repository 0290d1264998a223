"""Which features carry position, tilt and form: those of which something asks, and those on which they are located."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.cutting.component import SHAPE
from linesim.works.model import Line
from linesim.works.operations import Operation

__all__ = ["carried", "cut_features", "length_of"]

_READ = frozenset(component.words for component in SHAPE)


def carried(line: Line) -> frozenset[str]:
    """Names of the features of a line that carry position, tilt and form.

    Parameters
    ----------
    line : Line

    Returns
    -------
    frozenset of str
        Features of which the drawing limits one of the three, or a gauge reads one, and the features on which
        operations locate that cut such a one. All others are not followed, and cost nothing.
    """
    names = set(_asked_for(line))
    while True:
        on = {
            operation.locating.on
            for operation in line.operations.values()
            if operation.locating is not None and not names.isdisjoint(cut_features(operation))
        }
        if on <= names:
            return frozenset(names)
        names |= on


def cut_features(operation: Operation) -> set[str]:
    """Names of the features that an operation cuts."""
    return {cut.feature for stroke in operation.strokes.values() for cut in stroke.cuts.values()}


def length_of(line: Line, name: str) -> float:
    """Length of a feature over which its tilt counts, mm: its own, else that of its longest cut; 0 if neither is given.

    Parameters
    ----------
    line : Line
    name : str
        One of its features.
    """
    own = line.features[name].length
    if own is not None:
        return own
    strokes = [stroke for operation in line.operations.values() for stroke in operation.strokes.values()]
    cuts = [cut for stroke in strokes for cut in stroke.cuts.values() if cut.feature == name]
    return max((cut.length or 0.0 for cut in cuts), default=0.0)


def _asked_for(line: Line) -> Iterator[str]:
    """Features of which the drawing or a gauge asks for position, tilt or form."""
    for name, feature in line.features.items():
        if any(asked is not None for asked in (feature.position, feature.tilt, feature.form)):
            yield name
    for operation in line.operations.values():
        for gauge in operation.gauges.values():
            if not _READ.isdisjoint(gauge.reads):
                yield gauge.feature
