"""The chip of a cut as it is, and the forces on its edge: sharp, worn, and the least metal that it can cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.cutting.force import cutting_force_n, specific_force_n_mm2
from linesim.cutting.nose import (
    edge_along_feed_mm,
    edge_in_cut_mm,
    effective_approach_rad,
    force_towards_work_n,
    least_chip_mm,
    least_depth_mm,
    least_slope_n_um,
    mean_chip_mm,
    worn_edge_adds_n,
)
from linesim.handbook import Grade, Material
from linesim.handbook.processes import usual
from linesim.plan.cut_setting import CutSetting, own_or_usual

__all__ = ["Chip", "chip_of"]

_STEP_MM = 1e-4
"""Difference of depth from which slopes are worked out."""


@dataclass(frozen=True)
class Chip:
    """The chip of one edge: a tooth of a mill, a blade, a lip.

    Attributes
    ----------
    depth_mm, feed_mm : float, mm
        Depth of cut; feed of this edge, in milling its mean over the time that a tooth is in the cut; 0 if not known.
    nose_mm, approach_rad : float
        Radius of the nose, mm; angle between edge and feed.
    material, wear : Material, Grade
        Of the part, of the cutter.
    """

    depth_mm: float
    feed_mm: float
    nose_mm: float
    approach_rad: float
    material: Material
    wear: Grade

    @property
    def edge_mm(self) -> float:
        """Length of edge in the cut."""
        return edge_in_cut_mm(self.depth_mm, self.feed_mm, self.nose_mm, self.approach_rad)

    @property
    def thickness_mm(self) -> float:
        """Mean thickness."""
        return mean_chip_mm(self.depth_mm, self.feed_mm, self.edge_mm)

    @property
    def specific_n_mm2(self) -> float:
        """Specific force at this thickness."""
        return specific_force_n_mm2(self.material.kc11_n_mm2, self.material.mc, self.thickness_mm)

    @property
    def cutting_n(self) -> float:
        """Cutting force of the sharp edge."""
        return cutting_force_n(self.specific_n_mm2, self.edge_mm, self.thickness_mm)

    @property
    def radial_n(self) -> float:
        """Force of the sharp edge into the work."""
        return self._radial_at(self.depth_mm)

    @property
    def slope_n_um(self) -> float:
        """Rise of that force with depth."""
        step = min(_STEP_MM, 0.5 * self.depth_mm)
        rise = (self._radial_at(self.depth_mm + step) - self._radial_at(self.depth_mm - step)) / (2000.0 * step)
        return max(rise, least_slope_n_um(self.specific_n_mm2, self.thickness_mm))

    def worn_radial_n(self, land_mm: float) -> float:
        """What a wear land adds to the force into the work."""
        return worn_edge_adds_n(self.wear.wear_pressure_n_mm2, land_mm, self._along(self.depth_mm))

    def worn_slope_n_um(self, land_mm: float) -> float:
        """By how much that grows with the depth."""
        step = min(_STEP_MM, 0.5 * self.depth_mm)
        rise = (self._along(self.depth_mm + step) - self._along(self.depth_mm - step)) / (2000.0 * step)
        return worn_edge_adds_n(self.wear.wear_pressure_n_mm2, land_mm, rise)

    def worn_cutting_n(self, land_mm: float) -> float:
        """What a wear land adds to the cutting force."""
        return worn_edge_adds_n(self.wear.wear_drag_n_mm2, land_mm, self.edge_mm)

    def least_metal_um(self, edge_radius_um: float, land_mm: float) -> float:
        """Metal below which this edge rubs."""
        least = least_chip_mm(edge_radius_um, land_mm)
        return 1000.0 * least_depth_mm(least, self.feed_mm, self.nose_mm, self.approach_rad)

    def _along(self, depth_mm: float) -> float:
        return edge_along_feed_mm(depth_mm, self.feed_mm, self.nose_mm, self.approach_rad)

    def _radial_at(self, depth_mm: float) -> float:
        other = Chip(depth_mm, self.feed_mm, self.nose_mm, self.approach_rad, self.material, self.wear)
        angle = effective_approach_rad(depth_mm, other._along(depth_mm))
        return force_towards_work_n(other.cutting_n, self.wear.thrust_ratio, angle)


def chip_of(setting: CutSetting, material: Material, wear: Grade, feed_mm: float) -> Chip:
    """The chip of one edge of a cut.

    Parameters
    ----------
    setting : CutSetting
        The cut with its operation, feature and cutter.
    material, wear : Material, Grade
        The handbook's entries for the part and for the cutter.
    feed_mm : float, mm
        Feed of this edge.

    Returns
    -------
    Chip
        With the usual nose of the process where the cutter's is not given.
    """
    nose_mm = own_or_usual(setting.cutter.nose_radius, usual(setting.cut.process).nose_radius_mm)
    return Chip(setting.cut.depth, feed_mm, nose_mm, math.radians(setting.cutter.lead_angle), material, wear)
