"""Machines that take several parts at once: exact stationary means of bulk service.

One part a minute comes by chance before a machine that takes four and whose batches last 10/3 minutes in the mean; the
parts that wait are those in the line but those in a running batch, of which there are (rate × minutes) by Little's law.
N. T. J. Bailey, "On queueing processes with bulk service", Journal of the Royal Statistical Society B 16 (1954), 80-87,
for a machine that starts with what is there (from memory, and derived again); for one that waits until it is full, and
for fixed minutes, the chain of the numbers left behind by batches, worked out for these figures. Accepted as told in
`tests.theory.evidence`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.result import Result
from tests.theory.evidence import agree, replicate
from tests.theory.lines import exponential, scenario

RATE, MEAN_MIN, MOST = 1.0, 10.0 / 3.0, 4
SEED = 20261127 + 1000
"""The first runs, with seeds less by 1000 and half as long, left half-widths between 1 and 2 % of the waiting parts."""


def text(minutes: Any, length: float, **operation: Any) -> str:
    return scenario(
        {"wash": {"minutes": minutes, "buffer": "unlimited", **operation}},
        line={"casting": {"arrivals": {"between": exponential(1.0 / RATE)}}},
        length=length, warm_up=1_000.0,
    )  # fmt: skip


def figures(result: Result) -> dict[str, float]:
    in_line, states = float(result.lines["mean_in_line"].iloc[0]), result.machines.mean(numeric_only=True)
    stands = float(states["waiting_for_part_share"] + states["filling_share"])
    return {"in_line": in_line, "frac_standing": stands}


def controls(result: Result) -> list[float]:
    """Castings less those that should have come, and minutes of the batches less those that they should have taken."""
    counted, machines = result.tally.counted_min, result.machines
    came = float(result.lines["castings"].iloc[0]) / counted - RATE
    rounds = np.where(machines["batches"] > 0, machines["batches"], machines["worked"]).sum()
    return [came, float(machines["cutting_min"].sum() - rounds * MEAN_MIN) / counted]


@pytest.mark.parametrize(
    ("number", "minutes", "least", "length", "waiting", "standing"),
    [
        (5, exponential(MEAN_MIN), 1, 160_000.0, 12.691, 0.0210324),
        (6, exponential(MEAN_MIN), MOST, 150_000.0, 11.1304, 0.166667),
        (7, MEAN_MIN, 1, 30_000.0, 3.33931, 0.005464),
        (70, MEAN_MIN, MOST, 30_000.0, 3.19099, 0.166667),
    ],
    ids=["starts with what is there", "waits until it is full", "fixed minutes", "fixed minutes and full"],
)
def test_bulk_service(number: int, minutes: Any, least: int, length: float, waiting: float, standing: float) -> None:
    of = text(minutes, length, batch={"most": MOST, "least": least})
    found, known = replicate(of, SEED + number, figures, controls)
    agree({"in_line": waiting + RATE * MEAN_MIN, "frac_standing": standing}, found, known)


def test_four_single_machines_have_the_capacity_and_another_queue() -> None:
    """What a scenario without batches would say in its place."""
    of = text(exponential(MEAN_MIN), 75_000.0, machines=MOST)
    found, known = replicate(of, SEED + 8, figures, controls)
    agree({"in_line": 3.28861 + RATE * MEAN_MIN}, found, known)
