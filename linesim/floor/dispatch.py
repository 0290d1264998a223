"""Dispatch: where finished parts leave the line and are counted as they really are, not as the gauges read them."""

from __future__ import annotations

from typing import Any

from linesim.floor.foreman import Claim, Turn, queue
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.yard import Yard
from linesim.plan.tally import Characteristic

__all__ = ["Dispatch"]


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
        outside = [self._measure(part, feature, row) for feature, row in self._features]
        tally.parts_out[line] += any(outside)
        self.yard.part_leaves()

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
        limits = (
            (Characteristic.SIZE, errors, row.low_um, row.high_um, row.size_cap_um2),
            (Characteristic.ROUGHNESS, rough, 0.0, row.roughness_limit_um, row.roughness_cap_um2),
            (Characteristic.SCRATCH, scratch, 0.0, row.scratch_limit_um, row.scratch_cap_um2),
        )
        for characteristic, values, low, high, cap in limits:
            for value in values:
                is_out |= self._count(feature, characteristic, value, low, high, cap)
        return is_out

    def _count(self, feature: int, of: int, value: float, low: float, high: float, cap: float) -> bool:
        tally = self.site.tally
        square = value * value
        tally.total[feature, of] += value
        tally.square[feature, of] += square
        tally.capped[feature, of] += min(square, cap)
        tally.least[feature, of] = min(tally.least[feature, of], value)
        tally.greatest[feature, of] = max(tally.greatest[feature, of], value)
        tally.below[feature, of] += value < low
        tally.above[feature, of] += value > high
        return value < low or value > high
