"""The benches where parts are repaired, as they begin: records among the machines, behind the real ones."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import Arrays
from linesim.fast.memory import records
from linesim.fast.state import Machine
from linesim.plan.tables import NONE

__all__ = ["lay_benches"]


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
