"""The benchmarks: ``python -m tests.benchmarks.run [--smoke] [--only PART ...] [--json FILE]``; which targets are met.

salabim and Ciw come with the extra "bench"; what is not installed is left out, and said. All figures are processor
time, measured side by side in this one run: in rounds, everybody once in each, and the quickest counts. What is held
against each other closely runs for some hundredths of a second in many rounds: so short a run falls between what else
the machine does. The counts of parts are compared as well, and the accounts that are kept of them, so that an engine
which is fast because it does something else does not pass.
"""

from __future__ import annotations

import argparse
import json
import math
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
from linesim.plan.plan import Plan
from linesim.plan.tally import State
from linesim.works import load_works
from tests.benchmarks.contest import Row, Target, at_least, at_most, best_of, show, timed
from tests.benchmarks.flow_models import (
    FlowLine,
    Timed,
    accounts_of_c,
    plan_of,
    run_c,
    run_ciw,
    run_salabim,
    run_simpy,
)

_YEAR_MIN = 48 * 5 * 2 * 480.0
_SCENARIOS = Path(__file__).parents[2] / "scenarios"
_STATIONS = (5, 20, 50, 100, 200)
_FEW = 20
"""Stations that two setters can serve."""
_ROUNDS = {True: 8, False: 30}
"""Rounds of what is held against each other closely, in short runs of the benchmark and in whole ones."""
_IN_A_ROW = 100
"""Runs one after another, as a study makes them: alone, a run of a day finds the processor's memory full of others."""
_SPANS = {"a day": 960.0, "a month": _YEAR_MIN / 12, "a year": _YEAR_MIN, "five years": 5 * _YEAR_MIN}

Report = tuple[list[Row], list[Target]]


def _fast(plan: Plan) -> Any:
    return run_fast(plan, 1, 0)


def _floor(plan: Plan) -> Any:
    return run_floor(plan, 1, 0)


def _plan_of(scenario: str) -> Plan:
    """A scenario with everything, without a warm-up."""
    works = load_works(_SCENARIOS / f"{scenario}.yaml")
    return replace(make_plan(works, next(iter(works.policies))), warm_up_min=0.0)


def _row(what: str, found: Timed, **more: float) -> Row:
    return {"what": what, "ns_per_part_operation": found.ns_per_part_operation, **more}


def _against_the_floor(plan: Plan, what: str, is_smoke: bool) -> tuple[list[Row], float]:
    """A plan over a year on the fast engine, and over a share of it on the floor: rows, and how many times quicker."""
    part = replace(plan, length_min=(0.01 if is_smoke else 0.04) * _YEAR_MIN)
    year = replace(plan, length_min=_YEAR_MIN)
    timed(replace(plan, length_min=480.0), _floor)
    same = timed(part, _fast)
    best = best_of(
        {"floor": lambda: timed(part, _floor), "fast": lambda: timed(year, _fast)}, rounds=2 if is_smoke else 6
    )
    floor, fast = best["floor"], best["fast"]
    if (floor.shipped, floor.worked) != (same.shipped, same.worked):
        raise SystemExit(f"the engines disagree on {what}: {floor} against {same}")
    ratio = floor.ns_per_part_operation / fast.ns_per_part_operation
    return [_row(f"{what}, SimPy floor", floor), _row(f"{what}, fast", fast, times_the_floor=ratio)], ratio


def full_model(is_smoke: bool) -> Report:
    """The block line over two shifts."""
    rows, ratio = _against_the_floor(_plan_of("block-line"), "full model", is_smoke)
    name = "full model, a year of the block line: times the SimPy floor"
    return rows, [at_least(name, ratio, 140.0), at_least(f"{name} (the aim)", ratio, 200.0)]


def lines_as_they_are(is_smoke: bool) -> Report:
    """Lines with types and changeovers, or with magazines, nights without a setter and a measuring room."""
    rows, targets = [], []
    for name in ("mixed-line", "centres"):
        own, ratio = _against_the_floor(_plan_of(name), name, is_smoke)
        rows += own
        targets.append(at_least(f"{name}, a year: times the SimPy floor", ratio, 120.0))
    return rows, targets


def flow_only(is_smoke: bool) -> Report:
    """The flow line of twenty stations in every way it can be run."""
    line, short, long = FlowLine.of(20), 400.0 if is_smoke else 2_000.0, 40_000.0
    others = _those_installed(
        {
            "flow, plain SimPy": lambda: run_simpy(line, short),
            "flow, salabim": lambda: run_salabim(line, short),
            "flow, Ciw (no changes)": lambda: run_ciw(line, short),
        }
    )
    floor: dict[str, Callable[[], Timed]] = {"flow, linesim on SimPy": lambda: timed(plan_of(line, short), _floor)}
    slow = best_of(others | floor, rounds=2 if is_smoke else 6)
    plan = plan_of(line, long)
    quick: dict[str, Callable[[], Timed]] = {
        "flow, fast": lambda: timed(plan, _fast),
        "flow, C loop": lambda: run_c(line, long),
        "flow, C loop with accounts": lambda: run_c(line, long, with_accounts=True),
    }
    best = best_of(quick, rounds=_ROUNDS[is_smoke])
    _assert_same_accounts(line, plan, best)
    fast, loop, accounts = (best[name].ns_per_part_operation for name in quick)
    quickest = min(slow[name].ns_per_part_operation for name in others)
    return [_row(name, found) for name, found in (slow | best).items()], [
        at_least("flow line of 20 stations: times the quickest of the others", quickest / fast, 50.0),
        at_most("flow line of 20 stations: times the C loop's time", fast / loop, 1.4),
        at_most("flow line of 20 stations: times that of the C loop with the same accounts", fast / accounts, 1.1),
    ]


def _assert_same_accounts(line: FlowLine, plan: Plan, best: dict[str, Timed]) -> None:
    """Those who are held against each other have done the same, and kept the same accounts of it."""
    counts = {name: (found.shipped, found.worked) for name, found in best.items()}
    if len(set(counts.values())) > 1:
        raise SystemExit(f"they do not do the same: {counts}")
    tally, theirs = _fast(plan), accounts_of_c(line, plan.length_min)
    ours = {name: float(getattr(tally, name).sum()) for name in ("stock_min", "had_to_wait", "lead_min")}
    ours |= {
        "cutting_min": float(tally.state_min[:, State.CUTTING].sum()),
        "held_up_min": float(tally.state_min[:, State.HELD_UP].sum()),
    }
    if not all(math.isclose(ours[name], theirs[name], rel_tol=1e-9) for name in theirs):
        raise SystemExit(f"linesim and the C loop keep other accounts: {ours} against {theirs}")


def _those_installed(models: dict[str, Callable[[], Timed]]) -> dict[str, Callable[[], Timed]]:
    """The models whose library is there; the others are named."""
    found = {}
    for name, model in models.items():
        try:
            model()
        except ModuleNotFoundError as error:
            sys.stdout.write(f"{name} is left out: {error}\n")
        else:
            found[name] = model
    return found


def stations(is_smoke: bool) -> Report:
    """Cost per part-operation from 5 to 200 stations.

    A plan is laid out by its first run, which is never the quickest one here; a setter for every ten stations gives
    each station the same share of setters, while two for all leave the long lines waiting most of the time.
    """
    work = 400_000.0 if is_smoke else 1_000_000.0
    lines = {f"{n} stations": plan_of(FlowLine.of(n), work / n) for n in _STATIONS}
    # Two for all make so much less of the longest line that it is run as much longer.
    scarce = {
        f"{n} stations, two setters": plan_of(FlowLine.of(n, 2), work / n * n / _FEW) for n in _STATIONS if n > _FEW
    }
    runs = {name: lambda plan=plan: timed(plan, _fast) for name, plan in (lines | scarce).items()}  # type: ignore[misc]
    best = best_of(runs, rounds=_ROUNDS[is_smoke])
    few = [f"{n} stations" for n in _STATIONS if n <= _FEW]
    asked = {"5 to 200 stations": list(lines), "5 to 200 stations, two setters": [*few, *scarce]}
    return [_row(name, found) for name, found in best.items()], [
        at_most(f"{what}: dearest over cheapest", _spread(best, names), 1.25) for what, names in asked.items()
    ]


def spans(is_smoke: bool) -> Report:
    """Cost per part-operation from a day to five years, memory over the same spans, and what a run costs by itself."""
    flow = {f"flow line, {name}": plan_of(FlowLine.of(20), minutes) for name, minutes in _SPANS.items()}
    block = {
        f"block line, {name}": replace(_plan_of("block-line"), length_min=minutes) for name, minutes in _SPANS.items()
    }
    plans = flow | block
    runs = {name: lambda plan=plan: timed(plan, _fast) for name, plan in plans.items()}  # type: ignore[misc]
    in_a_row = {
        f"{day}, {_IN_A_ROW} in a row": lambda plan=plans[day]: _in_a_row(plan, _IN_A_ROW)  # type: ignore[misc]
        for day in (next(iter(flow)), next(iter(block)))
    }
    best = best_of(runs | in_a_row, rounds=3 if is_smoke else 12)
    memory = {name: _kilobytes(plan) for name, plan in block.items()}
    rows = [_row(name, found, **({"kB": memory[name]} if name in memory else {})) for name, found in best.items()]
    rows.append({"what": "block line, a run of no minutes", "us_per_run": _us_of_nothing(block["block line, a day"])})
    targets = []
    for row, own in zip(in_a_row, (flow, block), strict=True):
        day, *longer = own
        targets += [
            at_most(f"{row}, to five years: dearest over cheapest", _spread(best, [row, *longer]), 1.25),
            at_most(f"{day} (once, after other work), to five years", _spread(best, [day, *longer]), 1.5),
        ]
    most = _ratio(list(memory.values()))
    return rows, [
        *targets,
        at_most("block line, a day to five years: largest peak of memory over smallest", most, 1.25),
    ]


def _us_of_nothing(plan: Plan) -> float:
    """Microseconds of processor time to set up a run, to begin it, and to sum it up."""
    nothing, least_s = replace(plan, length_min=1e-3), math.inf
    for _ in range(_IN_A_ROW):
        began = time.process_time()
        for replication in range(_IN_A_ROW):
            run_fast(nothing, 1, replication)
        least_s = min(least_s, time.process_time() - began)
    return 1e6 * least_s / _IN_A_ROW


def _in_a_row(plan: Plan, count: int) -> Timed:
    """So many replications one after another."""
    shipped, worked, began = 0, 0, time.process_time()
    for replication in range(count):
        tally = run_fast(plan, 1, replication)
        shipped, worked = shipped + int(tally.shipped.sum()), worked + int(tally.worked.sum())
    return Timed(shipped, worked, time.process_time() - began)


def _spread(best: dict[str, Timed], names: Any) -> float:
    return _ratio([best[name].ns_per_part_operation for name in names])


def _ratio(values: list[float]) -> float:
    return max(values) / min(values)


def _kilobytes(plan: Plan) -> float:
    """Peak of all that Python and NumPy take for a run."""
    tracemalloc.start()
    floor = FastFloor(plan, 1, 0)
    floor.run_until(plan.length_min)
    floor.finish()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1024.0


_PARTS: dict[str, Callable[[bool], Report]] = {
    "full": full_model,
    "lines": lines_as_they_are,
    "flow": flow_only,
    "stations": stations,
    "spans": spans,
}


def main() -> None:
    """Run, print the table and the targets, and write JSON where told."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--smoke", action="store_true", help="short runs; the figures are rough")
    parser.add_argument("--only", nargs="+", choices=_PARTS, metavar="PART", help=f"of {', '.join(_PARTS)}")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the table here")
    options = parser.parse_args()
    prepare()
    rows: list[Row] = []
    targets: list[Target] = []
    for name in options.only or _PARTS:
        found, asked = _PARTS[name](options.smoke)
        rows, targets = rows + found, targets + asked
    show(rows, targets)
    if options.json is not None:
        about = {"python": sys.version, "machine": platform.platform(), "smoke": options.smoke}
        content = about | {"rows": rows, "targets": targets}
        options.json.write_text(json.dumps(content, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
