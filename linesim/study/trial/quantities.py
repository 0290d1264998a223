"""What is foretold of a trial and written down in it, week by week."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from linesim.quality.limits import drawing_scale
from linesim.study.search.common.set_at import SetAt
from linesim.works import Works

__all__ = ["QUANTITIES", "WEAR_READ_MM", "Quantity", "Surface", "surface_of"]

WEAR_READ_MM = 0.02
"""Standard deviation of one reading of a wear land with a hand lens (assumption, no source)."""


@dataclass(frozen=True)
class Quantity:
    """One of the quantities.

    Attributes
    ----------
    name, words, unit : str
        In tables; for people; "money" stands for the currency.
    is_total : bool
        Whether weeks add up; else they are means.
    worse : {"more", "fewer", "either", ""}
        Which way is bad for the shop.
    decimals : int
        Digits after the point for people.
    """

    name: str
    words: str
    unit: str
    is_total: bool
    worse: Literal["more", "fewer", "either", ""]
    decimals: int


QUANTITIES: tuple[Quantity, ...] = (
    Quantity("changes", "changes of the set", "", True, "", 0),
    Quantity("broken", "broken edges", "", True, "more", 0),
    Quantity("parts", "parts since the change, when it is changed", "", False, "", 1),
    Quantity("wear land", "wear land before the change", "mm", False, "more", 3),
    Quantity("size error", "size error before the change", "µm", False, "either", 1),
    Quantity("roughness", "roughness Ra before the change", "µm", False, "more", 2),
    Quantity("scrap", "parts scrapped on the line", "", True, "more", 0),
    Quantity("loss", "quality loss", "money a part", False, "more", 3),
    Quantity("money", "money", "money a week", True, "fewer", 0),
)
"""In the order in which they are read. Readings are those of sets changed before they broke."""


@dataclass(frozen=True)
class Surface:
    """What a set leaves on the part that a gauge can read.

    Attributes
    ----------
    feature : str
        Its name.
    scale : float
        What the drawing reads for one µm of metal left on per side; 0 if the drawing asks for no size.
    error_um : float
        Standard deviation of one reading of the size, as the scenario states it of the feature's gauge; 0 if it has
        none.
    """

    feature: str
    scale: float
    error_um: float


def surface_of(works: Works, set_at: SetAt) -> Surface | None:
    """The feature that a set is the last to cut, on its line; the last of several, None if there is none."""
    line = works.lines[set_at.line]
    last: dict[str, tuple[str, str]] = {}
    for name, operation in line.operations.items():
        for stroke in operation.strokes.values():
            last |= {cut.feature: (name, cut.cutter) for cut in stroke.cuts.values()}
    own = [feature for feature, maker in last.items() if maker == (set_at.operation, set_at.cutter)]
    if not own:
        return None
    feature = line.features[own[-1]]
    scale = 0.0 if feature.size is None else drawing_scale(feature)
    gauges = [gauge for operation in line.operations.values() for gauge in operation.gauges.values()]
    errors = [float(gauge.error) for gauge in gauges if gauge.feature == own[-1]]
    return Surface(own[-1], scale, max(errors, default=0.0))
