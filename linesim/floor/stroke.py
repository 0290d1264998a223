"""What the cuts of one stroke do to the part, and whether an edge breaks in it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from linesim.chance import Purpose
from linesim.chance.addresses import try_draw
from linesim.cutting.error_terms import copied_share, metal_met_um
from linesim.cutting.life import wear_growth
from linesim.cutting.step import cut_place_by_numbers, rubs
from linesim.floor.additions import Additions, share_at
from linesim.floor.holding import Held, datum_place, held_moved_um, shape_place
from linesim.floor.mixing import cuts_for
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site

__all__ = ["apply_cuts", "meet_sand", "minutes_until_break"]


def meet_sand(site: Site, mounts: list[Mount], part: Part, stroke: int) -> None:
    """Before a stroke is run on a part for the first time: what its edges will hit in the casting's skin.

    What has been repaired has no skin where it is cut again.
    """
    row = site.rows.strokes[stroke]
    if not row.meets_sand or part.rounds > 0:
        return
    for cut in cuts_for(site, row, part):
        figures = site.rows.cuts[cut]
        mount = mounts[figures.slot]
        if figures.hit_chance == 0.0 or mount.is_broken:
            continue
        hits, breaks, how_far, _ = site.timing.uniforms(Purpose.SKIN_HIT, cut, part.serial, 0)
        if hits < figures.hit_chance:
            site.tally.sand_hits[mount.index] += 1
            if breaks < figures.hit_breaks:
                mount.will_break(how_far * figures.cut_min, figures.life_min * part.heat_life)
            else:
                mount.chip(figures.hit_land_mm + how_far * figures.hit_land_more_mm)


def minutes_until_break(
    site: Site, mounts: list[Mount], minutes: Mapping[int, float], part: Part
) -> tuple[float, Mount | None]:
    """Minutes into the stroke at which the first edge is seen to break, and which; infinite and None if none is.

    Parameters
    ----------
    minutes : dict of float
        The cuts of the stroke and how long each takes.
    part : Part
        What is cut; its heat bears on the life of the edges.
    """
    soonest, breaking = math.inf, None
    for cut, cut_min in minutes.items():
        row = site.rows.cuts[cut]
        mount = mounts[row.slot]
        until = mount.minutes_to_break(row.life_min * part.heat_life)
        if mount.kind.seen_after == 0 and until < cut_min and until < soonest:
            soonest, breaking = max(until, 0.0), mount
    return soonest, breaking


def apply_cuts(
    site: Site, mounts: list[Mount], part: Part, cuts: Iterable[int], held: Held, is_recut: bool
) -> dict[int, int]:
    """Cut every place of the stroke's features, in the order of the cuts, with the edges as they are.

    Parameters
    ----------
    held : Held
        How the part sits and how warm it is.
    is_recut : bool
        Whether the cuts are made again at the same setting.

    Returns
    -------
    dict of int
        By cut, at how many places it met less metal than its edge can cut.
    """
    rubbed = {}
    additions = Additions(site, mounts, part)
    for cut in cuts:
        row = site.rows.cuts[cut]
        mount, feature = mounts[row.slot], site.rows.features[row.feature]
        rubbed[cut] = 0
        for place in range(feature.places):
            where = feature.first_place + place
            before_um = part.error_um[where]
            rubbed[cut] += _rubs(site, mount, part, cut, place, is_recut)
            more = additions.added(cut, place, is_recut)
            datum = datum_place(site, held.datum, feature, place)
            moved_um = held_moved_um(site, part, cut, held, datum) + part.fault_um
            moved_um += more.leader_um + more.wheel_um + more.own_um
            _cut_place(site, mount, part, cut, row, feature.first_place, place, moved_um, is_recut)
            if row.carries and part.is_clean[where] and not is_recut:
                share = share_at(mount, row, place, part.heat_life)
                shape_place(site, part, cut, held, where, datum, share, more.form_um, before_um)
            if row.leads and part.is_clean[where]:
                additions.note(cut, place, before_um)
        site.tally.rubbed[mount.index] += rubbed[cut]
    return rubbed


def _rubs(site: Site, mount: Mount, part: Part, cut: int, place: int, is_recut: bool) -> bool:
    """Whether the edge only rubs at a place; a recut leaves alone what stands no higher than meant."""
    row, conditions = site.rows.cuts[cut], site.conditions[cut]
    met_um = metal_met_um(conditions, part.error_um[site.rows.features[row.feature].first_place + place], is_recut)
    growth = wear_growth(share_at(mount, row, place, part.heat_life), row.wear_b, row.wear_tau, row.wear_gamma)
    return bool(row.least_metal_um > 0.0 and not mount.is_broken and rubs(conditions, growth, met_um))


def _cut_place(
    site: Site,
    mount: Mount,
    part: Part,
    cut: int,
    row: Any,
    first_place: int,
    place: int,
    moved_um: float,
    is_recut: bool,
) -> None:
    """Cut one place. A recut goes over it again at the same setting and takes only what is left standing."""
    where = first_place + place
    if is_recut and part.error_um[where] <= 0.0:
        return
    if mount.is_broken:
        _leave_uncut(site, part, cut, where, is_recut)
        return
    repeat, stress, rough, _ = site.timing.normals(Purpose.CUT, cut, part.serial, try_draw(part.tries, place))
    before_um, life_share = part.error_um[where], share_at(mount, row, place, part.heat_life)
    error_um, roughness_um, scratch_um, is_clean = cut_place_by_numbers(
        (before_um, part.roughness_um[where], part.scratch_um[where], part.is_clean[where]),
        life_share,
        mount.finish_factor,
        mount.offsets.get(cut, 0.0),
        moved_um,
        repeat,
        stress,
        rough,
        is_recut,
        part.heat_force,
        *site.conditions[cut],
    )
    if is_clean and error_um != before_um and site.rows.features[row.feature].is_gauged:
        _charge(site, part, cut, where, error_um, life_share)
    part.error_um[where] = error_um
    part.roughness_um[where] = roughness_um
    part.scratch_um[where] = scratch_um
    part.is_clean[where] = bool(is_clean)
    part.is_machined[where] = True


def _leave_uncut(site: Site, part: Part, cut: int, where: int, is_recut: bool) -> None:
    """An edge that has broken takes no metal."""
    part.is_machined[where] = True
    if not is_recut:
        part.error_um[where] = metal_met_um(site.conditions[cut], part.error_um[where], False)
        part.is_clean[where] = False


def _charge(site: Site, part: Part, cut: int, where: int, error_um: float, life_share: float) -> None:
    """Enter in the account of a place what the cut left of it, and what it added."""
    row = site.rows.cuts[cut]
    growth = wear_growth(life_share, row.wear_b, row.wear_tau, row.wear_gamma)
    copied = copied_share(site.conditions[cut], growth, part.heat_force)
    own_um = error_um - copied * part.error_um[where] - part.fault_um
    part.terms[where].cut(copied, cut, own_um, len(site.rows.cuts) + row.operation, part.fault_um)
