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
        cutter["broken"] = rng.choice(["scrap", "spares the part", {"salvage": salvage}])
    for line in content["lines"].values():
        if rng.random() < 0.5:
            line["casting"]["heats"] = {"of": rng.choice([1, 7, "day"]), "life": 0.3, "force": rng.choice([0, 0.2])}
    return content
