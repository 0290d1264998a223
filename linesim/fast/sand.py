"""Sand in a casting's skin that chips or breaks the edges of first cuts; as `linesim.floor.stroke.meet_sand`."""

from __future__ import annotations

from linesim.cutting.breaking import share_when_hit
from linesim.fast import codes
from linesim.fast.common import count, four_uniforms
from linesim.fast.compiled import compiled
from linesim.fast.drawers import cut_at, kind_at, mount_at, part_at
from linesim.fast.heats import heat_life
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, World


@compiled
def meet_sand(w: World, m: Machine, first_cut: int, end_cut: int) -> None:
    """Before a stroke is run on a part for the first time: what its edges will hit in the casting's skin."""
    part = part_at(w.parts, m.part)
    if part.rounds > 0:
        return
    for cut in range(first_cut, end_cut):
        spec = cut_at(w.cuts, cut)
        number = m.first_mount + spec.slot
        mount = mount_at(w.mounts, number)
        if spec.hit_chance == 0.0 or mount.is_broken or not is_for(spec.types, part.type):
            continue
        hits, breaks, how_far, _ = four_uniforms(w, codes.PURPOSE_SKIN_HIT, cut, part.serial, 0)
        if hits >= spec.hit_chance:
            continue
        count(w.sand_hits, number)
        if breaks < spec.hit_breaks:
            life_min = spec.life_min * heat_life(w, part)
            goes_to = mount.life_share + how_far * spec.cut_min / (life_min * mount.life_factor)
            mount.break_share = min(mount.break_share, goes_to)
        else:
            land_mm, kind = spec.hit_land_mm + how_far * spec.hit_land_more_mm, kind_at(w.kinds, mount.kind)
            mount.life_share = share_when_hit(
                mount.life_share, land_mm, kind.wear_limit_mm, kind.wear_b, kind.wear_tau, kind.wear_gamma
            )
