"""Measuring rooms drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.works import Works
from tests.agree.drawn import works_with
from tests.agree.people_at_random import come_and_go
from tests.agree.shape_at_random import random_shape
from tests.floors import a_blade, a_cut

__all__ = ["add_rooms", "shape_with_rooms", "works_with_rooms"]

Content = dict[str, Any]

_MINUTES = [0, 2, 7.5, {"exponential": {"mean": 5}}]


def works_with_rooms(rng: Random) -> Works:
    """A works drawn at random, of which the gauges that read in rooms can read."""
    return works_with(add_rooms, rng)


def add_rooms(rng: Random, content: Content) -> Content:
    """The content with about two of three gauges in a measuring room, and machines that turn bad before them."""
    content.setdefault("people", {})["inspectors"] = inspectors = {"count": rng.choice([1, 1, 2])}
    calendar = content["calendar"]
    if "shifts_per_day" in calendar:
        come_and_go(rng, inspectors, calendar["shift"], calendar["shifts_per_day"])
    for line in content["lines"].values():
        for operation in line["operations"].values():
            away = [gauge for gauge in operation.get("gauges", {}).values() if rng.random() < 0.7]
            if away:
                _add_room(rng, operation, away)
            if "strokes" in operation and rng.random() < 0.5:
                operation["turns_bad"] = {"chance": 0.05, "shift": rng.choice([-25, 25]), "minutes": 4}
    return content


def shape_with_rooms(rng: Random) -> Works:
    """A line of odd shape, perhaps of several part types, that cuts a face, loses it now and then, and has rooms."""
    return random_shape(rng, _add_face)


def _add_face(rng: Random, line: Content) -> Content:
    """A machine that cuts the face before all others, and gauges of it behind, most of them in rooms."""
    cut: Content = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "turns_bad": {"chance": 0.1, "shift": "50 um", "minutes": 4},
    }
    operations = line["operations"] = {"Op 0": cut} | line["operations"]
    line["features"] = {"face": {"size": {"limits": [99.98, 100.02]}}}
    if rng.random() < 0.5:
        line["parts"] = {"long": {"share": 0.6}, "wide": {"share": 0.4}}
        for operation in operations.values():
            if "batch" not in operation:
                operation["changeover"] = {"minutes": 1}
            if operation is not cut and not operation.keys() & {"batch", "test"} and operation.get("move") is None:
                operation["buffer"] = operation["buffer"] or 2
                operation["sequence"] = rng.choice(["oldest first", "same type first", "in turn"])
        *_, last = operations.values()
        last["only"] = rng.choice([["long"], ["long", "wide"]])
    for operation in operations.values():
        if operation is cut or rng.random() < 0.5:
            gauge: Content = {"feature": "face", "reject": rng.choice(["scrap", "scrap", "salvage", "pass"])}
            if "parts" in line and rng.random() < 0.3:
                gauge["only"] = ["wide"]
            operation["gauges"] = {"gauge": gauge}
            _add_room(rng, operation, [gauge])
    return {"cutters": {"blade": a_blade(life=1e9)}}


def _add_room(rng: Random, operation: Content, away: list[Content]) -> None:
    """A room for these gauges of an operation."""
    for gauge in away:
        gauge.pop("drift", None)
        gauge |= {"where": "measuring room", "every": rng.choice([1, 2, 5]), "minutes": rng.choice(_MINUTES)}
    if operation.get("first_piece", {}).get("meanwhile") == "runs on":
        operation["first_piece"]["meanwhile"] = "stands"
    meanwhile = rng.choice(["runs on", "quarantine", "quarantine", "sweep back", "sweep back", "stands"])
    operation["measuring_room"] = {
        "carry": rng.choice(_MINUTES),
        "by": rng.choice([None, "inspectors"]),
        "benches": rng.choice([1, 2, 3]),
        "part": "taken away" if meanwhile == "stands" else rng.choice(["taken away", "marked"]),
        "meanwhile": meanwhile,
    }
