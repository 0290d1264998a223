"""Tables of changes, cutter sets, people and gauges."""

from __future__ import annotations

import numpy as np
import pandas as pd

from linesim.ledger.attendance import attendance_min
from linesim.ledger.stations import stations_of
from linesim.plan.mishaps import mastering_minutes
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.works.model import Works

__all__ = [
    "GRINDERS", "change_table", "gauge_table", "people_columns", "people_table", "set_columns", "set_table",
]  # fmt: skip

GRINDERS = "grinders"
"""Name of the tool grinders among the pools."""


def change_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each cutter set mounted on a machine.

    Returns
    -------
    DataFrame
        line, operation, machine, cutter; planned (due by their rule), joined (changed early in another's stop) and
        unplanned (broken) changes, in_place of all these, taken_over of all these (by the next sister, without the
        setter), looks, load_alarms (readings of the spindle's load past the figure of the rule), load_false of these
        (without heats and noise they would not be), load_missed (others that would); parts_per_edge,
        life_share_at_change and cut_min_per_edge, means over the edges that were changed; saved (parts in which the set
        broke and that went on), rubbed (places at which an edge met less metal than it can cut), sand_hits (edges
        chipped or broken by sand in a casting's skin); broke_unseen (edges that broke without being seen), cut_unseen
        (parts cut with them until they were known), probe_found of these edges (by the probe for broken cutters).
    """
    stations = stations_of(works, plan)
    machines = plan.mounts.machine.tolist()
    locations = [stations[int(plan.machines.operation[machine])].location for machine in machines]
    edges = tally.planned + tally.joined + tally.unplanned
    return pd.DataFrame(
        {
            "line": [location.line for location in locations],
            "operation": [location.operation for location in locations],
            "machine": [plan.names.machines[machine] for machine in machines],
            "cutter": [plan.names.kinds[kind] for kind in plan.mounts.kind.tolist()],
            "planned": tally.planned,
            "joined": tally.joined,
            "unplanned": tally.unplanned,
            "in_place": tally.in_place,
            "taken_over": tally.taken_over,
            "looks": tally.looks,
            "load_alarms": tally.load_alarms,
            "load_false": tally.load_false,
            "load_missed": tally.load_missed,
            "parts_per_edge": per(tally.edge_parts, edges),
            "life_share_at_change": per(tally.edge_life, edges),
            "cut_min_per_edge": per(tally.edge_min, edges),
            "saved": tally.saved,
            "rubbed": tally.rubbed,
            "sand_hits": tally.sand_hits,
            "broke_unseen": tally.broke_unseen,
            "cut_unseen": tally.cut_unseen,
            "probe_found": tally.probe_found,
        }
    )


def set_columns(works: Works, plan: Plan, tally: Tally) -> dict[str, Floats]:
    """Waits for sharp sets and how many stand on the shelf, (kinds,) each; see `set_table`."""
    machines = _machines_of_kinds(works, plan)
    return {
        "mean_wait_min": per(tally.set_waited_min, tally.set_claims),
        "wait_share": per(tally.set_waited_min, machines * tally.counted_min),
        "mean_sharp": per(tally.sharp_min, tally.counted_min),
    }


def _machines_of_kinds(works: Works, plan: Plan) -> Ints:
    """How many machines mount each kind; a machine mounts one set of a kind."""
    return np.bincount(plan.mounts.kind, minlength=len(works.cutters)).astype(np.int64)


def set_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each kind of cutter set.

    Returns
    -------
    DataFrame
        cutter, sets (in circulation), machines (that mount it), bought, regrinds, claims (sharp sets drawn),
        mean_wait_min for one, wait_share (of the time of the machines that mount it), mean_sharp and fewest_sharp on
        the shelf, mean_in_use (mounted, dull, in the grinding or on order: all that are not on the shelf); where sets
        are preset, presettings and mean_preset_wait_min, for a presetter.
    """
    means = set_columns(works, plan, tally)
    table = pd.DataFrame(
        {
            "cutter": list(plan.names.kinds),
            "sets": plan.kinds.sets,
            "machines": _machines_of_kinds(works, plan),
            "bought": tally.bought,
            "regrinds": tally.regrinds,
            "claims": tally.set_claims,
            "mean_wait_min": means["mean_wait_min"],
            "wait_share": means["wait_share"],
            "mean_sharp": means["mean_sharp"],
            "fewest_sharp": tally.fewest_sharp,
            "mean_in_use": plan.kinds.sets - means["mean_sharp"],
        }
    )
    if plan.presetters == NONE:
        return table
    return table.assign(
        presettings=tally.presettings, mean_preset_wait_min=per(tally.preset_waited_min, tally.presettings)
    )


def people_columns(plan: Plan, tally: Tally) -> dict[str, Floats]:
    """How busy people are and how long is waited for them, (pools and grinders,) each; see `people_table`."""
    return {
        "busy_share": per(tally.busy_min, attendance_min(plan, tally)),
        "mean_wait_min": per(tally.waited_min, tally.jobs),
        "mean_queue": per(tally.queue_min, tally.counted_min),
    }


def _people_count(works: Works, plan: Plan) -> Ints:
    return np.array(
        [*(max(works.calendar.attending(people)) for people in works.people.values()), plan.grinders], dtype=np.int64
    )


def people_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each pool of people; the tool grinders stand last.

    Returns
    -------
    DataFrame
        pool, kind ("people" or "grinders"), count (the most who attend), busy_share, busy_min, jobs, mean_wait_min (of
        the claims that were served), mean_queue.
    """
    means = people_columns(plan, tally)
    return pd.DataFrame(
        {
            "pool": [*plan.names.pools, GRINDERS],
            "kind": ["people"] * len(plan.names.pools) + [GRINDERS],
            "count": _people_count(works, plan),
            "busy_share": means["busy_share"],
            "busy_min": tally.busy_min,
            "jobs": tally.jobs,
            "mean_wait_min": means["mean_wait_min"],
            "mean_queue": means["mean_queue"],
        }
    )


def gauge_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each gauge.

    Returns
    -------
    DataFrame
        line, operation, gauge, feature; readings; good_passed, good_turned_down, bad_passed and bad_turned_down, by the
        true values of the part against the gauge's limits without guard band; corrections of an offset; masterings,
        and mastering_min that they take on average; faults_found, hidden ones.
    """
    gauges = [
        (station, name, gauge) for station in stations_of(works, plan) for name, gauge in station.spec.gauges.items()
    ]
    rows = [(*station.location, name, gauge.feature) for station, name, gauge in gauges]
    mastering_min = np.array([mastering_minutes(gauge) for _, _, gauge in gauges], dtype=np.float64)
    table = pd.DataFrame(rows, columns=["line", "operation", "gauge", "feature"])
    return table.assign(
        readings=tally.readings,
        good_passed=tally.judged[:, 0, 0],
        good_turned_down=tally.judged[:, 0, 1],
        bad_passed=tally.judged[:, 1, 0],
        bad_turned_down=tally.judged[:, 1, 1],
        corrections=tally.corrections,
        masterings=tally.masterings,
        mastering_min=tally.masterings * mastering_min,
        faults_found=tally.found_by.sum(axis=1),
    )
