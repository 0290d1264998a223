"""Entries of a works that came after the others, drawn at random from its content, so that nothing else moves."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_later_pieces"]

Content = dict[str, Any]


def add_later_pieces(rng: Random, content: Content) -> None:
    """Losses that go by the cost of rejecting."""
    for line in content["lines"].values():
        line["casting"] |= {"price": rng.choice([0, 100]), "scrap_value": rng.choice([0, 5])}
        line["worth"] = rng.choice([0, 150])
        for feature in line["features"].values():
            for entry in ("size", "roughness", "position", "squareness", "parallelism", "form"):
                if "loss_at_limit" in feature.get(entry, {}) and rng.random() < 0.3:
                    feature[entry]["loss_at_limit"] = "as rejected"
