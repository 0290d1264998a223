"""The shape of the line as a run begins: machines that take several parts at once, and the clocks beside them."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.memory import records
from linesim.fast.state import Machine
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE

__all__ = ["lay_batches", "lay_clocks", "lay_starts"]


def lay_batches(plan: Plan, machines: AnyArray) -> None:
    """Say how many parts each machine takes at once."""
    machines["batch"] = plan.batches.most[plan.machines.operation]
    machines["clock"] = machines["starts"] = NONE


def lay_clocks(layout: Arrays) -> None:
    """Put a clock behind all machines and benches for each machine whose batches wait for more."""
    plan, w, others = layout.plan, layout.world, layout.arrays["machines"]
    homes = np.flatnonzero(plan.batches.waits_min[plan.machines.operation] > 0.0)
    if not len(homes):
        return
    both = records(Machine, len(others) + len(homes))
    both[: len(others)] = others
    clocks = both[len(others) :]
    clocks["index"] = np.arange(len(others), len(both))
    both["clock"][homes] = clocks["index"]
    for name in ("part", "breaking", "stop_for", "test", "bench", "aside", "source", "target"):
        clocks[name] = NONE
    clocks["home"], clocks["line"] = homes, others["line"][homes]
    clocks["step"] = steps.BATCH_CLOCK
    layout.keep("machines", both)
    w.n_benches = int(w.n_benches) + len(homes)
    w.n_machines = len(both)
    w.n_needed = int(w.n_machines) + 1


def lay_starts(layout: Arrays, rows: list[tuple[int, int, int]]) -> None:
    """Add a pool behind all others for each machine that may start with fewer parts than it takes."""
    machines = layout.arrays["machines"]
    for machine in layout.arrays["set_up_order"].tolist():
        if machines["batch"][machine]:
            machines["starts"][machine] = len(rows)
            rows.append((steps.STARTS, machine, 0))
