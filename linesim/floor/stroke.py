"""What the cuts of one stroke do to the part, and whether an edge breaks in it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from linesim.cutting.step import cut_place_drawn
from linesim.floor.gauging import MOST_PLACES
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import Cuts

__all__ = ["apply_cuts", "minutes_until_break"]

LAW_FROM = Cuts._fields.index("depth_mm")
"""From here on the columns of a cut stand in the order in which the law of the cut takes them."""


def minutes_until_break(site: Site, mounts: list[Mount], cuts: Iterable[int]) -> tuple[float, Mount | None]:
    """Minutes into the stroke at which the first edge breaks, and which; infinite and None if none does."""
    soonest, breaking = math.inf, None
    for cut in cuts:
        row = site.rows.cuts[cut]
        mount = mounts[row.slot]
        until = mount.minutes_to_break(row.life_min)
        if until < row.cut_min and until < soonest:
            soonest, breaking = max(until, 0.0), mount
    return soonest, breaking


def apply_cuts(
    site: Site, mounts: list[Mount], part: Part, cuts: Iterable[int], shift_um: float, is_recut: bool
) -> None:
    """Cut every place of the stroke's features, in the order of the cuts, with the edges as they are.

    Parameters
    ----------
    shift_um : float
        By how much the part sits off its locating faces, µm.
    is_recut : bool
        Whether the cuts are made again at the same setting.
    """
    for cut in cuts:
        row = site.rows.cuts[cut]
        mount = mounts[row.slot]
        feature = site.rows.features[row.feature]
        for place in range(feature.places):
            _cut_place(site, mount, part, cut, row, feature.first_place, place, shift_um, is_recut)


def _cut_place(
    site: Site,
    mount: Mount,
    part: Part,
    cut: int,
    row: Any,
    first_place: int,
    place: int,
    shift_um: float,
    is_recut: bool,
) -> None:
    """Cut one place. A recut goes over it again at the same setting and takes only what is left standing."""
    where = first_place + place
    if is_recut and part.error_um[where] <= 0.0:
        return
    life_share = mount.life_share
    if not math.isinf(row.life_min):
        life_share += place // row.at_once * row.pass_min / (row.life_min * mount.life_factor)
    found_um = part.error_um[where]
    conditions = row._replace(depth_mm=0.0, stress_um=0.0) if is_recut else row
    error_um, roughness_um, scratch_um, is_clean = cut_place_drawn(
        site.seed,
        site.replication,
        cut,
        part.serial,
        part.tries * MOST_PLACES + place,
        found_um,
        part.roughness_um[where],
        part.scratch_um[where],
        part.is_clean[where],
        life_share,
        mount.offsets.get(cut, 0.0),
        shift_um,
        *conditions[LAW_FROM:],
    )
    part.error_um[where] = min(error_um, found_um) if is_recut else error_um
    part.roughness_um[where] = roughness_um
    part.scratch_um[where] = scratch_um
    part.is_clean[where] = bool(is_clean)
    part.is_machined[where] = True
