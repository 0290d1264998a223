"""What changes of cutters have beside their rules, drawn at random into a works."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_changes"]

Content = dict[str, Any]


def add_changes(rng: Random, content: Content) -> None:
    """Settings of the cutters, first pieces; aims, corrections and setting anew of the policies."""
    for cutter in content["cutters"].values():
        if rng.random() < 0.4:
            cutter["setting"] = {"error": rng.choice([0, 6]), "bias": rng.choice([0, -2.5])}
    operations = [item for line in content["lines"].values() for item in line["operations"].items()]
    cutting = sorted({cut["cutter"] for _, operation in operations for cut in _cuts(operation)})
    gauges = [
        (name, operation) for name, operation in operations for gauge in _gauges(operation) if "corrects" in gauge
    ]
    _add_first_pieces(rng, content)
    first = sorted({kind for _, operation in operations if "first_piece" in operation for kind in _last(operation)})
    for policy in content["policies"].values():
        policy["changes"] = rng.choice(["when due", "with the next part", "with the next part"])
        chosen = [kind for kind in cutting if rng.random() < 0.4]
        policy["aims"] = {kind: rng.choice(["centred", "centred", 4, -3.5]) for kind in chosen}
        policy["rezero"] = {kind: rng.randint(1, 6) for kind in first if rng.random() < 0.4}
        if gauges and rng.random() < 0.4:
            name, operation = rng.choice(gauges)
            gauge = next(key for key, spec in operation["gauges"].items() if "corrects" in spec)
            change = rng.choice(
                [{"share": 0.3}, {"dead_band": 1.5}, {"share": 0, "dead_band": 1}, {"share": 1, "every": 3}]
            )
            policy["corrections"] = {f"{name} / {gauge}": change}


def _cuts(operation: Content) -> list[Content]:
    return [cut for stroke in operation.get("strokes", {}).values() for cut in stroke["cuts"].values()]


def _last(operation: Content) -> list[str]:
    """Sets that make the last cut of a feature here."""
    last = {cut["feature"]: cut["cutter"] for cut in _cuts(operation)}
    return list(last.values())


def _gauges(operation: Content) -> list[Content]:
    return list(operation.get("gauges", {}).values())


def _add_first_pieces(rng: Random, content: Content) -> None:
    """First pieces of some operations with cuts."""
    for line in content["lines"].values():
        for operation in line["operations"].values():
            if "strokes" in operation and rng.random() < 0.5:
                operation["first_piece"] = {
                    "by": rng.choice([None, "setters", "fitters"]),
                    "minutes": rng.choice([0, 2, 5, {"exponential": {"mean": 3}}]),
                    "error": rng.choice([0, 1.0]),
                    "accept": rng.choice([0, 3.0]),
                    "tries": rng.randint(1, 3),
                    "bad": rng.choice(["scrap", "salvage", "pass"]),
                }
