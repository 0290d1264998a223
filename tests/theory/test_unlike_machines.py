"""Two unlike machines side by side and one queue, of which an arrival that finds both free takes the faster.

The stationary means of the chain of (faster busy, slower busy, waiting), solved for these rates: by birth and death
beyond two in the system and four balance equations below; derived for this test. Accepted as told in
`tests.theory.evidence`.
"""

from __future__ import annotations

from linesim.result import Result
from tests.theory.evidence import agree, replicate
from tests.theory.lines import exponential, scenario

RATE, FAST, SLOW = 1.2, 1.0, 0.6
SEED = 20261127 + 2000


def figures(result: Result) -> dict[str, float]:
    line, machines = result.lines.iloc[0], result.machines
    busy = {f"busy {at}": float(share) for at, share in enumerate(machines["cutting_share"])}
    return {"in_line": float(line["mean_in_line"]), "lead_min": float(line["mean_lead_min"]), **busy}


def controls(result: Result) -> list[float]:
    """Castings less those that should have come, and minutes of each machine less those that its parts should take."""
    counted, machines = result.tally.counted_min, result.machines
    came = float(result.lines["castings"].iloc[0]) / counted - RATE
    cut = machines["cutting_min"] - machines["worked"] * [1.0 / FAST, 1.0 / SLOW]
    return [came, *(float(minutes) / counted for minutes in cut)]


def test_an_arrival_that_finds_both_free_takes_the_faster_one() -> None:
    cell = {
        "machines": 2,
        "minutes": exponential(1.0 / FAST),
        "buffer": "unlimited",
        "unlike": {"fast": {}, "slow": {"time": FAST / SLOW}},
        "next_machine": "first named",
    }
    arrivals = {"casting": {"arrivals": {"between": exponential(1.0 / RATE)}}}
    text = scenario({"cell": cell}, line=arrivals, length=60_000.0, warm_up=1_000.0)
    expected = {"in_line": 3.40828, "lead_min": 2.84024, "busy 0": 0.763314, "busy 1": 0.727811}
    agree(expected, *replicate(text, SEED, figures, controls))
