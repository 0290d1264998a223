"""The rule that goes by the load of the spindle."""

from __future__ import annotations

from linesim.rules.kind import AtDesk, EdgeSeen, Figures, Interval, RuleFigures, RuleKind
from linesim.rules.ways import RuleWay, whole_parts
from linesim.works.policies import OnLoad

__all__ = ["ByLoad"]


class ByLoad(RuleKind):
    """When the spindle's load, read with each part, passes a figure."""

    entry, way = "load", RuleWay.LOAD

    def figures(self, value: OnLoad, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """Past what, how it grows and scatters, and the wear land at which an average reading is past it."""
        return Figures(
            self.way,
            limit_mm=(value.past - 1.0) / value.growth * wear_limit_mm,
            load_past=value.past,
            load_readings=float(value.readings),
            load_growth=value.growth,
            load_noise=value.noise,
            load_per_heat=float(value.per_heat),
        )

    def words(self, value: OnLoad) -> str:
        """Past what."""
        mean = "" if value.readings == 1 else f", in the mean of {value.readings} parts,"
        return f"when the spindle's load{mean} reads past {value.past:g} of a sharp edge's"

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """The first part with which an average edge, read without noise, is past the figure."""
        words = f"changed past a load of {figures.load_past:g}, read without noise"
        return Interval(whole_parts(desk.parts_to_wear(figures.limit_mm)), words)

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due when the last reading is past the figure."""
        return edge.load_read >= rule.load_past

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """What the last reading has grown by, over what it may."""
        return max(edge.load_read - 1.0, 0.0) / (rule.load_past - 1.0)
