"""Shifts of people, breaks and attended machines drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_people", "come_and_go"]

Content = dict[str, Any]


def add_people(rng: Random, content: Content) -> Content:
    """The content with people who come and go, and operators at some machines, in about half of all works."""
    if rng.random() < 0.5:
        return content
    calendar = content["calendar"]
    calendar["shifts_per_day"] = shifts = rng.choice([1, 2, 3])
    calendar["days_per_week"] = rng.choice([2, 5])
    pools = content["people"]
    pools["operators"] = {"count": rng.choice([1, 1, 2, 3])}
    for people in pools.values():
        if rng.random() < 0.7:
            come_and_go(rng, people, calendar["shift"], shifts)
    for line in content["lines"].values():
        for operation in line["operations"].values():
            if rng.random() < 0.5:
                jobs = rng.sample(["load", "unload", "gauge", "look"], rng.randint(1, 4))
                by = rng.choice(["operators", "operators", "setters"])
                operation["attended"] = {"by": by, "jobs": jobs, "walk": rng.choice([0, 0, 1, 0.3])}
                operation.setdefault("load", rng.choice([0, 1, {"uniform": {"low": 0, "high": 3}}]))
                operation.setdefault("unload", rng.choice([0, 1]))
    return content


def come_and_go(rng: Random, people: Content, shift: float, shifts: int) -> None:
    """A pool with its shifts, days and breaks."""
    people["at_bell"] = rng.choice(["finishes", "hands over"])
    if rng.random() < 0.7:
        people["by_shift"] = [rng.choice([1, 1, 2]), *(rng.choice([0, 1, 2]) for _ in range(shifts - 1))]
    if rng.random() < 0.3:
        people["by_day"] = {"tuesday": [rng.choice([0, 1]) for _ in range(shifts)]}
    if rng.random() < 0.5:
        breaks = [{"after": 10, "minutes": 5}, {"after": shift / 2, "minutes": 7, "relieved": rng.random() < 0.5}]
        people["breaks"] = rng.sample(breaks, 1) if rng.random() < 0.5 else breaks
