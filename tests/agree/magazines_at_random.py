"""Magazines, touch probes, and rules by the spindle's load, drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.works import Works
from tests.agree.drawn import works_with
from tests.agree.loads_at_random import add_loads

__all__ = ["add_magazines", "works_with_magazines"]

Content = dict[str, Any]


def works_with_magazines(rng: Random) -> Works:
    """A works drawn at random, most machines of which hold sister cutters."""
    return works_with(add_magazines, rng)


def add_magazines(rng: Random, content: Content) -> Content:
    """The content with magazines at most operations, and sets enough for them."""
    for line in content["lines"].values():
        for operation in line["operations"].values():
            strokes = operation.get("strokes", {}).values()
            cutters = [cut["cutter"] for stroke in strokes for cut in stroke["cuts"].values()]
            kinds = [
                kind
                for kind in dict.fromkeys([*operation.get("sets", []), *cutters])
                if "dressed" not in content["cutters"][kind]["renewal"]
            ]
            if kinds and "batch" not in operation and rng.random() < 0.8:
                _add_magazine(rng, content, operation, kinds)
    add_loads(rng, content, 0.6)
    _add_probes(rng, content)
    return content


def _add_probes(rng: Random, content: Content) -> None:
    """Most gauges of machines that cut one part at a time become touch probes in their spindles.

    Half of the machines grow as they warm, and some have people who gauge what is not probed.
    """
    content.setdefault("people", {})["attendants"] = {"count": 2}
    for line in content["lines"].values():
        for operation in line["operations"].values():
            if "strokes" not in operation or "batch" in operation:
                continue
            for gauge in operation.get("gauges", {}).values():
                if rng.random() < 0.7:
                    reads = [what for what in gauge.get("reads", []) if what != "roughness"]
                    gauge |= {"where": "spindle", "reads": reads or ["size"]}
            if "gauges" in operation and rng.random() < 0.5:
                operation["warm_up"] = {"rise": rng.choice([-20, 35]), "minutes": 15, "cools": 30}
            if "gauges" in operation and rng.random() < 0.4:
                jobs = rng.choice([["load", "gauge"], ["unload", "gauge"]])
                operation["attended"] = {"by": "attendants", "jobs": jobs, "walk": 0.25}


def _add_magazine(rng: Random, content: Content, operation: Content, kinds: list[str]) -> None:
    """A magazine for these kinds at an operation."""
    sisters = {kind: rng.choice([1, 2, 3, 4]) for kind in kinds}
    for kind, count in sisters.items():
        content["cutters"][kind]["sets"] += operation["machines"] * (count - 1)
    magazine = operation["magazine"] = {
        "sisters": sisters,
        "exchange": rng.choice([0, "4 s", 1, {"exponential": {"mean": 0.5}}]),
        "renewed": rng.choice(["at a stop", "every shift"]),
    }
    if max(sisters.values()) > 2 and rng.random() < 0.4:
        magazine["used_up"] = rng.choice([1, 2])
