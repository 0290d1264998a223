"""What a trainee sees, as plain values: the same for a terminal and for a page."""

from __future__ import annotations

from typing import Any

from linesim.plan.tables import NONE, RenewalWay
from linesim.quality.limits import drawing_scale
from linesim.training.senses import sound_of
from linesim.training.state import ShiftState
from linesim.works.features import Feature

__all__ = ["view_of"]

Plain = dict[str, Any]


def view_of(shift: ShiftState) -> Plain:
    """All that a person on the floor can see at this moment, as plain values fit for JSON.

    Returns
    -------
    dict
        minute, minutes_left, is_over; question (None or kind, machine, words, waiting); counts of parts; machines in
        hand with cutters, strokes, finishes, gauges, offsets and chips; crib (sharp sets by kind); setters; ledger
        (up to which minute, money by item, without quality loss).
    """
    case, floor = shift.case, shift.stand.floor
    tally, question = floor.site.tally, shift.stand.hand.pending
    upto, items = shift.ledger()
    return {
        "minute": shift.minute,
        "minutes_left": max(case.plan.length_min - shift.minute, 0.0),
        "is_over": shift.is_over,
        "way": shift.way,
        "question": None
        if question is None
        else {
            "kind": question.kind,
            "machine": case.directory.machine_name(question.machine),
            "words": list(question.words),
            "waiting": [case.directory.machine_name(machine) for machine in question.waiting],
        },
        "counts": {
            "shipped": int(tally.shipped.sum()),
            "scrapped": int(tally.scrapped_parts.sum()),
            "in the line": sum(yard.inside for yard in floor.yards),
        },
        "machines": [_machine(shift, machine) for machine in case.directory.in_hand],
        "crib": _crib(shift),
        "setters": _setters(shift),
        "ledger": {"upto_min": upto, "items": dict(items), "currency": case.works.currency},
    }


def _machine(shift: ShiftState, index: int) -> Plain:
    """One machine in the trainee's hands."""
    case, machine = shift.case, shift.stand.floor.machines[index]
    site, senses = shift.stand.floor.site, shift.senses
    chips = machine.spec.chip_clean_time != NONE if index in case.directory.with_chips() else None
    return {
        "machine": case.directory.machine_name(index),
        "about": _spec(shift, index).about,
        "state": machine.state.words,
        "since_min": site.env.now - machine.last_entry,
        "parts": senses.done.get(index, 0),
        "cutters": [_cutter(shift, mount) for mount in machine.mounts],
        "strokes": [
            {"stroke": name, "load_percent": load, "sound": sound_of(load)}
            for name, load in senses.loads.get(index, [])
        ],
        "finishes": [
            {"feature": name, "plate_um": plate, "is_clean": is_clean}
            for name, plate, is_clean in senses.finishes.get(index, [])
        ],
        "gauges": [_gauge(shift, gauge) for gauge in case.directory.gauges_of(index)],
        "offsets": [
            {"cut": case.directory.names.cuts[cut], "deeper_um": mount.offsets.get(cut, 0.0)}
            for cut in case.directory.cuts_of(index)
            for mount in [machine.mounts[site.rows.cuts[cut].slot]]
        ],
        "chips_cleaned": chips,
        "booked": [order.plain() for order in shift.stand.hand.booked(index)],
    }


def _spec(shift: ShiftState, machine: int) -> Any:
    """What the scenario says of a machine's operation."""
    specs = [spec for line in shift.case.works.lines.values() for spec in line.operations.values()]
    return specs[shift.case.directory.operation_of[machine]]


def _cutter(shift: ShiftState, mount: Any) -> Plain:
    """One mounted set as it is known at the machine."""
    edge, held = mount.edge, shift.stand.hand.held[mount.index]
    return {
        "set": edge.set_name,
        "parts": edge.parts,
        "cut_min": edge.cut_min,
        "look_mm": None if edge.wear_read_mm is None else max(edge.wear_read_mm, 0.0),
        "look_parts_ago": edge.parts_since_look if edge.wear_read_mm is not None else None,
        "dull_at_mm": edge.wear_limit_mm,
        "is_by_plan": held.rule is held.plans,
        "is_left_in": held.leave_until is not None and edge.parts < held.leave_until,
        "way": _WAYS[RenewalWay(int(mount.kind.renewal))],
    }


_WAYS = {
    RenewalWay.REGROUND: "ground in the crib",
    RenewalWay.INDEXED: "indexed in place",
    RenewalWay.DRESSED: "dressed in place",
    RenewalWay.BOUGHT: "replaced by a new one",
}


def _gauge(shift: ShiftState, number: int) -> Plain:
    """A gauge with its last readings, as its dial shows them."""
    case, row = shift.case, shift.stand.floor.site.rows.gauges[number]
    feature = _feature(shift, row.feature)
    scale = drawing_scale(feature)
    readings = [
        {
            "part": serial + 1,
            "dial_um": scale * reading.worst_um if row.reads_size else None,
            "ra_um": reading.roughness_um if row.reads_roughness else None,
            "verdict": "passes" if reading.cause is None else reading.cause.words,
        }
        for serial, reading in shift.stand.hand.readings[number]
    ]
    limits = sorted((scale * row.low_um, scale * row.high_um)) if row.reads_size else None
    return {
        "gauge": case.directory.names.gauges[number],
        "feature": case.directory.names.features[row.feature],
        "every": row.every,
        "metal_left_um": scale,
        "dial_limits_um": limits,
        "ra_limits_um": _finish_limits(row) if row.reads_roughness else [],
        "error_um": abs(scale) * row.error_um,
        "corrects": None if row.corrects_cut == NONE else case.directory.names.cuts[row.corrects_cut],
        "correction_share": row.correction_share,
        "dead_band_um": row.dead_band_um,
        "readings": readings,
    }


def _finish_limits(row: Any) -> list[float]:
    """Limits of Ra at a gauge, µm: the upper one, or both where a surface can be too smooth."""
    return [row.roughness_low_um, row.roughness_limit_um] if row.roughness_low_um > 0.0 else [row.roughness_limit_um]


def _feature(shift: ShiftState, number: int) -> Feature:
    """A feature of the works by its number in the plan."""
    return [feature for line in shift.case.works.lines.values() for feature in line.features.values()][number]


def _crib(shift: ShiftState) -> list[Plain]:
    """What stands sharp in the crib, for the sets in the trainee's hands."""
    crib, directory = shift.stand.floor.site.crib, shift.case.directory
    kinds = dict.fromkeys(
        int(directory.plan.mounts.kind[mount])
        for machine in directory.in_hand
        for mount in directory.mounts_of(machine)
    )
    return [
        {
            "set": directory.names.kinds[kind],
            "sharp": len(crib.shelves[kind].sharp),
            "wanted": len(crib.shelves[kind].waiting),
            "at_the_grinder": crib.grinders.count - crib.grinders.free + len(crib.grinders.waiting),
        }
        for kind in kinds
    ]


def _setters(shift: ShiftState) -> list[Plain]:
    """Pools of people: who is free, and who waits for them."""
    names = shift.case.directory.names
    return [
        {"people": name, "count": pool.count, "free": max(pool.free, 0), "waiting": len(pool.waiting)}
        for name, pool in zip(names.pools, shift.stand.floor.site.pools, strict=True)
    ]
