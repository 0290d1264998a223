"""What a trainee sees and can decide, as plain values: the same for a terminal and for a page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linesim.plan.tables import NONE, RenewalWay
from linesim.quality.limits import drawing_scale
from linesim.training.senses import sound_of
from linesim.works.features import Feature

if TYPE_CHECKING:
    from linesim.training.shift import Shift

__all__ = ["choices_of", "view_of"]

Plain = dict[str, Any]


def view_of(shift: Shift) -> Plain:
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
            "machine": case.places.machine_name(question.machine),
            "words": list(question.words),
            "waiting": [case.places.machine_name(machine) for machine in question.waiting],
        },
        "counts": {
            "shipped": int(tally.shipped.sum()),
            "scrapped": int(tally.scrapped_parts.sum()),
            "in the line": sum(yard.inside for yard in floor.yards),
        },
        "machines": [_machine(shift, machine) for machine in case.places.in_hand],
        "crib": _crib(shift),
        "setters": _setters(shift),
        "ledger": {"upto_min": upto, "items": dict(items), "currency": case.works.currency},
    }


def _machine(shift: Shift, index: int) -> Plain:
    """One machine in the trainee's hands."""
    case, machine = shift.case, shift.stand.floor.machines[index]
    site, senses = shift.stand.floor.site, shift.senses
    chips = machine.spec.chip_clean_time != NONE if index in case.places.with_chips() else None
    return {
        "machine": case.places.machine_name(index),
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
        "gauges": [_gauge(shift, gauge) for gauge in case.places.gauges_of(index)],
        "offsets": [
            {"cut": case.places.names.cuts[cut], "deeper_um": mount.offsets.get(cut, 0.0)}
            for cut in case.places.cuts_of(index)
            for mount in [machine.mounts[site.rows.cuts[cut].slot]]
        ],
        "chips_cleaned": chips,
        "booked": [order.plain() for order in shift.stand.hand.booked(index)],
    }


def _spec(shift: Shift, machine: int) -> Any:
    """What the scenario says of a machine's operation."""
    specs = [spec for line in shift.case.works.lines.values() for spec in line.operations.values()]
    return specs[shift.case.places.operation_of[machine]]


def _cutter(shift: Shift, mount: Any) -> Plain:
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


def _gauge(shift: Shift, number: int) -> Plain:
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
        "gauge": case.places.names.gauges[number],
        "feature": case.places.names.features[row.feature],
        "every": row.every,
        "metal_left_um": scale,
        "dial_limits_um": limits,
        "ra_limit_um": row.roughness_limit_um if row.reads_roughness else None,
        "error_um": abs(scale) * row.error_um,
        "corrects": None if row.corrects_cut == NONE else case.places.names.cuts[row.corrects_cut],
        "correction_share": row.correction_share,
        "dead_band_um": row.dead_band_um,
        "readings": readings,
    }


def _feature(shift: Shift, number: int) -> Feature:
    """A feature of the works by its number in the plan."""
    return [feature for line in shift.case.works.lines.values() for feature in line.features.values()][number]


def _crib(shift: Shift) -> list[Plain]:
    """What stands sharp in the crib, for the sets in the trainee's hands."""
    crib, places = shift.stand.floor.site.crib, shift.case.places
    kinds = dict.fromkeys(
        int(places.plan.mounts.kind[mount]) for machine in places.in_hand for mount in places.mounts_of(machine)
    )
    return [
        {
            "set": places.names.kinds[kind],
            "sharp": len(crib.shelves[kind].sharp),
            "wanted": len(crib.shelves[kind].waiting),
            "at_the_grinder": crib.grinders.count - crib.grinders.free + len(crib.grinders.waiting),
        }
        for kind in kinds
    ]


def _setters(shift: Shift) -> list[Plain]:
    """Pools of people: who is free, and who waits for them."""
    names = shift.case.places.names
    return [
        {"people": name, "count": pool.count, "free": pool.free, "waiting": len(pool.waiting)}
        for name, pool in zip(names.pools, shift.stand.floor.site.pools, strict=True)
    ]


# --- choices ---------------------------------------------------------------------------------------------------------


def choices_of(shift: Shift) -> list[Plain]:
    """What can be decided now.

    Returns
    -------
    list of dict
        Each with words for people, the entries of the order that it makes, and fields: entries to be filled in, each
        with name, words, unit, low, high and a usual value.
    """
    if shift.is_over:
        return []
    question = shift.stand.hand.pending
    found = list(_answers(shift, question)) if question is not None else []
    if not shift.history or all(entry["do"] == "set up" for entry in shift.history):
        ways = shift.lesson.ways_to_set_up()
        found += [_choice(f"Set the line up: {way}", do="set up", way=way) for way in ways if way != shift.way]
    for machine in shift.case.places.in_hand:
        found += _at_machine(shift, machine)
    found += _first(shift)
    minutes = _field("minutes", "for how long", "min", 1, 480, 30)
    parts = _field("parts", "parts to begin", "", 1, 500, 10)
    return [
        *found,
        _choice("Let the line run on to the next decision", do="run"),
        _choice("Let the line run for so many minutes", minutes, do="run"),
        *(
            _choice(f"Let {name} begin so many parts", parts, do="run", machine=name)
            for name in map(shift.case.places.machine_name, shift.case.places.in_hand)
        ),
    ]


def _choice(words: str, *fields: Plain, **order: Any) -> Plain:
    return {"words": words, "order": order, "fields": list(fields)}


def _field(name: str, words: str, unit: str, low: float, high: float, usual: float) -> Plain:
    return {"name": name, "words": words, "unit": unit, "low": low, "high": high, "usual": usual}


def _answers(shift: Shift, question: Any) -> list[Plain]:
    """Answers to the question at which the line stands."""
    if question.kind == "part":
        return [
            _choice("Pass the doubtful part", do="verdict", say="pass"),
            _choice("Turn the doubtful part down", do="verdict", say="turn down"),
        ]
    names = [shift.case.places.machine_name(machine) for machine in question.waiting]
    return [_choice(f"Send the setter to {name} first", do="send", machine=name) for name in names]


def _at_machine(shift: Shift, index: int) -> list[Plain]:
    """What can be ordered at one machine."""
    places, machine = shift.case.places, shift.stand.floor.machines[index]
    name = places.machine_name(index)
    found = []
    for mount in machine.mounts:
        found += _at_set(shift, name, mount)
    for cut in places.cuts_of(index):
        cut_name = places.names.cuts[cut]
        deeper = _field("deeper", "deeper by (negative: less deep), per side", "µm", -200, 200, 5)
        found.append(_choice(f"{name}: offset the cut {cut_name}", deeper, do="offset", machine=name, cut=cut_name))
    if index in places.with_chips():
        is_cleaned = machine.spec.chip_clean_time != NONE
        words = (
            "leave the locating faces as they are" if is_cleaned else "brush the locating faces clean before each part"
        )
        found.append(_choice(f"{name}: {words}", do="chips", machine=name, clean=not is_cleaned))
    for gauge in places.gauges_of(index):
        found += _at_gauge(shift, name, gauge)
    return found


def _at_set(shift: Shift, name: str, mount: Any) -> list[Plain]:
    """What can be ordered for one mounted set."""
    edge, way = mount.edge.set_name, RenewalWay(int(mount.kind.renewal))
    looks = shift.case.looks
    verb = {RenewalWay.DRESSED: "dress", RenewalWay.INDEXED: "index"}.get(way, "change")
    at = {"machine": name, "set": edge}
    parts = _field("parts", "parts", "", 1, 500, 20)
    found = [
        _choice(f"{name}: {verb} the {edge} before the next part", do="change", **at),
        _choice(f"{name}: leave the {edge} in for so many more parts", parts, do="leave", **at),
        _choice(f"{name}: look at the edge of the {edge} ({looks.minutes:g} min)", do="look", **at),
        _choice(
            f"{name}: from now on {verb} the {edge} after so many parts", parts, do="rule", **at, rule={"parts": None}
        ),
    ]
    if way == RenewalWay.REGROUND:
        words = f"{name}: change the {edge}, give the dull set up and order a new one"
        found.append(_choice(words, do="change", **at, dull="given up"))
    if shift.stand.hand.held[mount.index].rule is not shift.stand.hand.held[mount.index].plans:
        found.append(
            _choice(f"{name}: keep to the plan's rule for the {edge} again", do="rule", **at, rule="the plan's")
        )
    return found


def _at_gauge(shift: Shift, name: str, number: int) -> list[Plain]:
    """What can be ordered at a gauge."""
    places, row = shift.case.places, shift.stand.floor.site.rows.gauges[number]
    gauge = places.names.gauges[number]
    every = _field("parts", "one part in", "", 1, 500, max(row.every, 1))
    share = _field("share", "share of the error read", "", 0, 1, 0.5)
    band = _field("dead_band", "errors left alone up to", "µm per side", 0, 100, 5)
    found = [
        _choice(f"{name}: gauge the next part with the {gauge}", do="gauge", gauge=gauge),
        _choice(
            f"{name}: from now on gauge one part in so many with the {gauge}", every, do="gauge every", gauge=gauge
        ),
    ]
    if row.reads_size and (row.corrects_cut != NONE or row.recut_cut != NONE):
        words = f"{name}: from now on correct the offset by the {gauge}"
        found.append(_choice(words, share, band, do="correct", gauge=gauge))
        if row.correction_share > 0.0 and row.corrects_cut != NONE:
            found.append(_choice(f"{name}: correct by the {gauge} no more", do="correct", gauge=gauge, share=0))
    return found


def _first(shift: Shift) -> list[Plain]:
    """Whom a setter serves first, where several machines call on the same."""
    places = shift.case.places
    setters = places.plan.operations.setters
    found = []
    for pool, people in enumerate(places.names.pools):
        own = [machine for machine in places.in_hand if int(setters[places.operation_of[machine]]) == pool]
        if len(own) < 2:
            continue
        for name in dict.fromkeys(places.machine_name(machine) for machine in own):
            words = f"From now on {people} go to {name} first when several machines wait"
            found.append(_choice(words, do="first", people=people, machines=[name]))
        found.append(_choice(f"{people} serve first come, first served again", do="first", people=people, machines=[]))
    return found
