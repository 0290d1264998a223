"""What the cuts of one stroke do to the part, and whether an edge breaks in it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from linesim.chance import Purpose
from linesim.chance.addresses import try_part
from linesim.cutting.step import cut_place_by_numbers
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site

__all__ = ["apply_cuts", "minutes_until_break"]


def minutes_until_break(site: Site, mounts: list[Mount], cuts: Iterable[int], part: Part) -> tuple[float, Mount | None]:
    """Minutes into the stroke at which the first edge breaks, and which; infinite and None if none does."""
    soonest, breaking = math.inf, None
    for cut in cuts:
        row = site.rows.cuts[cut]
        mount = mounts[row.slot]
        until = mount.minutes_to_break(row.life_min * part.heat_life)
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
        life_min = row.life_min * part.heat_life
        life_share += place // row.at_once * row.pass_min / (life_min * mount.life_factor)
    repeat, stress, rough, _ = site.timing.normals(Purpose.CUT, cut, part.serial, try_part(part.tries, place))
    error_um, roughness_um, scratch_um, is_clean = cut_place_by_numbers(
        part.error_um[where],
        part.roughness_um[where],
        part.scratch_um[where],
        life_share,
        mount.offsets.get(cut, 0.0),
        shift_um,
        repeat,
        stress,
        rough,
        is_recut,
        part.heat_force,
        *site.conditions[cut],
    )
    part.error_um[where] = error_um
    part.roughness_um[where] = roughness_um
    part.scratch_um[where] = scratch_um
    part.is_clean[where] = bool(is_clean)
    part.is_machined[where] = True
