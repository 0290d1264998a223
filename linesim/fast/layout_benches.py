"""Benches where parts are repaired or first pieces gauged, as they begin: records behind those of the machines."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import Arrays
from linesim.fast.memory import records
from linesim.fast.state import Machine
from linesim.floor.first_bench import BEHIND
from linesim.plan.tables import NONE

__all__ = ["lay_benches", "lay_first_benches"]


def lay_benches(layout: Arrays) -> None:
    """Put the benches of all tests behind the machines; pools are told later where they take parts from."""
    plan, w = layout.plan, layout.world
    tests, operations = plan.tests, plan.operations
    of_bench = np.repeat(np.arange(len(tests.benches)), tests.benches)
    w.n_benches = len(of_bench)
    if not len(of_bench):
        return
    machines = layout.arrays["machines"]
    real = len(machines)
    both = records(Machine, real + len(of_bench))
    both[:real] = machines
    benches = both[real:]
    benches["index"] = np.arange(real, real + len(of_bench))
    at = tests.operation[of_bench]
    benches["operation"], benches["line"] = at, operations.line[at]
    turn = np.arange(len(of_bench)) - (np.cumsum(tests.benches) - tests.benches)[of_bench]
    like = operations.end_machine[at] - operations.first_machine[at]
    benches["rank"] = operations.rank[at] * 2**20 + like + 1 + turn
    benches["part"] = benches["breaking"] = benches["stop_for"] = NONE
    benches["test"], benches["bench"] = of_bench, NONE
    benches["step"] = steps.BENCH_TAKE
    layout.keep("machines", both)
    w.n_machines = real + len(of_bench)
    w.n_needed = int(w.n_machines) + 1


def lay_first_benches(layout: Arrays) -> None:
    """Behind them put one for each machine that runs on while its first pieces are gauged."""
    w, others = layout.world, layout.arrays["machines"]
    homes = np.flatnonzero(others["runs_on"])
    others["home"] = others["aside"] = NONE
    if not len(homes):
        return
    both = records(Machine, len(others) + len(homes))
    both[: len(others)] = others
    benches = both[len(others) :]
    benches["index"] = np.arange(len(others), len(both))
    for name in ("operation", "line", "position", "target", "forks"):
        benches[name] = others[name][homes]
    benches["rank"] = others["rank"][homes] + BEHIND
    benches["part"] = benches["breaking"] = benches["stop_for"] = benches["test"] = benches["bench"] = NONE
    benches["aside"], benches["home"] = NONE, homes
    benches["step"] = steps.BENCH_FIRST_TAKE
    layout.keep("machines", both)
    w.n_benches = int(w.n_benches) + len(homes)
    w.n_machines = len(both)
    w.n_needed = int(w.n_machines) + 1
