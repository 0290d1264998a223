"""Cutters that break unseen: parts spoilt for each, by when somebody sees it and by the probe that looks for them.

Before each part an edge breaks with a chance p that does not depend on its age (an exponential life), so that a round
is 1/p - 1 good parts and those spoilt; with a probe after one part in n it is n / (1 - (1 - p)^n) parts, as for a
sample of one in n without delay (derived by counting). Each claim is held to four standard errors of its run (false
alarm 6e-5); seeds were fixed before.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State, Tally
from tests.floors import a_blade, a_cut, a_shop

LIFE_MIN = 1e9
"""So long that nothing wears."""


def _run(chance: float, seed: int, length: float = 4e5, probe: dict[str, Any] | None = None, **blade: Any) -> Tally:
    """One machine, a minute to a part, whose edges break with this chance in each."""
    scale = 1.0 / (-math.log1p(-chance) * LIFE_MIN)
    kind = a_blade(life=LIFE_MIN, breaking={"shape": 1, "scale": scale}, extra_when_broken=0, **blade)
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "breakage_probe": probe}
    features = {"face": {"size": {"limits": [99.98, 100.02]}}}
    works = a_shop({"Op 10": operation}, line={"features": features}, cutters={"blade": kind}, length=length)
    return run_fast(make_plan(works, "as stated"), seed, 0)


def _good_share(tally: Tally) -> tuple[float, float]:
    """Good parts over all parts made, and its standard error from rounds of a geometric length."""
    rounds, made = int(tally.unplanned[0]), float(tally.worked[0])
    good = float(tally.shipped[0] - tally.parts_out[0])
    share = good / made
    return share, share * (1.0 - share) / rounds**0.5


@pytest.mark.parametrize("parts", [1, 6])
def test_parts_spoilt_until_somebody_sees_it(parts: int) -> None:
    """Trouble with one part in 400: 399 good ones to each six spoilt; six at 127 each are 1.905 for each part made."""
    chance = 1.0 / 400.0
    tally = _run(chance, 71, seen_after=parts)
    assert tally.cut_unseen[0] / tally.broke_unseen[0] == pytest.approx(parts, rel=0.01)
    share, sd = _good_share(tally)
    assert share == pytest.approx(399.0 / (399.0 + parts), abs=4.0 * sd)
    spoilt = float(tally.cut_unseen[0] / tally.worked[0])
    if parts == 6:
        assert 127.0 * spoilt == pytest.approx(1.905, rel=4.0 / float(tally.broke_unseen[0]) ** 0.5 + parts * chance)


@pytest.mark.parametrize(("every", "parts_a_round"), [(1, 500.0), (20, 509.567)])
def test_a_probe_after_one_part_in_n_spoils_what_a_sample_of_one_in_n_does(every: int, parts_a_round: float) -> None:
    chance = 0.002
    exact = every / (1.0 - (1.0 - chance) ** every)
    assert exact == pytest.approx(parts_a_round, rel=1e-6)
    tally = _run(chance, 73, probe={"every": every}, seen_after=100_000)
    assert tally.probe_found[0] == tally.unplanned[0]
    share, sd = _good_share(tally)
    assert share == pytest.approx((1.0 / chance - 1.0) / exact, abs=4.0 * sd)


@pytest.mark.parametrize("finds", [0.5, 0.9])
def test_a_probe_that_finds_only_some_looks_again_and_somebody_sees_it_in_the_end(finds: float) -> None:
    """Spoilt for each edge: (1 - (1 - q)^k) / q, a geometric number cut off after k parts."""
    most = 3
    tally = _run(0.01, 79, probe={"finds": finds}, seen_after=most)
    chances = [finds * (1.0 - finds) ** at for at in range(most - 1)]
    chances.append(1.0 - sum(chances))
    mean = sum((at + 1) * chance for at, chance in enumerate(chances))
    assert mean == pytest.approx((1.0 - (1.0 - finds) ** most) / finds)
    square = sum((at + 1) ** 2 * chance for at, chance in enumerate(chances))
    edges = int(tally.broke_unseen[0])
    sd = ((square - mean * mean) / edges) ** 0.5
    # The last edge may not be known yet.
    assert tally.cut_unseen[0] / edges == pytest.approx(mean, abs=4.0 * sd + most / edges)
    assert tally.break_probes[0] == tally.worked[0]


def test_a_broken_tap_that_is_got_out_costs_its_minutes_and_those_not_got_out_the_part() -> None:
    """80 % saved by 90 min at 36 an hour, 20 % scrap at 470: 137.20 a case, were the minutes lost on the saved alone.

    In the model an attempt takes its minutes whether it succeeds or not: 0.2 x 54 more, 148.00.
    """
    salvage = {"salvage": {"share": 0.8, "minutes": 90}}
    tally = _run(0.01, 79, 4e6, broken=salvage, change=0)
    cases, saved = float(tally.unplanned[0]), float(tally.saved[0])
    assert tally.scrapped[0, Cause.BROKEN_CUTTER] == cases - saved
    minutes = float(tally.state_min[0, State.CHANGING])
    assert minutes == pytest.approx(90.0 * cases, abs=90.0)
    case, sd = 36.0 / 60.0 * minutes / cases + 470.0 * (cases - saved) / cases, 470.0 * math.sqrt(0.16 / cases)
    assert case == pytest.approx(148.0, abs=4.0 * sd)
