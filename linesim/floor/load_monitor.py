"""Reading the load of the spindle with each part, where the rule of a set goes by it."""

from __future__ import annotations

from linesim.chance import Purpose
from linesim.cutting.life import wear_growth
from linesim.cutting.load import spindle_load
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.rules import RuleWay

__all__ = ["read_load"]


def read_load(site: Site, mount: Mount, part: Part) -> None:
    """The part is done: read the load of its cuts with the set; count alarms that are false, and those missed.

    Parameters
    ----------
    mount : Mount
        Its edge as it is after the part; nothing is read unless its rule goes by the load.
    """
    rule = site.rows.rules[site.rows.mounts[mount.index].rule]
    if rule.way != RuleWay.LOAD or not mount.types >> part.type & 1:
        return
    kind, edge, tally = mount.kind, mount.edge, site.tally
    heat = 1.0 if rule.load_per_heat else part.heat_force
    noise = rule.load_noise * site.timing.normals(Purpose.LOAD, mount.index, part.serial, part.tries)[0]
    wear = wear_growth(mount.life_share, kind.wear_b, kind.wear_tau, kind.wear_gamma)  # type: ignore[arg-type]
    edge.load_sum += spindle_load(rule.load_growth, wear, heat, noise)
    edge.load_count += 1
    if edge.load_count < rule.load_readings:
        return
    edge.load_read = edge.load_sum / edge.load_count
    edge.load_sum, edge.load_count = 0.0, 0
    is_worn = spindle_load(rule.load_growth, wear, 1.0, 0.0) >= rule.load_past
    is_alarm = edge.load_read >= rule.load_past
    tally.load_alarms[mount.index] += is_alarm
    tally.load_false[mount.index] += is_alarm and not is_worn
    tally.load_missed[mount.index] += is_worn and not is_alarm
