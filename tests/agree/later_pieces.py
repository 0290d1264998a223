"""Entries of a works that came after the others, drawn at random from its content, so that nothing else moves."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_later_pieces"]

Content = dict[str, Any]


def add_later_pieces(rng: Random, content: Content) -> None:
    """Losses that go by the cost of rejecting, heat of cuts, bad machines that tilt, breaking by chip load."""
    for cutter in content["cutters"].values():
        cutter["break_by_load"] = rng.choice([0, 0, 2, 4])
    for line in content["lines"].values():
        line["casting"] |= {"price": rng.choice([0, 100]), "scrap_value": rng.choice([0, 5])}
        line["casting"]["mass"] = rng.choice([None, 0.5, 60])
        line["worth"] = rng.choice([0, 150])
        for feature in line["features"].values():
            for entry in ("size", "roughness", "position", "squareness", "parallelism", "form"):
                if "loss_at_limit" in feature.get(entry, {}) and rng.random() < 0.3:
                    feature[entry]["loss_at_limit"] = "as rejected"
        for operation in line["operations"].values():
            _later_in_operation(rng, operation, line["features"])


def _later_in_operation(rng: Random, operation: Content, features: Content) -> None:
    """A bad machine that tilts; cuts whose length and so heat are known; machines that run on."""
    if "first_piece" in operation:
        operation["first_piece"]["meanwhile"] = rng.choice(["stands", "runs on"])
    if "locating" in operation and "strokes" in operation and rng.random() < 0.7:
        operation.setdefault("turns_bad", {"chance": 0.1})["tilt"] = rng.choice([40, -15])
        cut = [cut["feature"] for stroke in operation["strokes"].values() for cut in stroke["cuts"].values()]
        name = rng.choice(cut)
        if not {"squareness", "parallelism"} & features[name].keys():
            features[name] |= {"parallelism": {"limit": rng.choice([3, 15])}, "length": 120}
        gauge = {
            "feature": name,
            "reads": ["tilt"],
            "tilt_error": 1,
            "reject": rng.choice(["scrap", "salvage", "pass"]),
        }
        operation.setdefault("gauges", {})["tilt gauge"] = gauge
    for stroke in operation.get("strokes", {}).values():
        for cut in stroke["cuts"].values():
            if rng.random() < 0.7:
                cut["length"] = rng.choice([50, 300])
