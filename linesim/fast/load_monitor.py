"""Reading the load of the spindle with each part, where the rule of a set goes by it."""

from __future__ import annotations

from linesim.cutting.life import wear_growth
from linesim.cutting.load import spindle_load
from linesim.fast import codes
from linesim.fast.common import count, first_normal
from linesim.fast.compiled import compiled
from linesim.fast.drawers import kind_at, mount_at, mount_plan_at, part_at, rule_at
from linesim.fast.edges import count_part
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, World


@compiled
def count_part_if(w: World, m: Machine, number: int) -> None:
    """One more part is done with a set, if it cuts parts of this type; the load is read where its rule goes by it."""
    if not is_for(mount_plan_at(w.mount_plans, number).types, part_at(w.parts, m.part).type):
        return
    count_part(mount_at(w.mounts, number))
    if rule_at(w.rules, mount_at(w.mounts, number).rule).way == codes.RULE_LOAD:
        _read_load(w, m, number)


@compiled
def _read_load(w: World, m: Machine, number: int) -> None:
    """Count alarms that are false, and those missed."""
    mount, part = mount_at(w.mounts, number), part_at(w.parts, m.part)
    rule, kind = rule_at(w.rules, mount.rule), kind_at(w.kinds, mount.kind)
    heat = 1.0 if rule.load_per_heat else part.heat_force
    noise = rule.load_noise * first_normal(w, codes.PURPOSE_LOAD, number, part.serial, part.tries)
    wear = wear_growth(mount.life_share, kind.wear_b, kind.wear_tau, kind.wear_gamma)
    mount.load_sum += spindle_load(rule.load_growth, wear, heat, noise)
    mount.load_count += 1
    if mount.load_count < rule.load_readings:
        return
    mount.load_read = mount.load_sum / mount.load_count
    mount.load_sum, mount.load_count = 0.0, 0
    is_worn = spindle_load(rule.load_growth, wear, 1.0, 0.0) >= rule.load_past
    is_alarm = mount.load_read >= rule.load_past
    if is_alarm:
        count(w.load_alarms, number)
        if not is_worn:
            count(w.load_false, number)
    elif is_worn:
        count(w.load_missed, number)
