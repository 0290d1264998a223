"""What bears on a cut beside its edge, its setting and what it finds, on the floor."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, NamedTuple

from linesim.cutting.bar import followed_um
from linesim.cutting.error_terms import pushed_um
from linesim.cutting.life import wear_growth
from linesim.cutting.printing import printed_form_um
from linesim.cutting.sizing import honed_by_gauge_min
from linesim.cutting.wheel import not_sparked_out_um
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE

__all__ = ["NOTHING_ADDED", "Added", "Additions", "cut_minutes", "share_at"]


class Added(NamedTuple):
    """What is added to the error of one place, µm per side, by where it comes from, and to its form."""

    leader_um: float = 0.0
    wheel_um: float = 0.0
    own_um: float = 0.0
    form_um: float = 0.0
    """What is printed into the form."""
    heat_um: float = 0.0
    """The part of ``own_um`` that is due to the heat of cuts."""
    is_led: bool = False
    """Whether a blade that leads has a part in that."""


NOTHING_ADDED = Added()


def share_at(mount: Mount, row: Any, place: int, heat_life: float) -> float:
    """Life share of the edge as it comes to a place, those before it cut."""
    if math.isinf(row.life_min):
        return mount.life_share
    life_min = row.life_min * heat_life * mount.life_factor
    return float(mount.life_share + place // row.at_once * row.pass_min / life_min)


def cut_minutes(site: Site, part: Part, cuts: Iterable[int], is_recut: bool) -> dict[int, float]:
    """Minutes of each of some cuts on this part: honing that stops at size takes as long as the stock it finds."""
    rows = site.rows.cuts
    return {
        cut: rows[cut].cut_min if rows[cut].honing_um_min <= 0.0 else _honing_minutes(site, part, rows[cut], is_recut)
        for cut in cuts
    }


def _honing_minutes(site: Site, part: Part, row: Any, is_recut: bool) -> float:
    """Pass after pass, each as long as the place with the most stock wants."""
    feature = site.rows.features[row.feature]
    depth_um = 0.0 if is_recut else 1000.0 * row.depth_mm
    total = longest = 0.0
    for place in range(feature.places):
        error_um = part.error_um[feature.first_place + place]
        minutes = honed_by_gauge_min(depth_um, error_um, row.honing_um_min, row.spark_out_min)
        longest = minutes if place % row.at_once == 0 else max(longest, minutes)
        if place % row.at_once == row.at_once - 1 or place == feature.places - 1:
            total += longest
    return total


class Additions:
    """What is added in one stroke; whoever cuts notes here what a leading blade has found."""

    def __init__(self, site: Site, mounts: list[Mount], part: Part) -> None:
        self._site = site
        self._mounts = mounts
        self._part = part
        self._found_um: dict[tuple[int, int], float] = {}

    def note(self, cut: int, place: int, found_um: float) -> None:
        """A cut that finds metal is made at a place with this error."""
        self._found_um[cut, place] = found_um

    def added(self, cut: int, place: int, is_recut: bool) -> Added:
        """What is added to the error of a place of the feature in a cut."""
        row = self._site.rows.cuts[cut]
        if not row.has_additions:
            return NOTHING_ADDED
        mount = self._mounts[row.slot]
        ground_min = mount.edge.cut_min + place // row.at_once * row.pass_min
        wheel_um = row.wheel_um_min * ground_min
        constant_min = row.spark_out_constant_min
        if constant_min > 0.0:
            share = share_at(mount, row, place, self._part.heat_life)
            wheel_um += not_sparked_out_um(row.infeed_um_min, row.spark_out_min, constant_min, share)
        is_led = (row.leader, place) in self._found_um
        form_um = printed_form_um(self._site.placings[cut], is_led, ground_min)
        led_um = 0.0 if is_recut else self._led_um(row, place)
        return Added(led_um, wheel_um, row.own_um, form_um, row.heat_um, is_led)

    def _led_um(self, row: Any, place: int) -> float:
        """What the leading blade adds, if it cut this place in this stroke."""
        found_um = self._found_um.get((row.leader, place)) if row.leader != NONE else None
        if found_um is None:
            return 0.0
        leader, conditions = self._site.rows.cuts[row.leader], self._site.conditions[row.leader]
        share = share_at(self._mounts[leader.slot], leader, place, self._part.heat_life)
        growth = wear_growth(share, leader.wear_b, leader.wear_tau, leader.wear_gamma)
        pushed = pushed_um(conditions, growth, self._part.heat_force)
        return followed_um(row.follow_share, found_um, row.follow_um_n, pushed, leader.stiffness_n_um)
