"""Measuring rooms drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.works import Works
from tests.agree.drawn import works_with
from tests.agree.people_at_random import come_and_go

__all__ = ["works_with_rooms"]

Content = dict[str, Any]

_MINUTES = [0, 2, 7.5, {"exponential": {"mean": 5}}]


def works_with_rooms(rng: Random) -> Works:
    """A works drawn at random, of which the gauges that read in rooms can read."""
    return works_with(_add_rooms, rng)


def _add_rooms(rng: Random, content: Content) -> Content:
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
