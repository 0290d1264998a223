"""Castings, regrinds, offsets and counts written from known figures, fitted back: how often do the intervals hold them?

``python -m tests.benchmarks.recovery_two_figures [--logs 400] [--seed S]``. Regrinds take what the floor's law says
(`linesim.cutting.regrinding`), offsets move as its gauges move them (a share of what is read, beyond the dead band),
castings scatter about the mean of their heat, each day's scrap about a share of its own.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable
from typing import Any

import numpy as np

from linesim.cutting.regrinding import regrind_past_limit_mm, regrind_takes_mm
from linesim.records.castings import HEAT_SHARE, SPREAD, STOCK, casting_figures
from linesim.records.coefficient import Coefficient
from linesim.records.counted import SCRAP, count_figures
from linesim.records.offsets import CORRECTED, DEAD_BAND, offset_figures
from linesim.records.reading import Record
from linesim.records.regrinds import MARGIN, PAST_LIMIT, PER_LAND, regrind_figures

Values = list[dict[str, Any]]
Written = tuple[Values, dict[str, float]]


def castings(chance: np.random.Generator) -> Written:
    """Twelve heats of five castings: 200 µm within, 150 from heat to heat, about 4 mm."""
    heats = 150.0 * chance.normal(size=12)
    values = [
        {"feature": "face", "batch": str(heat), "stock": 4.0 + (heats[heat] + 200.0 * chance.normal()) / 1000.0}
        for heat in range(12)
        for _ in range(5)
    ]
    return values, {
        STOCK: 4.0, SPREAD: 250.0, "spread within a heat": 200.0, "spread from heat to heat": 150.0, HEAT_SHARE: 0.36
    }  # fmt: skip


def regrinds(chance: np.random.Generator) -> Written:
    """Thirty regrinds about a limit of 0.3 mm: the land, 0.1 mm, 1 mm for each past; ground within 0.02 mm."""
    values = []
    for _ in range(30):
        land = float(chance.uniform(0.15, 0.45))
        taken = regrind_past_limit_mm(regrind_takes_mm(land, 1.0, 0.1), land, 0.3, 1.0)
        values.append({"set": "mill", "wear land": land, "metal taken": taken + 0.02 * chance.normal()})
    return values, {MARGIN: 0.1, PER_LAND: 1.0, PAST_LIMIT: 1.0}


def offsets(chance: np.random.Generator) -> Written:
    """Sixty readings of 6 µm, a share of 0.7 put on beyond 4 µm, by hand: the limit within 1 µm, the rest 0.5."""
    values = []
    for _ in range(60):
        error = float(6.0 * chance.normal())
        is_moved = abs(error) > 4.0 + chance.logistic(0.0, 1.0)
        values.append({"error read": error, "offset": 0.7 * error + 0.5 * chance.normal() if is_moved else 0.0})
    return values, {CORRECTED: 0.7, DEAD_BAND: 4.0}


def counts(chance: np.random.Generator) -> Written:
    """Thirty days of 120 parts, 3 % scrap scattered from day to day as beta of size 80."""
    values = []
    for share in chance.beta(0.03 * 80.0, 0.97 * 80.0, size=30):
        scrap = int(chance.binomial(120, share))
        values.append({"good": 120 - scrap, "scrap": scrap})
    return values, {SCRAP: 3.0}


CASES: dict[str, tuple[Callable[[np.random.Generator], Written], Callable[[list[Record]], list[Coefficient]]]] = {
    "castings": (castings, lambda rows: casting_figures("face", rows)),
    "regrinds": (regrinds, lambda rows: regrind_figures("mill", rows, 0.3)),
    "offsets": (offsets, lambda rows: offset_figures("gauge", rows)),
    "counts": (counts, lambda rows: count_figures("Op 10", rows)),
}


def held(name: str, logs: int, seed: int) -> tuple[Counter[str], Counter[str]]:
    """By figure: in how many logs its interval held the truth, and in how many there was one."""
    write, fit = CASES[name]
    holds: Counter[str] = Counter()
    known: Counter[str] = Counter()
    for number in range(logs):
        values, truth = write(np.random.default_rng([seed, number]))
        for each in fit([Record("log", at, name, value) for at, value in enumerate(values, start=2)]):
            if each.name in truth:
                known[each.name] += 1
                holds[each.name] += each.interval.low <= truth[each.name] <= each.interval.high
    return holds, known


def main() -> None:
    """Print a table of coverage."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--logs", type=int, default=400)
    parser.add_argument("--seed", type=int, default=2027)
    asked = parser.parse_args()
    for name in CASES:
        holds, known = held(name, asked.logs, asked.seed)
        for figure, count in known.items():
            print(f"{name}, {figure}: {100.0 * holds[figure] / count:.1f} % of {count}", flush=True)


if __name__ == "__main__":
    main()
