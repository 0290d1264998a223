"""Edges that break unseen and probes that look for them, drawn at random for a works that has been drawn already."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.works import Works
from tests.agree.drawn import works_with

__all__ = ["add_unseen", "works_with_unseen_breaks"]

Content = dict[str, Any]


def works_with_unseen_breaks(rng: Random) -> Works:
    """A works drawn at random, most cutters of which break soon and unseen."""
    return works_with(add_unseen, rng)


def add_unseen(rng: Random, content: Content) -> Content:
    """The content with cutters that break unseen where they cut, and probes at most operations that have one."""
    operations = [each for line in content["lines"].values() for each in line["operations"].values()]
    plain = {kind for each in operations for kind in each.get("sets", [])}
    unseen: set[str] = set()
    for kind, cutter in content["cutters"].items():
        if kind not in plain and rng.random() < 0.8:
            unseen.add(kind)
            cutter |= {"seen_after": rng.choice([1, 2, 6, 40]), "broken": "scrap"}
            cutter["breaking"] = {"shape": 2, "scale": rng.choice([0.3, 0.8])}
    for operation in operations:
        cuts = {cut["cutter"] for stroke in operation.get("strokes", {}).values() for cut in stroke["cuts"].values()}
        if cuts & unseen and rng.random() < 0.7:
            operation["breakage_probe"] = {
                "every": rng.choice([1, 1, 3]),
                "minutes": rng.choice([0, "4 s", 1, {"exponential": {"mean": 0.2}}]),
                "finds": rng.choice([1, 0.5]),
            }
    return content
