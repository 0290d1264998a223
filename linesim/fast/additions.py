"""What bears on a cut beside its edge, its setting and what it finds: as `linesim.floor.additions`."""

from __future__ import annotations

import math

from linesim.cutting.bar import followed_um
from linesim.cutting.printing import printed_form_um
from linesim.cutting.sizing import honed_by_gauge_min
from linesim.cutting.wheel import not_sparked_out_um
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import cut_at, feature_at, mount_at, part_at, place_at, placing_at, real_at
from linesim.fast.edges import share_at
from linesim.fast.heats import heat_life
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE

__all__ = ["added_um", "minutes_of_cut", "note_found", "printed_um", "set_honing_minutes"]


@inlined
def note_found(w: World, place: int, found_um: float, pushed: float) -> None:
    """A leading blade found this error at a place, infinite without metal, and was pushed away so far."""
    real_at(w.led_um, place).value = found_um
    real_at(w.led_pushed_um, place).value = pushed


@compiled
def added_um(w: World, m: Machine, cut: int, place: int, cut_pass: int, is_recut: bool) -> float:
    """All that is added to the error of a place in a cut beside how the part sits."""
    spec = cut_at(w.cuts, cut)
    mount = mount_at(w.mounts, m.first_mount + spec.slot)
    leader_um = 0.0 if is_recut or spec.leader == NONE else _led_um(w, cut, place)
    wheel_um = spec.wheel_um_min * (mount.cut_min + cut_pass * spec.pass_min)
    constant_min = spec.spark_out_constant_min
    if constant_min > 0.0:
        share = share_at(w, mount, cut, cut_pass, heat_life(w, part_at(w.parts, m.part)))
        wheel_um += not_sparked_out_um(spec.infeed_um_min, spec.spark_out_min, constant_min, share)
    return float(leader_um + wheel_um + spec.own_um)


@compiled
def printed_um(w: World, m: Machine, cut: int, place: int) -> float:
    """What a leading blade or a worn wheel prints into the form of a place."""
    spec = cut_at(w.cuts, cut)
    if not spec.has_additions:
        return 0.0
    mount = mount_at(w.mounts, m.first_mount + spec.slot)
    is_led = spec.leader != NONE and not math.isinf(real_at(w.led_um, place).value)
    return printed_form_um(placing_at(w.placings, cut), is_led, mount.cut_min + place // spec.at_once * spec.pass_min)


@inlined
def _led_um(w: World, cut: int, place: int) -> float:
    """What the leading blade adds, if it cut this place in this stroke."""
    spec = cut_at(w.cuts, cut)
    found_um = real_at(w.led_um, place).value
    if math.isinf(found_um):
        return 0.0
    pushed, stiffness_n_um = real_at(w.led_pushed_um, place).value, cut_at(w.cuts, spec.leader).stiffness_n_um
    return followed_um(spec.follow_share, found_um, spec.follow_um_n, pushed, stiffness_n_um)


@compiled
def set_honing_minutes(w: World, m: Machine, first_cut: int, end_cut: int, is_recut: bool) -> float:
    """Work out how long the cuts that stop at size take on this part; returns the minutes of the longest cut."""
    stroke_min = 0.0
    for cut in range(first_cut, end_cut):
        if not is_for(cut_at(w.cuts, cut).types, part_at(w.parts, m.part).type):
            continue
        if cut_at(w.cuts, cut).honing_um_min > 0.0:
            real_at(w.honing_min, cut).value = _honing_minutes(w, m, cut, is_recut)
        stroke_min = max(stroke_min, minutes_of_cut(w, cut))
    return stroke_min


@inlined
def minutes_of_cut(w: World, cut: int) -> float:
    """Minutes of a cut on the part at hand."""
    spec = cut_at(w.cuts, cut)
    return float(real_at(w.honing_min, cut).value if spec.honing_um_min > 0.0 else spec.cut_min)


@compiled
def _honing_minutes(w: World, m: Machine, cut: int, is_recut: bool) -> float:
    """Pass after pass, each as long as the place with the most stock wants."""
    spec = cut_at(w.cuts, cut)
    feature = feature_at(w.features, spec.feature)
    first = m.part * w.most_places + feature.first_place
    depth_um = 0.0 if is_recut else 1000.0 * spec.depth_mm
    total = longest = 0.0
    for place in range(feature.places):
        error_um = place_at(w.part_places, first + place).error_um
        minutes = honed_by_gauge_min(depth_um, error_um, spec.honing_um_min, spec.spark_out_min)
        longest = minutes if place % spec.at_once == 0 else max(longest, minutes)
        if place % spec.at_once == spec.at_once - 1 or place == feature.places - 1:
            total += longest
    return total
