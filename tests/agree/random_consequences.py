"""What surfaces cost later, drawn at random for works of the comparison of engines."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_consequences"]

Content = dict[str, Any]


def add_consequences(rng: Random, content: Content) -> None:
    """Put what surfaces cost later into the content of a works drawn at random."""
    for line in content["lines"].values():
        for feature in line["features"].values():
            if rng.random() < 0.5:
                feature["roughness"] = _two_sided(rng)
        for operation in line["operations"].values():
            for gauge in operation.get("gauges", {}).values():
                if rng.random() < 0.3:
                    gauge["roughness_limits"] = [0.9, rng.choice([1.5, 2.5])]


def _two_sided(rng: Random) -> Content:
    finish: Content = {"limits": [rng.choice([0.6, 1.0]), 1.9], "loss_at_limit": rng.choice([0, 4])}
    return finish | rng.choice([{}, {"aim": 1.2, "loss_at_low_limit": 7}, {"loss_cap": 5}])
