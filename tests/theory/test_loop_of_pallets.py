"""A closed loop of pallets with ways between its stations and fixed times: the rate is exact.

Two, 2.4 and 1.8 minutes and four ways of half a minute each, from loading and unloading at one place and back to it: a
pallet goes round in 8.2 minutes, so that W of them give W parts in that time, and never more than one in 2.4 minutes
(worked out; fixed times leave nothing to chance). Source: counting.
"""

from __future__ import annotations

import pytest

from linesim.study import run
from linesim.works import works_from_text
from tests.theory.lines import scenario

LENGTH = 82_000.0


@pytest.mark.parametrize(("pallets", "rate"), [(2, 0.243902), (3, 0.365854), (4, 0.416667)])
@pytest.mark.parametrize("move", ["0.5 min", {"length": "6 m", "speed": "12 m/min", "pitch": "0.6 m"}])
def test_pallets_go_round(pallets: int, rate: float, move: object) -> None:
    minutes = {"load": 0, "turn": 2.0, "bore": 2.4, "mill": 1.8, "unload": 0}
    room = {"buffer": "unlimited"} if isinstance(move, str) else {}
    operations = {
        name: {"minutes": value, **({"move": move, **room} if name != "load" else {})}
        for name, value in minutes.items()
    }
    text = scenario(operations, line={"pallets": pallets}, length=LENGTH, warm_up=100.0)
    result = run(works_from_text(text), engine="fast")
    assert float(result.lines["shipped"].iloc[0]) / LENGTH == pytest.approx(rate, abs=2.0 / LENGTH)
