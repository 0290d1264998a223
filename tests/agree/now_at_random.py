"""A state to begin from, drawn at random for a works that has been drawn already."""

from __future__ import annotations

from collections import Counter
from random import Random
from typing import Any

from linesim.works.staffing import DAYS

__all__ = ["add_moment", "add_state"]

Content = dict[str, Any]


def add_state(rng: Random, content: Content) -> Content:
    """The content with a state to begin from in about a third of all draws."""
    if rng.random() < 0.65:
        return content
    content["run"]["warm_up"] = 0
    mounted = Counter[str]()
    lines: Content = {}
    for line, row in content["lines"].items():
        lines[line] = {}
        for number, (name, operation) in enumerate(row["operations"].items()):
            own = sorted(_kinds(operation))
            mounted.update(dict.fromkeys(own, operation.get("machines", 1)))
            lines[line][name] = _operation(rng, operation, own, number == 0, row)
    spare = {kind: cutter.get("sets", 1) - mounted[kind] for kind, cutter in content["cutters"].items()}
    sets: Content = {}
    for kind, count in spare.items():
        ground = rng.randint(0, count) if "reground" in content["cutters"][kind].get("renewal", {}) else 0
        sets[kind] = {"at_grinder": ground, "ordered": rng.randint(0, count - ground)} if count > 0 else {}
    content["now"] = {"lines": lines, "sets": sets}
    return content


def add_moment(rng: Random, content: Content) -> Content:
    """The content, its calendar drawn; the state to begin from, if it has one, is at a moment of the week."""
    if "now" not in content:
        return content
    calendar = content["calendar"]
    day = rng.choice(DAYS[: calendar.get("days_per_week", 5)])
    after = rng.choice([0, 1, 0.37, 0.9]) * calendar["shift"] * 0.999
    shift = rng.randint(1, calendar.get("shifts_per_day", 2))
    content["now"]["at"] = rng.choice([{}, *[{"day": day, "shift": shift, "after": after}] * 3])
    return content


def _kinds(operation: Content) -> set[str]:
    cuts = {cut["cutter"] for stroke in operation.get("strokes", {}).values() for cut in stroke["cuts"].values()}
    return cuts | set(operation.get("sets", []))


def _operation(rng: Random, operation: Content, own: list[str], is_first: bool, line: Content) -> Content:
    machines = operation.get("machines", 1)
    room = operation.get("buffer", 0)
    waiting = rng.randint(0, 4 if room == "unlimited" else min(4, room))
    if is_first and "arrivals" not in line.get("casting", {}):
        waiting = 0
    edges = {kind: rng.choice([0, 3, [rng.randint(0, 9) for _ in range(machines)]]) for kind in own}
    down = rng.choice([0, 0, 12, [rng.choice([0, 7.5]) for _ in range(machines)]])
    warm = rng.choice([0, 0.7]) if operation.get("warm_up") else 0
    return {"waiting": waiting, "edges": edges, "down": down, "warm": warm}
