"""Machines that are not alike, drawn at random over a works from its content, so that nothing else moves."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_unlike"]

Content = dict[str, Any]


def add_unlike(rng: Random, operations: Content, share: float = 0.4) -> None:
    """Give some of the operations machines that are not alike, and let the first of the free ones take the next part.

    Parameters
    ----------
    rng : random.Random
        Where the choices come from.
    operations : dict
        Of a line.
    share : float
        Chance for each operation.
    """
    for operation in operations.values():
        machines = operation.get("machines", 1)
        if machines > 1 and rng.random() < share:
            operation["next_machine"] = "first named"
        if rng.random() < share:
            operation["unlike"] = {name: _own(rng, operation) for name in ("old", "new", "spare")[:machines]}


def _own(rng: Random, operation: Content) -> Content:
    own: Content = {"time": rng.choice([1, 0.5, 1.25, 2])}
    if rng.random() < 0.4:
        own["breakdowns"] = {"between": {"exponential": {"mean": 15}}, "repair": rng.choice([1, 3])}
    if "strokes" in operation:
        own["position"] = rng.choice([0, 12.5, -4])
        if "locating" in operation:
            own["tilt"] = rng.choice([0, 7])
    return own
