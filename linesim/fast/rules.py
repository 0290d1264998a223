"""When a cutter set is changed: the rules of the plan, as the floor has them."""

from __future__ import annotations

from linesim.cutting.life import wear_land_mm
from linesim.fast import codes
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import kind_at, rule_at
from linesim.fast.state import Mount, World

_NEVER_READ = -float("inf")


@compiled
def wear_land_of(w: World, mount: Mount) -> float:
    """Wear land of a mounted edge as it is now, mm."""
    kind = kind_at(w.kinds, mount.kind)
    return wear_land_mm(mount.life_share, kind.wear_limit_mm, kind.wear_b, kind.wear_tau, kind.wear_gamma)


@inlined
def wants_look(w: World, mount: Mount) -> bool:
    """Whether the edge is to be looked at now."""
    rule = rule_at(w.rules, mount.rule)
    return bool(rule.way == codes.RULE_CHECK and mount.parts_since_look >= rule.interval)


@inlined
def is_due(w: World, mount: Mount) -> bool:
    """Whether the set is to be changed before the next part."""
    rule = rule_at(w.rules, mount.rule)
    if rule.way == codes.RULE_PARTS:
        return bool(mount.parts >= rule.interval)
    if rule.way == codes.RULE_MINUTES:
        return bool(mount.cut_min >= rule.interval * (1.0 - 1e-9))
    if rule.way == codes.RULE_CHECK:
        return mount.wear_read_mm != _NEVER_READ and mount.wear_read_mm >= rule.limit_mm
    if rule.way == codes.RULE_GAUGE:
        return share_used(w, mount) > 1.0
    if rule.way == codes.RULE_SHIFT:
        period_min = rule.interval * w.shift_min
        return mount.parts > 0 and w.now // period_min > mount.mounted_min // period_min
    return mount.was_rejected != 0


@inlined
def share_used(w: World, mount: Mount) -> float:
    """How much of its interval is used up; 0 where the rule has none."""
    rule = rule_at(w.rules, mount.rule)
    if rule.way == codes.RULE_PARTS:
        return float(mount.parts / rule.interval)
    if rule.way == codes.RULE_MINUTES:
        return float(mount.cut_min / rule.interval)
    if rule.way == codes.RULE_CHECK:
        return 0.0 if mount.wear_read_mm == _NEVER_READ else float(mount.wear_read_mm / rule.limit_mm)
    if rule.way == codes.RULE_GAUGE:
        return float(max(abs(mount.size_read_um) / rule.size_um, mount.roughness_read_um / rule.roughness_um))
    if rule.way == codes.RULE_SHIFT:
        return float((w.now - mount.mounted_min) / (rule.interval * w.shift_min))
    return 0.0
