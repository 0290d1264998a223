"""What a trainee can decide, as plain values: words for people, and the order that comes of each choice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linesim.plan.tables import NONE, RenewalWay
from linesim.training.state import ShiftState

__all__ = ["choices_of", "filled"]

Plain = dict[str, Any]


def choices_of(shift: ShiftState) -> list[Plain]:
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
    choices = list(_answers(shift, question)) if question is not None else []
    if not shift.history or all(entry["do"] == "set up" for entry in shift.history):
        ways = shift.lesson.ways_to_set_up()
        choices += [_choice(f"Set the line up: {way}", do="set up", way=way) for way in ways if way != shift.way]
    for machine in shift.case.directory.in_hand:
        choices += _at_machine(shift, machine)
    choices += _first(shift)
    minutes = _field("minutes", "for how long", "min", 1, 480, 30)
    parts = _field("parts", "parts to begin", "", 1, 500, 10)
    return [
        *choices,
        _choice("Let the line run on to the next decision", do="run"),
        _choice("Let the line run for so many minutes", minutes, do="run"),
        *(
            _choice(f"Let {name} begin so many parts", parts, do="run", machine=name)
            for name in map(shift.case.directory.machine_name, shift.case.directory.in_hand)
        ),
    ]


def _choice(words: str, *fields: Plain, **order: Any) -> Plain:
    return {"words": words, "order": order, "fields": list(fields)}


def _field(name: str, words: str, unit: str, low: float, high: float, usual: float) -> Plain:
    return {"name": name, "words": words, "unit": unit, "low": low, "high": high, "usual": usual}


def _answers(shift: ShiftState, question: Any) -> list[Plain]:
    """Answers to the question at which the line stands."""
    if question.kind == "part":
        return [
            _choice("Pass the doubtful part", do="verdict", say="pass"),
            _choice("Turn the doubtful part down", do="verdict", say="turn down"),
        ]
    names = [shift.case.directory.machine_name(machine) for machine in question.waiting]
    return [_choice(f"Send the setter to {name} first", do="send", machine=name) for name in names]


def _at_machine(shift: ShiftState, index: int) -> list[Plain]:
    """What can be ordered at one machine."""
    directory, machine = shift.case.directory, shift.stand.floor.machines[index]
    name = directory.machine_name(index)
    choices = []
    for mount in machine.mounts:
        choices += _at_set(shift, name, mount)
    for cut in directory.cuts_of(index):
        cut_name = directory.names.cuts[cut]
        deeper = _field("deeper", "deeper by (negative: less deep), per side", "µm", -200, 200, 5)
        choices.append(_choice(f"{name}: offset the cut {cut_name}", deeper, do="offset", machine=name, cut=cut_name))
    if index in directory.with_chips():
        is_cleaned = machine.spec.chip_clean_time != NONE
        words = (
            "leave the locating faces as they are" if is_cleaned else "brush the locating faces clean before each part"
        )
        choices.append(_choice(f"{name}: {words}", do="chips", machine=name, clean=not is_cleaned))
    for gauge in directory.gauges_of(index):
        choices += _at_gauge(shift, name, gauge)
    return choices


def _at_set(shift: ShiftState, name: str, mount: Any) -> list[Plain]:
    """What can be ordered for one mounted set."""
    edge, way = mount.edge.set_name, RenewalWay(int(mount.kind.renewal))
    looks = shift.case.looks
    verb = {RenewalWay.DRESSED: "dress", RenewalWay.INDEXED: "index"}.get(way, "change")
    at = {"machine": name, "set": edge}
    parts = _field("parts", "parts", "", 1, 500, 20)
    choices = [
        _choice(f"{name}: {verb} the {edge} before the next part", do="change", **at),
        _choice(f"{name}: leave the {edge} in for so many more parts", parts, do="leave", **at),
        _choice(f"{name}: look at the edge of the {edge} ({looks.minutes:g} min)", do="look", **at),
        _choice(
            f"{name}: from now on {verb} the {edge} after so many parts", parts, do="rule", **at, rule={"parts": None}
        ),
    ]
    if way == RenewalWay.REGROUND:
        words = f"{name}: change the {edge}, give the dull set up and order a new one"
        choices.append(_choice(words, do="change", **at, dull="given up"))
    if shift.stand.hand.held[mount.index].rule is not shift.stand.hand.held[mount.index].plans:
        choices.append(
            _choice(f"{name}: keep to the plan's rule for the {edge} again", do="rule", **at, rule="the plan's")
        )
    return choices


def _at_gauge(shift: ShiftState, name: str, number: int) -> list[Plain]:
    """What can be ordered at a gauge."""
    directory, row = shift.case.directory, shift.stand.floor.site.rows.gauges[number]
    gauge = directory.names.gauges[number]
    every = _field("parts", "one part in", "", 1, 500, max(row.every, 1))
    share = _field("share", "share of the error read", "", 0, 1, 0.5)
    band = _field("dead_band", "errors left alone up to", "µm per side", 0, 100, 5)
    choices = [
        _choice(f"{name}: gauge the next part with the {gauge}", do="gauge", gauge=gauge),
        _choice(
            f"{name}: from now on gauge one part in so many with the {gauge}", every, do="gauge every", gauge=gauge
        ),
    ]
    if row.reads_size and (row.corrects_cut != NONE or row.recut_cut != NONE):
        words = f"{name}: from now on correct the offset by the {gauge}"
        choices.append(_choice(words, share, band, do="correct", gauge=gauge))
        if row.correction_share > 0.0 and row.corrects_cut != NONE:
            choices.append(_choice(f"{name}: correct by the {gauge} no more", do="correct", gauge=gauge, share=0))
    return choices


def _first(shift: ShiftState) -> list[Plain]:
    """Whom a setter serves first, where several machines call on the same."""
    directory = shift.case.directory
    setters = directory.plan.operations.setters
    choices = []
    for pool, people in enumerate(directory.names.pools):
        own = [machine for machine in directory.in_hand if int(setters[directory.operation_of[machine]]) == pool]
        if len(own) < 2:
            continue
        for name in dict.fromkeys(directory.machine_name(machine) for machine in own):
            words = f"From now on {people} go to {name} first when several machines wait"
            choices.append(_choice(words, do="first", people=people, machines=[name]))
        choices.append(
            _choice(f"{people} serve first come, first served again", do="first", people=people, machines=[])
        )
    return choices


def filled(choice: Mapping[str, Any], values: Mapping[str, float]) -> dict[str, Any]:
    """The order that a choice makes with its fields filled in.

    >>> filled({"order": {"do": "rule", "rule": {"parts": None}}, "fields": []}, {"parts": 20.0})
    {'do': 'rule', 'rule': {'parts': 20}}
    """
    order = dict(choice["order"])
    whole = {name: int(value) if float(value).is_integer() else value for name, value in values.items()}
    return order | {"rule": whole} if isinstance(order.get("rule"), dict) else order | whole
