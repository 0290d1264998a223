"""A hidden fault that is found by one part in n, whose answer comes L parts later.

Exact: before each part the machine turns bad with chance p, and all parts are bad until the answer of the first bad one
that is read. A round has n / (1 - (1 - p)**n) + L parts, of which 1 / p - 1 are good, and setting right takes R.
Each claim is held to four standard errors of its run (false alarm 6e-5); seeds were fixed before.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop

_P, _RIGHTING_MIN = 0.002, 40.0


def _works(n: int, delay: float, length: float, chance: float = _P, reject: str = "pass", **room: Any) -> Works:
    """Without delay the gauge stands beside the machine."""
    gauge = {"feature": "face", "every": n, "where": "measuring room" if delay else "machine", "reject": reject}
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "gauges": {"gauge": gauge},
        "turns_bad": {"chance": chance, "shift": "50 um", "minutes": _RIGHTING_MIN},
        "measuring_room": {"carry": delay, **room} if delay else None,
    }  # fmt: skip
    features = {"face": {"size": {"limits": [99.98, 100.02]}}}
    return a_shop(
        {"Op 10": operation}, line={"features": features}, length=length,
        cutters={"blade": a_blade(life=1e12)},
    )  # fmt: skip


def _run(works: Works, seed: int) -> Tally:
    return run_fast(make_plan(works, "as stated"), seed, 0)


@pytest.mark.parametrize(
    ("n", "delay", "parts", "bad", "good_rate"),
    [(20, 0, 509.567, 10.5666, 0.907988), (20, 60, 569.567, 70.5666, 0.818614), (5, 60, 562.004, 63.004, 0.828898),
     (1, 0, 500.0, 1.0, 0.924074)],
)  # fmt: skip
def test_a_round_from_fault_to_fault(n: int, delay: float, parts: float, bad: float, good_rate: float) -> None:
    """About 1,600 rounds: parts of a round scatter by 500, bad ones by their turn among n."""
    tally = _run(_works(n, delay, 1e6), 41)
    rounds = int(tally.faults_found[0])
    assert rounds > 1500
    made_bad, made = float(tally.made_bad[0]), float(tally.worked[0])
    turn_sd = ((n * n - 1.0) / 12.0) ** 0.5
    assert made_bad / rounds == pytest.approx(bad, abs=4.0 * turn_sd / rounds**0.5 + 2.0 * bad / rounds)
    assert made / rounds == pytest.approx(parts, rel=4.0 * (500.0 / parts) / rounds**0.5)
    lost = (bad + _RIGHTING_MIN) / (1.0 / _P - 1.0)
    rate_sd = good_rate**2 * lost / rounds**0.5
    assert (made - made_bad) / tally.counted_min == pytest.approx(good_rate, abs=4.0 * rate_sd)
    assert 4.0 * rate_sd < 0.02 * good_rate


def test_parts_in_quarantine_and_on_the_way() -> None:
    """One in 20, answer after 60 parts: each waits for the last of its twenty and 60 more, 69.5 parts in the mean."""
    tally = _run(_works(20, 60, 1e5, 1e-12, meanwhile="quarantine"), 42)
    standing = (tally.held_min[0] + tally.room_min[0]) / tally.counted_min
    assert standing == pytest.approx(69.5, rel=2e-3)


def test_nothing_bad_leaves_a_quarantine_and_all_that_was_made_bad_is_sorted() -> None:
    tally = _run(_works(20, 60, 1e5, reject="scrap", meanwhile="quarantine"), 43)
    assert tally.bad_shipped[0] == 0
    assert tally.turned_bad[0] > 100
    assert tally.room_bad[0] + tally.sorted_bad[0] == pytest.approx(float(tally.made_bad[0]), abs=150.0)
