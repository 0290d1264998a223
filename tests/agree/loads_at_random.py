"""Rules by the spindle's load, drawn at random."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_loads", "load_rule"]

Content = dict[str, Any]


def load_rule(rng: Random) -> Content:
    """A rule by the spindle's load."""
    entry = {"past": rng.choice([1.05, 1.2]), "readings": rng.choice([1, 1, 3]), "noise": rng.choice([0, 0.03])}
    return {"load": entry | {"per_heat": rng.random() < 0.5}}


def add_loads(rng: Random, content: Content, share: float = 0.1) -> None:
    """Have some cutters of each policy changed by their load."""
    for policy in content["policies"].values():
        for kind in content["cutters"]:
            if rng.random() < share:
                policy["exceptions"][kind] = load_rule(rng)
