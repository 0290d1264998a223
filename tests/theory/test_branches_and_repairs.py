"""Parts that take different ways by chance, and parts that are repaired and tested again: networks in product form.

J. R. Jackson, "Networks of waiting lines", Operations Research 5 (1957), 518-521 (from memory): Poisson arrivals that
part by chance come as independent Poisson streams, and each exponential station stands as if it were alone. That holds
for a repair loop as well, although the chance to be turned down depends on how often the part was repaired (routing by
class). Figures worked out for these tests. Accepted as told in `tests.theory.evidence`.
"""

from __future__ import annotations

import pytest

from linesim.result import Result
from tests.theory.evidence import agree, replicate
from tests.theory.lines import exponential, scenario

SEED = 20261127 + 3000


def arrivals(rate: float) -> dict[str, object]:
    return {"casting": {"arrivals": {"between": exponential(1.0 / rate)}}}


def came(result: Result, rate: float) -> float:
    """Castings less those that should have come, per minute."""
    return float(result.lines["castings"].iloc[0]) / result.tally.counted_min - rate


def cut(result: Result, means_min: list[float]) -> list[float]:
    """Minutes of each machine less those that its parts should take, per minute."""
    minutes = result.machines["cutting_min"] - result.machines["worked"] * means_min
    return [float(each) / result.tally.counted_min for each in minutes]


# --- branches -----------------------------------------------------------------------------------------------------

MEANS = [1.0, 1.5, 2.0, 1.0]
SHARES = [1.0, 0.5, 0.3, 1.0]
RATE = 0.5


def network(result: Result) -> dict[str, float]:
    """Parts waiting and in work at each station."""
    stock, machines = result.operations["mean_stock"], result.machines
    found = {f"at {at}": float(stock.iloc[at] + machines["cutting_share"].iloc[at]) for at in range(4)}
    done = [float(each) for each in machines["worked"]]
    return found | {"lead_min": float(result.lines["mean_lead_min"].iloc[0]), "honed": done[1] / done[0]}


def test_parts_that_branch_off_by_chance_come_as_independent_streams() -> None:
    """One half is honed, three in ten lapped, the others go past both: each station is a queue of its own."""
    names = ["wash", "hone", "lap", "gauge"]
    operations = {
        name: {"minutes": exponential(mean), "buffer": "unlimited"} for name, mean in zip(names, MEANS, strict=True)
    }
    operations["hone"]["branch"], operations["lap"]["branch"] = "honed", "lapped"
    line = arrivals(RATE) | {"branches": {"finish": {"honed": 0.5, "lapped": 0.3}}}
    loads = [RATE * share * mean for share, mean in zip(SHARES, MEANS, strict=True)]
    inside = [load / (1.0 - load) for load in loads]
    expected = {f"at {at}": value for at, value in enumerate(inside)} | {"lead_min": sum(inside) / RATE, "honed": 0.5}
    text = scenario(operations, line=line, length=150_000.0, warm_up=1_000.0)

    def controls(result: Result) -> list[float]:
        done = result.machines["worked"] / result.tally.counted_min
        parted = [float(done.iloc[at] - SHARES[at] * done.iloc[0]) for at in (1, 2)]
        return [came(result, RATE), *cut(result, MEANS), *parted]

    agree(expected, *replicate(text, SEED, network, controls))


# --- a repair loop ------------------------------------------------------------------------------------------------


def loop(result: Result) -> dict[str, float]:
    counted, line = result.tally.counted_min, result.lines.iloc[0]
    castings = float(line["castings"])
    return {
        "tests of a part": float(result.tally.tested[0]) / castings,
        "repairs of a part": float(result.tally.repairs.sum()) / castings,
        "scrap": float(result.tally.scrapped_castings.sum()) / castings,
        "repairing": float(result.tally.repair_min[0]) / counted,
        "testing": float(result.machines["cutting_share"].iloc[-1]),
        "in_line": float(line["mean_in_line"]),
    }


@pytest.mark.parametrize("rate", [0.3])
def test_leak_tested_repaired_and_tested_again_twice_at_most(rate: float) -> None:
    """8 % leak, 15 % again after each repair: 1.092 tests and 0.092 repairs of a part, 0.18 % scrap."""
    repair = {"minutes": exponential(10.0), "succeeds": 0.85, "tries": 2}
    test = {"floor": 0.08, "rejected": {"repair": repair}}
    operations = {
        "in": {"minutes": 0},
        "leak test": {"minutes": exponential(2.0), "buffer": "unlimited", "test": test},
    }
    text = scenario(operations, line=arrivals(rate), length=250_000.0, warm_up=2_000.0)
    testing, repairing = 2.0 * 1.092 * rate, 10.0 * 0.092 * rate
    expected = {
        "tests of a part": 1.092,
        "repairs of a part": 0.092,
        "testing": testing,
        "repairing": repairing,
        "in_line": testing / (1.0 - testing) + repairing / (1.0 - repairing),
    }

    def controls(result: Result) -> list[float]:
        tested, repaired = (float(of.sum()) for of in (result.tally.tested, result.tally.repairs))
        rounds = float(result.machines["worked"].iloc[-1])
        cutting = float(result.machines["cutting_min"].iloc[-1]) - 2.0 * rounds
        mended = float(result.tally.repair_min[0]) - 10.0 * repaired
        counted = result.tally.counted_min
        turned = float(result.tally.turned_down.sum()) - 0.0938 / 1.092 * tested
        return [came(result, rate), cutting / counted, mended / counted, turned / counted]

    agree(expected, *replicate(text, SEED + 1, loop, controls))
