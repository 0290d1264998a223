"""Sister cutters in a magazine: how often the setter comes, whether they last a shift, and the kit for a batch.

Exact: with k sisters of mean life T parts the machine stops every k T parts, whatever the law of life. The chance that
k edges last n parts is that of the sum of k lives; for Weibull lives (shape 3, mean 60) and exponential ones, and 80
parts, by quadrature. Claims by chance are held to four standard errors (false alarm 6e-5); seeds were fixed before.
"""

from __future__ import annotations

from math import gamma
from typing import Any

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.works import Works
from tests.floors import a_shop, a_tool

_SHIFTS = 1000


def _works(sisters: dict[str, int], length: float, rules: dict[str, Any], **drill: Any) -> Works:
    """A part a minute with a drill of each name."""
    cutters = {name: a_tool(sets=50, **(drill or {"breaking": "never"})) for name in sisters}
    operation = {
        "minutes": 1,
        "sets": list(sisters),
        "magazine": {"sisters": sisters, "pockets": sum(sisters.values())},
    }
    return a_shop({"Op 10": operation}, length=length, exceptions=rules, cutters=cutters)


def test_a_visit_every_180_parts() -> None:
    tally = run_fast(make_plan(_works({"drill": 3}, 180_000.0, {"drill": {"parts": 60}}), "as stated"), 51, 0)
    assert tally.stops[0] == 1000 - 1
    assert tally.planned[0] - tally.taken_over[0] == tally.stops[0]


@pytest.mark.parametrize(
    ("shape", "sisters", "lasts"),
    [(3.0, 1, 0.184912), (3.0, 2, 0.902811), (1.0, 1, 0.263597), (1.0, 2, 0.61506)],
)
def test_whether_the_cutters_last_a_shift(shape: float, sisters: int, lasts: float) -> None:
    """80 minutes of cutting without a stop, in 1,000 shifts that begin with sharp edges."""
    breaking = {"shape": shape, "scale": 1.0 / gamma(1.0 + 1.0 / shape)}
    drill = {"life": 60.0, "life_cv": 0, "breaking": breaking, "broken": "spares the part"}
    plan = make_plan(_works({"drill": sisters}, 80.0, {}, **drill), "as stated")
    lasted = sum(int(run_fast(plan, 52, shift).stops[0]) == 0 for shift in range(_SHIFTS)) / _SHIFTS
    assert lasted == pytest.approx(lasts, abs=4.0 * (lasts * (1.0 - lasts) / _SHIFTS) ** 0.5)


def test_the_kit_for_a_batch() -> None:
    """120 parts with lives of 35, 60 and 200 parts: 4, 2 and 1, in 7 pockets; one less of any and the machine stops."""
    rules = {name: {"parts": parts} for name, parts in {"short": 35, "middling": 60, "long": 200}.items()}
    kit = {"short": 4, "middling": 2, "long": 1}
    assert sum(kit.values()) == 7
    assert run_fast(make_plan(_works(kit, 120.0, rules), "as stated"), 53, 0).stops[0] == 0
    for name in ("short", "middling"):
        fewer = kit | {name: kit[name] - 1}
        assert run_fast(make_plan(_works(fewer, 120.0, rules), "as stated"), 53, 0).stops[0] > 0
