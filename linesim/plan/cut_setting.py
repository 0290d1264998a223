"""A cut as the scenario describes it, with what surrounds it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from linesim.works.crib import Cutter
from linesim.works.features import Feature
from linesim.works.model import Line
from linesim.works.operations import Cut, Operation

__all__ = ["Complain", "CutSetting", "own_or_usual", "unheard"]

Complain = Callable[[str, str], None]
"""Called with the name of an entry of the cut and what is wrong with it."""


@dataclass(frozen=True)
class CutSetting:
    """A cut with what surrounds it in the works."""

    line: Line
    operation: Operation
    feature: Feature
    cutter: Cutter
    cut: Cut
    in_skin: bool
    key: tuple[str, str, str]
    """Operation, stroke and cut."""

    def at_depth(self, depth_mm: float) -> CutSetting:
        """The same cut at another depth."""
        return replace(self, cut=self.cut.model_copy(update={"depth": depth_mm}))

    def at_feed(self, feed_mm: float) -> CutSetting:
        """The same cut at another feed."""
        return replace(self, cut=self.cut.model_copy(update={"feed": feed_mm}))


def own_or_usual(own: float | None, usual_value: float) -> float:
    """The figure of one's own, or the usual one where there is none."""
    return usual_value if own is None else own


def unheard(entry: str, text: str) -> None:
    """For a cut that was found to be in order before: anything wrong with it now is a fault of ours."""
    raise AssertionError(f"{entry}: {text}")
