"""The benchmarks: ``python -m tests.benchmarks.run [--smoke] [--json FILE]``.

salabim comes with the extra "bench". Ciw brings a package of its own called ``tests``, which would hide this one; put
it in a folder of its own and take that package out::

    pip install --no-deps --target CIW ciw networkx tqdm && rm -r CIW/tests
    PYTHONPATH=CIW python -m tests.benchmarks.run

All ratios are of processor time, measured side by side in this one run on one core. Counts are compared as well, so
that an engine which is fast because it does something else does not pass.
"""

from __future__ import annotations

import argparse
import json
import platform
import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from linesim.fast.choice import prepare
from linesim.fast.run import FastFloor, run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tables import Plan
from linesim.works import load_works
from tests.benchmarks.flow_models import FlowLine, Timed, run_c, run_ciw, run_salabim, run_simpy, with_linesim

Row = dict[str, Any]

_YEAR_MIN = 48 * 5 * 2 * 480.0
_BLOCK_LINE = Path(__file__).parents[2] / "scenarios" / "block-line.yaml"


def _fast(plan: Plan) -> Any:
    return run_fast(plan, 1, 0)


def _floor(plan: Plan) -> Any:
    return run_floor(plan, 1, 0)


def _best(times: int, measured: Callable[[], Timed]) -> Timed:
    """The quickest of several runs: what the machine can do when nothing else disturbs it."""
    return min((measured() for _ in range(times)), key=lambda timed: timed.seconds)


def _timed(plan: Plan, run: Callable[[Plan], Any]) -> Timed:
    began = time.process_time()
    tally = run(plan)
    return Timed(int(tally.shipped.sum()), int(tally.worked.sum()), time.process_time() - began)


def full_model(share_of_year: float) -> list[Row]:
    """The block line with everything, two shifts: the floor for a share of a year, the fast engine for all of it."""
    works = load_works(_BLOCK_LINE)
    plan = replace(make_plan(works, next(iter(works.policies))), warm_up_min=0.0)
    part = replace(plan, length_min=share_of_year * _YEAR_MIN)
    year = replace(plan, length_min=_YEAR_MIN)
    _timed(replace(plan, length_min=480.0), _floor)
    simpy = _best(2, lambda: _timed(part, _floor))
    same = _timed(part, _fast)
    if (simpy.shipped, simpy.worked) != (same.shipped, same.worked):
        raise SystemExit(f"the engines disagree on the block line: {simpy} against {same}")
    fast = _best(5, lambda: _timed(year, _fast))
    ratio = simpy.ns_per_part_operation / fast.ns_per_part_operation
    return [
        {"what": "full model, SimPy floor", "ns per part-operation": simpy.ns_per_part_operation},
        {"what": "full model, fast", "ns per part-operation": fast.ns_per_part_operation, "times the floor": ratio},
    ]


def flow_only(scale: float) -> list[Row]:
    """The flow line of twenty stations in every way it can be run."""
    line, short, long = FlowLine.of(20), 4_000.0 * scale, 1_000_000.0 * scale
    others = {"plain SimPy": run_simpy, "salabim": run_salabim, "Ciw, without changes": run_ciw}
    rows: list[Row] = []
    for name, run in others.items():
        try:
            rows.append({"what": f"flow, {name}", "ns per part-operation": run(line, short).ns_per_part_operation})
        except ModuleNotFoundError as error:
            sys.stdout.write(f"{name} is left out: {error}; see the head of this file\n")
    quickest = min(row["ns per part-operation"] for row in rows)
    simpy = with_linesim(line, short, _floor)
    rows.append({"what": "flow, linesim on SimPy", "ns per part-operation": simpy.ns_per_part_operation})
    fast = _best(5, lambda: with_linesim(line, long, _fast))
    loop = _best(5, lambda: run_c(line, long))
    if (fast.shipped, fast.worked) != (loop.shipped, loop.worked):
        raise SystemExit(f"linesim and the C loop disagree: {fast} against {loop}")
    rows += [
        {
            "what": "flow, fast",
            "ns per part-operation": fast.ns_per_part_operation,
            "times the quickest of the others": quickest / fast.ns_per_part_operation,
            "of the C loop": fast.ns_per_part_operation / loop.ns_per_part_operation,
        },
        {"what": "flow, C loop", "ns per part-operation": loop.ns_per_part_operation},
    ]
    return rows


def flatness(scale: float) -> list[Row]:
    """Cost per part-operation from 5 to 200 stations, and from a day to five years."""
    rows: list[Row] = []
    for stations in (5, 20, 50, 100, 200):
        horizon_min = 8_000_000.0 * scale / stations
        timed = _best(3, lambda n=stations, until=horizon_min: with_linesim(FlowLine.of(n), until, _fast))  # type: ignore[misc]
        rows.append({"what": f"{stations} stations", "ns per part-operation": timed.ns_per_part_operation})
    works = load_works(_BLOCK_LINE)
    plan = replace(make_plan(works, next(iter(works.policies))), warm_up_min=0.0)
    spans = (("a day", 960.0), ("a month", _YEAR_MIN / 12), ("a year", _YEAR_MIN), ("five years", 5 * _YEAR_MIN))
    for name, minutes in spans:
        once = replace(plan, length_min=minutes)
        timed = _best(3, lambda plan=once: _timed(plan, _fast))  # type: ignore[misc]
        rows.append(
            {
                "what": f"block line, {name}",
                "ns per part-operation": timed.ns_per_part_operation,
                "kB in arrays": _kilobytes(once),
            }
        )
    return rows


def _kilobytes(plan: Plan) -> float:
    """Size of all arrays of a run at its end, and whatever else Python has taken meanwhile."""
    tracemalloc.start()
    floor = FastFloor(plan, 1, 0)
    floor.run_until(plan.length_min)
    floor.finish()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1024.0


def main() -> None:
    """Run, print the table, and write JSON where told."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--smoke", action="store_true", help="short runs, under a minute")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the table here")
    options = parser.parse_args()
    scale = 0.1 if options.smoke else 1.0
    prepare()
    rows = [*full_model(0.02 if options.smoke else 0.1), *flow_only(scale), *flatness(scale)]
    for row in rows:
        figures = "   ".join(f"{name}: {value:.1f}" for name, value in row.items() if name != "what")
        sys.stdout.write(f"{row['what']:32s} {figures}\n")
    if options.json is not None:
        content = {"python": sys.version, "machine": platform.platform(), "smoke": options.smoke, "rows": rows}
        options.json.write_text(json.dumps(content, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
