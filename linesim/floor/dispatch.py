"""Dispatch: where finished parts leave the line and are counted as they really are, not as the gauges read them."""

from __future__ import annotations

from typing import Any

from linesim.cutting.component import SHAPE, Component
from linesim.floor.foreman import Claim, Turn, queue
from linesim.floor.mixing import is_for
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.testing import count_field_failures
from linesim.floor.yard import Yard
from linesim.quality.taguchi import weighted_square

__all__ = ["Dispatch"]

_Limits = tuple[Component, list[float], float, float]
"""A component, its true values and their limits."""


class Dispatch:
    """The end of one line. Parts are taken in by the foreman, so that equal moments are counted in a fixed order."""

    def __init__(self, site: Site, line: int, yard: Yard) -> None:
        self.site = site
        self.line = line
        self.yard = yard
        self.number = site.foreman.take_on(self, Turn.PARTS)
        self.givers: list[Claim] = []
        lines = site.plan.lines
        features = range(int(lines.first_feature[line]), int(lines.end_feature[line]))
        self._failures = int(lines.first_failure[line]), int(lines.end_failure[line])
        self._features = [(feature, site.rows.features[feature]) for feature in features]

    def put(self, part: Part, rank: tuple[int, ...]) -> Claim:
        """Ship a part."""
        claim = Claim(self.site.env, rank, part)
        queue(self.givers, claim)
        self.site.foreman.call(self.number)
        return claim

    def give_out(self) -> bool:
        """Take in all parts that stand before the door."""
        given = bool(self.givers)
        while self.givers:
            claim = self.givers.pop(0)
            assert isinstance(claim.stake, Part)
            self._ship(claim.stake)
            claim.succeed()
        return given

    def _ship(self, part: Part) -> None:
        tally, line = self.site.tally, self.line
        lead_min = self.site.env.now - part.came_min
        tally.shipped[line] += 1
        tally.shipped_first_pass[line] += part.is_first_pass
        tally.lead_min[line] += lead_min
        tally.lead_square_min2[line] += lead_min * lead_min
        has = [(feature, row) for feature, row in self._features if is_for(row.types, part.type)]
        outside = [self._measure(part, feature, row) for feature, row in has]
        tally.parts_out[line] += any(outside)
        self._count_type(part, lead_min, any(outside))
        count_field_failures(self.site, part, *self._failures)
        first = int(self.site.plan.lines.first_operation[line])
        for position, spell in enumerate(part.faults):
            tally.bad_shipped[first + position] += spell > 0
            tally.bad_shipped_out[first + position] += spell > 0 and any(outside)
        self.yard.part_leaves()

    def _count_type(self, part: Part, lead_min: float, is_out: bool) -> None:
        """The same by part type."""
        count, tally = self.site.count_type, self.site.tally
        count(tally.shipped_of_type, part, 1)
        count(tally.first_pass_of_type, part, part.is_first_pass)
        count(tally.out_of_type, part, is_out)
        count(tally.lead_of_type, part, lead_min)

    def _measure(self, part: Part, feature: int, row: Any) -> bool:
        """Add the places of one feature to the tally; tell whether any is out of limits."""
        first, end = row.first_place, row.first_place + row.places
        errors = part.error_um[first:end]
        tally = self.site.tally
        tally.places[feature] += end - first
        tally.range_total[feature] += max(errors) - min(errors)
        unclean = part.is_clean[first:end].count(False)
        tally.unclean[feature] += unclean
        is_out = unclean > 0
        rough, scratch = part.roughness_um[first:end], part.scratch_um[first:end]
        limits: list[_Limits] = [
            (Component.SIZE, errors, row.low_um, row.high_um),
            (Component.ROUGHNESS, rough, row.roughness_low_um, row.roughness_limit_um),
            (Component.SCRATCH, scratch, 0.0, row.scratch_limit_um),
        ]
        if row.carries:
            limits += self._of_shape(part, feature, slice(first, end))
        for component, values, low, high in limits:
            for value in values:
                is_out |= self._count(feature, component, value, low, high)
        self._count_losses(feature, row, errors, rough, scratch)
        return is_out

    def _of_shape(self, part: Part, feature: int, places: slice) -> list[_Limits]:
        """Position, tilt and form with their limits; their losses are counted here."""
        row = self.site.rows.shapes[feature]
        position, tilt, form = (part.values_um(of)[places] for of in SHAPE)
        caps = (row.position_cap_um2, row.tilt_cap_um2, row.form_cap_um2)
        for of, values, cap in zip(SHAPE, (position, tilt, form), caps, strict=True):
            for value in values:
                self.site.tally.capped[feature, of] += min(value * value, cap)
        return [
            (Component.POSITION, position, -row.position_limit_um, row.position_limit_um),
            (Component.TILT, tilt, -row.tilt_limit_um, row.tilt_limit_um),
            (Component.FORM, form, 0.0, row.form_limit_um),
        ]

    def _count_losses(
        self, feature: int, row: Any, errors: list[float], rough: list[float], scratch: list[float]
    ) -> None:
        """Squares of the distances from the aims, each no more than its cap."""
        capped = self.site.tally.capped[feature]
        for value in errors:
            capped[Component.SIZE] += min(value * value, row.size_cap_um2)
        for value in rough:
            square = weighted_square(value, row.roughness_aim_um, row.smooth_weight, row.rough_weight)
            capped[Component.ROUGHNESS] += min(square, row.roughness_cap_um2)
        for value in scratch:
            capped[Component.SCRATCH] += min(value * value, row.scratch_cap_um2)

    def _count(self, feature: int, of: int, value: float, low: float, high: float) -> bool:
        tally = self.site.tally
        tally.total[feature, of] += value
        tally.square[feature, of] += value * value
        tally.least[feature, of] = min(tally.least[feature, of], value)
        tally.greatest[feature, of] = max(tally.greatest[feature, of], value)
        tally.below[feature, of] += value < low
        tally.above[feature, of] += value > high
        return value < low or value > high
