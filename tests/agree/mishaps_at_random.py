"""Heats of castings, broken cutters and other mishaps drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_mishaps"]

Content = dict[str, Any]


def add_mishaps(rng: Random, content: Content) -> Content:
    """The content with mishaps in about half of all places where they can be."""
    for cutter in content["cutters"].values():
        salvage = {"share": 0.6, "minutes": rng.choice([0, 2, 3.5]), "cost": 20}
        if rng.random() < 0.3:
            cutter["life"] = {"about": cutter["life"], "known_within": 1.5}
        cutter["broken"] = rng.choice(["scrap", "spares the part", {"salvage": salvage}])
    for line in content["lines"].values():
        if rng.random() < 0.5:
            line["casting"]["heats"] = {"of": rng.choice([1, 7, "day"]), "life": 0.3, "force": rng.choice([0, 0.2])}
        for operation in line["operations"].values():
            _in_operation(rng, operation)
    return content


def _in_operation(rng: Random, operation: Content) -> None:
    """A machine that turns bad, and gauges that wander off."""
    if "strokes" in operation and rng.random() < 0.5:
        bad = {"chance": 0.1, "shift": rng.choice([-25, 25, 5]), "scatter": rng.choice([0, 10])}
        operation["turns_bad"] = bad | {"minutes": rng.choice([0, 4, {"exponential": {"mean": 3}}])}
    if "breakdowns" in operation and rng.random() < 0.6:
        _upkeep(rng, operation["breakdowns"])
    for gauge in operation.get("gauges", {}).values():
        if rng.random() < 0.5:
            mastered = {"every": rng.choice([1, 3, 10]), "minutes": rng.choice([0, 2])}
            gauge["bias"] = rng.choice([0, 2, -3])
            gauge["drift"] = {"per_hour": rng.choice([1, -4]), "mastered": rng.choice([None, mastered])}


def _upkeep(rng: Random, breakdowns: Content) -> None:
    """A machine that ages, and overhauls."""
    if rng.random() < 0.7:
        del breakdowns["between"]
        breakdowns["ages"] = {
            "shape": rng.choice([0.8, 1.8, 3]),
            "scale": 40,
            "repair_gives_back": rng.choice([0, 0.5, 1]),
        }
    if rng.random() < 0.7:
        breakdowns["overhaul"] = {"every": rng.choice([15, 60, 150]), "minutes": rng.choice([0, 6]), "cost": 100}
