"""Watching the spindle's load: the chance of an alarm for a given wear, and false alarms over a lot of parts.

Exact: c 0.30, an alarm past 1.20, noise 3 %, heats of 5 %. Small deviations of heat and noise add up, which gives
normal chances; here they multiply and the heats are lognormal, which the same sums by quadrature follow. Averaging does
not help against a heat, which all its readings share; teaching the base load for each heat does. Each claim by chance
is held to four standard errors of its run (false alarm 6e-5); seeds were fixed before.
"""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from linesim.cutting.load import spindle_load
from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.works import Works
from tests.floors import a_shop, a_tool

Floats = npt.NDArray[np.float64]
_Z = NormalDist()
_LOT = 30


def _heats() -> tuple[Floats, Floats]:
    """Normal numbers from end to end, and their weights."""
    normal = np.linspace(-8.0, 8.0, 1601)
    weight = np.exp(-(normal**2) / 2.0)
    return normal, weight / weight.sum()


def _past(wear: float) -> float:
    """By how much a reading must deviate to be past 1.20."""
    return 1.20 / spindle_load(0.30, wear, 1.0, 0.0) - 1.0


def _alarm(wear: float, heat: float, readings: int) -> float:
    """Chance that a mean of readings is past 1.20 in one heat, where they multiply."""
    return 1.0 - _Z.cdf(((1.0 + _past(wear)) / heat - 1.0) / (0.03 / readings**0.5))


def _chance(wear: float, readings: int, lots: int, is_normal: bool = False) -> float:
    """Chance of at least one alarm in so many means of one heat; heats are lognormal, or normal."""
    normal, weight = _heats()
    sigma = math.sqrt(math.log(1.0 + 0.05**2))
    heats = 1.0 + 0.05 * normal if is_normal else np.exp(sigma * normal - 0.5 * sigma**2)
    none = [(1.0 - _alarm(wear, heat, readings)) ** lots for heat in heats.tolist()]
    return float(1.0 - (weight * np.array(none)).sum())


SHEET = [
    (0.0, 0.000302, 0.0000559, 0.0), (0.5, 0.227941, 0.200495, 0.0736303),
    (0.8, 0.709944, 0.733397, 0.858873), (1.0, 0.906452, 0.931347, 0.994828),
]  # fmt: skip


@pytest.mark.parametrize(("wear", "one", "five", "known"), SHEET)
def test_the_chance_of_an_alarm(wear: float, one: float, five: float, known: float) -> None:
    """One reading, the mean of five, and one in a heat that is known; the laws differ by a few thousandths."""
    chances = [1.0 - _Z.cdf(_past(wear) / (0.05**2 + 0.03**2 / n) ** 0.5) for n in (1, 5)]
    assert chances == pytest.approx([one, five], rel=2e-3)
    assert 1.0 - _Z.cdf(_past(wear) / 0.03) == pytest.approx(known, abs=1e-6)
    assert [_chance(wear, n, 1) for n in (1, 5)] == pytest.approx(chances, abs=0.01)


def test_false_alarms_in_thirty_parts_come_together() -> None:
    """0.62504 as the castings of a lot share their heat; with scatter of its own in each part it would be 0.999574."""
    assert _chance(0.5, 1, _LOT, is_normal=True) == pytest.approx(0.62504, abs=1e-5)
    apart = 1.0 - _Z.cdf(_past(0.5) / (0.05**2 + 0.03**2) ** 0.5)
    assert 1.0 - (1.0 - apart) ** _LOT == pytest.approx(0.999574, abs=2e-6)


def _works(wear: float, length: float, **load: Any) -> Works:
    """A part a minute; the edge stands at a wear, as it has done its parts as the run begins and lasts very long."""
    grade = {"based_on": "carbide", "wear_b": 0.0, "wear_tau": 1.0, "wear_gamma": 1.0}
    drill = a_tool(life=1e6, life_cv=0, breaking="never", wear_limit=0.3)
    edges = {"now": {"lines": {"line": {"Op 10": {"edges": {"drill": int(wear * 1e6)}}}}}} if wear else {}
    rule = {"load": {"past": 1.2, "growth": 0.3, "noise": 0.03, **load}}
    return a_shop(
        {"Op 10": {"minutes": 1, "sets": ["drill"]}}, length=length, rule=rule, cutters={"drill": drill},
        line={"casting": {"heats": {"of": _LOT, "force": 0.05}}}, handbook={"grades": {"plain": grade}}, **edges,
    )  # fmt: skip


@pytest.mark.parametrize(("wear", "readings", "per_heat"), [(0.5, 1, False), (0.5, 5, False), (0.5, 5, True)])
def test_a_first_alarm_in_thirty_parts_of_one_heat(wear: float, readings: int, per_heat: bool) -> None:
    """1,500 lots that begin with an edge half worn: in how many of them the set is changed."""
    plan = make_plan(_works(wear, _LOT + 0.5, readings=readings, per_heat=per_heat), "as stated")
    lots = 1500
    alarmed = sum(int(run_fast(plan, 71, lot).planned[0] > 0) for lot in range(lots)) / lots
    heat_share = 1.0 - (1.0 - _alarm(wear, 1.0, readings)) ** (_LOT // readings)
    chance = heat_share if per_heat else _chance(wear, readings, _LOT // readings)
    assert alarmed == pytest.approx(chance, abs=4.0 * (chance * (1.0 - chance) / lots) ** 0.5)


def test_all_alarms_of_a_sharp_edge_are_false_and_a_worn_one_is_missed() -> None:
    plan = make_plan(_works(0.0, 200_000.0, past=1.1), "as stated")
    tally = run_fast(plan, 72, 0)
    assert tally.load_alarms[0] == tally.load_false[0] > 100
    assert tally.load_missed[0] == 0
    normal, weight = _heats()
    sigma = math.sqrt(math.log(1.0 + 0.05**2))
    heats = np.exp(sigma * normal - 0.5 * sigma**2)
    chances = [1.0 - _Z.cdf((1.1 / heat - 1.0) / 0.03) for heat in heats.tolist()]
    expected = float((weight * np.array(chances)).sum())
    # Alarms of one heat go together: 6,667 heats are as good as so many readings of them.
    sd = (expected * (1.0 - expected) / (200_000 / _LOT)) ** 0.5
    assert tally.load_alarms[0] / 200_000 == pytest.approx(expected, abs=4.0 * sd)
    worn = run_fast(make_plan(_works(0.8, 1.5, per_heat=True), "as stated"), 73, 0)
    assert worn.load_alarms[0] + worn.load_missed[0] == 1
    assert worn.load_false[0] == 0
