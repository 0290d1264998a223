"""What a cut takes: its minutes, and the wear of the edges."""

from __future__ import annotations

import math

from linesim.chance.addresses import recut_index
from linesim.cutting.life import wear_growth_after
from linesim.cutting.rubbing import charged_min
from linesim.fast import codes
from linesim.fast.common import minutes_of
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import cut_at, part_at, real_at
from linesim.fast.mixing import work_time
from linesim.fast.state import Machine, Mount, World


@inlined
def minutes_to_break(mount: Mount, life_min: float) -> float:
    """Cutting minutes until the edge breaks, at a cut in which an average edge lasts ``life_min``."""
    if math.isinf(mount.break_share) or math.isinf(life_min):
        return math.inf
    return (mount.break_share - mount.life_share) * (life_min * mount.life_factor)


@inlined
def share_at(w: World, mount: Mount, cut: int, cut_pass: int, heat_life: float) -> float:
    """Life share of the edge in a pass of a cut, those before it cut."""
    spec = cut_at(w.cuts, cut)
    if cut_pass > 0 and not math.isinf(spec.life_min):
        return float(mount.life_share + cut_pass * spec.pass_min / (spec.life_min * heat_life * mount.life_factor))
    return mount.life_share


@inlined
def growth_at(w: World, mount: Mount, cut: int, cut_pass: int, heat_life: float) -> float:
    """How far the wear of the edge has grown in a pass of a cut."""
    spec, life_share = cut_at(w.cuts, cut), share_at(w, mount, cut, cut_pass, heat_life)
    full_break_in = real_at(w.break_ins, cut).value
    return wear_growth_after(life_share, full_break_in, spec.wear_b, spec.wear_tau, spec.wear_gamma)


@inlined
def wear(mount: Mount, cut_min: float, life_min: float, places: int) -> None:
    """So many minutes are cut with it at so many places; where it rubbed they count three times."""
    mount.cut_min += cut_min
    if not math.isinf(life_min):
        mount.life_share += charged_min(cut_min, mount.rubbed, places) / (life_min * mount.life_factor)
    mount.rubbed = 0


@inlined
def wear_freely(mount: Mount, cut_min: float) -> None:
    """As `wear` where no cut is described, so that no edge can rub: without what rubbing would cost each part."""
    mount.cut_min += cut_min
    if not math.isinf(mount.expected_life_min):
        mount.life_share += cut_min / (mount.expected_life_min * mount.life_factor)


@inlined
def count_part(mount: Mount) -> None:
    """One more part is done with it."""
    mount.parts += 1
    mount.parts_since_look += 1


@inlined
def minutes_of_work(w: World, m: Machine) -> float:
    """Minutes of an operation that is given by them."""
    return m.fixed_min if m.fixed_min >= 0.0 else _drawn_minutes(w, m)


@compiled
def _drawn_minutes(w: World, m: Machine) -> float:
    """Minutes by chance; another draw for each time that the work is done again."""
    time, part = work_time(w, m), part_at(w.parts, m.part)
    if part.tries == 0:
        return minutes_of(w, time, codes.PURPOSE_CYCLE, m.operation, part.serial)
    return minutes_of(w, time, codes.PURPOSE_RECUT, m.operation, recut_index(part.serial, part.tries))
