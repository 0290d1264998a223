"""The kinds of change rule: each a class with all that is particular to it, and a row in ``KINDS``."""

from __future__ import annotations

import math
from typing import Any

from linesim.rules.by_load import ByLoad
from linesim.rules.kind import NEVER_READ, AtDesk, EdgeSeen, Figures, Interval, RuleFigures, RuleKind
from linesim.rules.ways import RuleWay, whole_parts
from linesim.works.durations import Spread
from linesim.works.policies import Check, OnGauge, Own
from linesim.works.scalars import plain_scalar

__all__ = ["KINDS", "RuleWay", "whole_parts"]

_PAST_SHARE = 0.9
"""Share of the wear limit past which the trial form has a set changed if it names none."""


class AfterParts(RuleKind):
    """After so many parts."""

    entry, way, label = "parts", RuleWay.PARTS, "after so many parts"
    counts = True

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """The parts are the interval."""
        return Figures(self.way, float(value))

    def words(self, value: Any) -> str:
        """After so many parts."""
        return "after every part" if value == 1 else f"after {value} parts"

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """As the rule says."""
        return Interval(figures.interval, f"after {figures.interval:g} parts")

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due once the parts are done."""
        return edge.parts >= rule.interval

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """Parts done over the interval."""
        return edge.parts / rule.interval


class AfterMinutes(RuleKind):
    """After so many cutting minutes."""

    entry, way, label = "minutes", RuleWay.MINUTES, "after so many cutting minutes"
    counts = True

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """The minutes are the interval."""
        return Figures(self.way, value)

    def words(self, value: Any) -> str:
        """After so many minutes."""
        return f"after {value:g} cutting minutes"

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """The first part with which the minutes are full."""
        minutes = desk.minutes_per_part
        parts = whole_parts(figures.interval / minutes) if minutes > 0.0 else math.inf
        return Interval(parts, f"after {figures.interval:.4g} cutting minutes")

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due once the minutes are done."""
        # Cutting minutes are a sum of many cuts, so that 20 times 0.1 min may fall a hair short of 2 min.
        return edge.cut_min >= rule.interval * (1.0 - 1e-9)

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """Minutes done over the interval."""
        return edge.cut_min / rule.interval


class AtLife(AfterMinutes):
    """After so many cutting minutes, given as a share of the set's expected life."""

    entry, label = "life", "at a share of its life"

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """The share of the life in minutes."""
        return Figures(self.way, value * expected_life_min)

    def words(self, value: Any) -> str:
        """At so much of their life."""
        return "at their full life" if value == 1 else f"at {value:g} of their life"


class EveryShifts(RuleKind):
    """At the start of every so many shifts."""

    entry, way, label = "shift", RuleWay.SHIFT, "every so many shifts"

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """The shifts are the interval."""
        return Figures(self.way, float(value))

    def words(self, value: Any) -> str:
        """Every so many shifts."""
        return "at the start of every shift" if value == 1 else f"every {value} shifts"

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """As many parts as the operation makes meanwhile, if it cuts all the time."""
        cycle_min = desk.cycle_min
        parts = max(1.0, figures.interval * desk.shift_min / cycle_min) if cycle_min > 0.0 else math.inf
        return Interval(parts, f"shifts from change to change: {figures.interval:g}, cutting all the time")

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due when a boundary has passed since the set was put in, and it has cut."""
        period_min = rule.interval * shift_min
        return edge.parts > 0 and now_min // period_min > edge.mounted_min // period_min

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """Time since it was put in over the interval."""
        return (now_min - edge.mounted_min) / (rule.interval * shift_min)


class OnCheck(RuleKind):
    """The edge is looked at every so many parts, and changed when the wear land reads past a figure."""

    entry, way, label = "check", RuleWay.CHECK, "on a look every so many parts"
    looks = True

    def figures(self, value: Check, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """Parts to the first look and between looks, and the wear land."""
        limit_mm = value.past if value.past is not None else float(value.past_share or 0.0) * wear_limit_mm
        return Figures(self.way, float(value.every), float(value.first or value.every), limit_mm)

    def words(self, value: Check) -> str:
        """How often, and past what."""
        past = f"{value.past:g} mm" if value.past is not None else f"{value.past_share:g} of their wear limit"
        every = "every part" if value.every == 1 else f"every {value.every} parts"
        first = "" if value.first is None else f", the first after {value.first},"
        return f"when a look {every}{first} finds them worn past {past}"

    def look(self, value: Check) -> tuple[Spread, float] | None:
        """As the entry says."""
        return value.minutes, value.error

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """The first look at which an average edge is worn past the figure."""
        every, first = figures.interval, figures.first_look
        begins = "" if first == every else f" from {first:g} on"
        words = f"looked at every {every:g} parts{begins}, changed past {figures.limit_mm:.3g} mm"
        worn = desk.parts_to_wear(figures.limit_mm)
        looks = whole_parts((worn - first) / every + 1.0)
        parts = first + (looks - 1.0) * every
        return Interval(parts, words, desk.look_min * (1.0 / every if math.isinf(parts) else looks / parts))

    def written(self, value: Check) -> str | None:
        """Parts, the share of the wear limit, and parts to the first look; a wear land in mm the form cannot say."""
        first = "" if value.first is None else f", {value.first}"
        return None if value.past_share is None else f"{value.every}, {value.past_share:g}{first}"

    def entered(self, text: str, old: Any) -> Any:
        """Parts, share and parts to the first look; time and error of a look stay as they stood."""
        every, share, first = (each.strip() for each in (*text.split(",", 2), "", "")[:3])
        stays = {name: old[name] for name in ("minutes", "error") if name in (old or {})}
        stays |= {"first": plain_scalar(first)} if first else {}
        past = plain_scalar(share) if share else _PAST_SHARE
        return {"every": plain_scalar(every), "past_share": past, **stays}

    @staticmethod
    def wants_look(rule: RuleFigures, edge: EdgeSeen) -> bool:
        """Look once the parts to the first look are done, or those since the last one."""
        return edge.parts_since_look >= (rule.first_look if edge.parts_since_look == edge.parts else rule.interval)

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due when the last look read the limit or more."""
        return edge.wear_read_mm is not None and edge.wear_read_mm >= rule.limit_mm

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """The last reading over the limit."""
        if edge.wear_read_mm is None or edge.wear_read_mm == NEVER_READ:
            return 0.0
        return edge.wear_read_mm / rule.limit_mm


class ByGauge(RuleKind):
    """When a gauge reading of what the set makes passes an action limit."""

    entry, way = "gauge", RuleWay.GAUGE

    def figures(self, value: OnGauge, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """The action limits; infinite where there is none."""
        size_um = math.inf if value.size is None else value.size
        return Figures(self.way, size_um=size_um, roughness_um=math.inf if value.roughness is None else value.roughness)

    def words(self, value: OnGauge) -> str:
        """Past what."""
        size = [] if value.size is None else [f"{value.size:g} µm"]
        rough = [] if value.roughness is None else [f"Ra {value.roughness:g} µm"]
        return f"when a gauge reads past {' or '.join(size + rough)}"

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due when the last reading of size or of roughness is past its action limit."""
        size_um = 0.0 if edge.size_read_um is None else abs(edge.size_read_um)
        rough_um = 0.0 if edge.roughness_read_um is None else edge.roughness_read_um
        return size_um / rule.size_um > 1.0 or rough_um / rule.roughness_um > 1.0

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """The last readings over the action limits, the greater of the two."""
        size_um = 0.0 if edge.size_read_um is None else abs(edge.size_read_um)
        rough_um = 0.0 if edge.roughness_read_um is None else edge.roughness_read_um
        return max(size_um / rule.size_um, rough_um / rule.roughness_um)


class RunOut(RuleKind):
    """Only when broken (which needs no rule) or when the part fails."""

    entry, way, label = "run_out", RuleWay.RUN_OUT, "only when it breaks or a part fails"
    waits_for_reject = True
    needs_text = False

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """None."""
        return Figures(self.way)

    def words(self, value: Any) -> str:
        """Only when it must be."""
        return "only when broken or a part fails"

    def policy_words(self, value: Any) -> str:
        """Running them out."""
        return "running the cutters out"

    def written(self, value: Any) -> str | None:
        """There is no interval."""
        return ""

    def entered(self, text: str, old: Any) -> Any:
        """Whatever stands there."""
        return True

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due when a gauge has turned down a part that it cut."""
        return edge.was_rejected != 0


class OwnRule(RuleKind):
    """When a rule of the user's own in Python says so; the floor asks that one in its place."""

    entry, way = "own", RuleWay.OWN
    is_compiled = False

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """None."""
        return Figures(self.way)

    def words(self, value: Own) -> str:
        """Its name."""
        return f'by the own rule "{value.name}"'

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Never asked."""
        raise AssertionError("a rule of the user's own is asked by the name that it was made known under")


KINDS: tuple[RuleKind, ...] = (
    AfterParts(),
    AfterMinutes(),
    AtLife(),
    EveryShifts(),
    OnCheck(),
    ByGauge(),
    ByLoad(),
    RunOut(),
    OwnRule(),
)
"""Every kind, in the order in which forms and lists name them."""
