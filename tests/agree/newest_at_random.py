"""What came last into the model, drawn upon a works that is complete without it: nothing else is drawn otherwise.

A draw that shows something of its own as it was (see `test_twins_together`) leaves it out.
"""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_newest"]

Content = dict[str, Any]


def add_newest(content: Content) -> Content:
    """The content with sand in skins, offsets that go by steps, and gauges that wander, by chance from the content."""
    rng = Random(repr(content))
    for cutter in content["cutters"].values():
        if "setting" in cutter:
            cutter["setting"] |= rng.choice([{}, {"step": 2}, {"step": 0.5}])
    for line in content["lines"].values():
        if rng.random() < 0.4:
            land = rng.choice([[0, 0], [0.05, 0.2], [0.1, 0.1]])
            line["casting"]["sand"] = {"chance": 0.1, "land": land, "breaks": rng.choice([0, 0.5, 1])}
        for operation in line["operations"].values():
            for gauge in operation.get("gauges", {}).values():
                if gauge.get("drift"):
                    gauge["drift"]["wanders"] = rng.choice([0, 0.8, 5])
    return content
