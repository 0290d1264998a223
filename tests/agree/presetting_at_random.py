"""Presetting of sharp sets in the crib, drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.agree.people_at_random import come_and_go

__all__ = ["add_presetting"]

Content = dict[str, Any]


def add_presetting(rng: Random, content: Content) -> Content:
    """The content with some sets preset, by people of the crib or by those who change cutters, in half of all works."""
    if rng.random() < 0.5:
        return content
    calendar, pools = content["calendar"], content["people"]
    by = rng.choice(["presetters", "presetters", *pools])
    if by == "presetters":
        pools[by] = {"count": rng.choice([1, 1, 2]), "rate": 30, "paid": rng.choice(["time used", "attendance"])}
        if rng.random() < 0.5:
            come_and_go(rng, pools[by], calendar["shift"], calendar.get("shifts_per_day", 1))
    content["crib"]["presetters"] = by
    for cutter in content["cutters"].values():
        if rng.random() < 0.7:
            cutter["presetting"] = rng.choice(
                [5, 1, 20, {"uniform": {"low": 0, "high": 30}}, {"listed": [0, 3, 12]}, {"exponential": {"mean": 10}}]
            )
    return content
