"""Records written by the laws of the floor from known coefficients, fitted back: how often do the intervals hold them?

``python -m tests.benchmarks.recovery [--logs 200] [--seed S]``. Edges live, scatter and break by the laws that both
engines draw with (`linesim.cutting.life`); each is changed at its interval, when it is seen to be worn at a look, or
when it breaks.
"""

from __future__ import annotations

import argparse
from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from linesim.cutting.life import edge_break_share, edge_life_factor, extended_taylor_life_min
from linesim.records.edge_life import edge_life
from linesim.records.lives import lives_from_book
from linesim.records.reading import Record


@dataclass(frozen=True)
class Truth:
    """What the records are written from.

    Attributes
    ----------
    life_min, speed, feed : float
        Mean life at 110 m/min, 0.15 mm, and the exponents of speed and feed.
    cv : float
        Scatter of edges.
    batch_cv : float
        Scatter of batches; 0 for none.
    break_shape, break_scale : float
        Weibull of the life share of breaking.
    interval_min : float
        Cutting minutes at which an edge is changed that is still good.
    look_min : float
        Minutes between looks; 0 if the end of life is seen at once.
    edges : int
        Edges in a log.
    """

    life_min: float = 40.0
    speed: float = -4.0
    feed: float = -0.8
    cv: float = 0.25
    batch_cv: float = 0.0
    break_shape: float = 3.0
    break_scale: float = 2.2
    interval_min: float = 50.0
    look_min: float = 0.0
    edges: int = 40


@dataclass
class Counts:
    """How often intervals held the truth.

    Attributes
    ----------
    logs, without_estimate : int
        Logs in all, and those that gave no fit.
    holds, known : Counter
        By figure: intervals that held the truth, and intervals there were.
    """

    logs: int = 0
    without_estimate: int = 0
    holds: Counter[str] = field(default_factory=Counter)
    known: Counter[str] = field(default_factory=Counter)


def log_of(truth: Truth, chance: np.random.Generator) -> list[Record]:
    """Write one tool-change book."""
    rows = []
    for at in range(truth.edges):
        speed, feed = (float(chance.choice(levels)) for levels in ((95.0, 110.0, 125.0), (0.12, 0.15, 0.19)))
        mean = extended_taylor_life_min(
            speed, feed, 3.0, truth.life_min, 110.0, 0.15, 3.0, -1.0 / truth.speed, -truth.feed, 0.0, 1.0
        )
        if at % 5 == 0:
            batch = edge_life_factor(truth.batch_cv, chance.random())
        life = mean * batch * edge_life_factor(truth.cv, chance.random())
        broke = life * edge_break_share(truth.break_shape, truth.break_scale, chance.random())
        seen = life if truth.look_min == 0.0 else truth.look_min * np.ceil(life / truth.look_min)
        seen = min(seen, truth.interval_min) if life < truth.interval_min else seen  # what is taken out is looked at
        end, why = min((seen, "worn"), (broke, "broken"), (truth.interval_min, "by interval"))
        values = {"set": "mill", "minutes": end, "why": why, "speed": speed, "feed": feed}
        values |= {"last good": _last_look(truth.look_min, end)} if truth.look_min and why != "by interval" else {}
        values |= {"batch": str(at // 5)} if truth.batch_cv else {}
        rows.append(Record("log", at + 2, "tool changes", values))
    return rows


def _last_look(every_min: float, end_min: float) -> float:
    """Minutes at the last look before an end."""
    return every_min * (float(np.ceil(end_min / every_min)) - 1.0)


def covered(truth: Truth, logs: int, seed: int) -> Counts:
    """Fit so many logs and count which intervals hold the truth."""
    counts = Counts(logs)
    for number in range(logs):
        data = lives_from_book("mill", log_of(truth, np.random.default_rng([seed, number])))
        answer = None if data is None else edge_life(data)
        if answer is None or answer.best is None or data is None:
            counts.without_estimate += 1
            continue
        at = data.at
        life = truth.life_min * (at["speed"] / 110.0) ** truth.speed * (at["feed"] / 0.15) ** truth.feed
        true = {
            "mean edge life": life,
            "speed exponent of life": truth.speed,
            "feed exponent of life": truth.feed,
            "scatter of life (cv)": truth.cv,
        }
        for each in answer.coefficients:
            if each.name in true:
                counts.known[each.name] += 1
                counts.holds[each.name] += each.interval.low <= true[each.name] <= each.interval.high
    return counts


CASES = {
    "40 edges, changed at 50 min": Truth(),
    "12 edges, changed at 50 min": Truth(edges=12),
    "40 edges, changed at 35 min: two thirds cut off": Truth(interval_min=35.0),
    "40 edges, looked at every 8 min": Truth(look_min=8.0),
    "60 edges in batches of five": Truth(batch_cv=0.2, edges=60),
    "100 edges": Truth(edges=100),
    "40 edges, of which a quarter break": Truth(break_scale=1.3),
}


def main() -> None:
    """Print a table of coverage."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--logs", type=int, default=200)
    parser.add_argument("--seed", type=int, default=2026)
    asked = parser.parse_args()
    for name, truth in CASES.items():
        counts = covered(truth, asked.logs, asked.seed)
        print(f"{name}: {counts.without_estimate} of {counts.logs} without an estimate")
        for figure, known in counts.known.items():
            print(f"    {figure}: {100.0 * counts.holds[figure] / known:.1f} % of {known}", flush=True)


if __name__ == "__main__":
    main()
