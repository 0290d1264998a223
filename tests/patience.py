"""How long a test waits for something that should be there at once.

What is refused "at once" takes milliseconds, and what would hold a reader up takes minutes or never ends. A test stands
between the two, far from both, as it says nothing of speed: a machine may be slow, busy or in the middle of tidying a
full memory. How fast something is, the benchmarks say.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager

PATIENCE_S = 40.0
"""Seconds, on the clock."""


@contextmanager
def without_holding_up() -> Iterator[None]:
    """What stands under it has ended before patience is at its end; raises AssertionError otherwise."""
    began_s = time.monotonic()
    yield
    took_s = time.monotonic() - began_s
    assert took_s < PATIENCE_S, f"it took {took_s:.0f} s"
