"""Changing an edge after so many parts when its life is counted in parts: renewal reward, discrete.

In the case a part takes its whole cycle even if the edge breaks on it, so the cycle stands in the handling and the cut
itself lasts a millionth of a minute; lives are so many of those. Source in tests/data/line_cases.json. Accepted as told
in `tests.theory.evidence`; the control variate is edges broken against the hazard that they have lived through.
"""

from __future__ import annotations

import pytest

from linesim.result import Result
from tests.theory.evidence import agree, replicate
from tests.theory.lines import case, scenario
from tests.theory.measures import breaking_control

CUT_MIN = 1e-6


def figures(result: Result) -> dict[str, float]:
    line, changes = result.lines.iloc[0], result.changes.iloc[0]
    edges = float(changes["planned"] + changes["unplanned"])
    return {
        "good_rate": float(line["shipped"]) / result.tally.counted_min,
        "parts_per_edge": float(line["shipped"] + line["scrapped"]) / edges,
        "break_probability": float(changes["unplanned"]) / edges,
    }


@pytest.mark.late
@pytest.mark.parametrize("at", ["best_N", pytest.param("at_N", marks=pytest.mark.longer)])
def test_changing_after_so_many_parts(at: str) -> None:
    of = case("part_life_3.0")
    given, is_best = of.parameters, at == "best_N"
    count = of.expected[at]
    tool = {
        "sets": 2,
        "life": given["scale_parts"] * CUT_MIN,
        "life_cv": 0.0,
        "breaking": {"shape": given["shape"], "scale": 1.0},
        "change": given["change_planned"],
        "extra_when_broken": given["change_after_break"] - given["change_planned"],
        "renewal": {"bought": {}},
    }
    text = scenario(
        {"Op 10": {"minutes": CUT_MIN, "load": given["cycle"], "sets": ["tool"]}},
        length=8_500.0,
        warm_up=1_000.0,
        cutters={"tool": tool},
        rule={"parts": count},
    )
    names = ("good_rate", "break_probability", "parts_per_edge") if is_best else ("good_rate", "break_probability")
    expected = {name: float(of.expected[name if is_best else f"{name}_at_N"]) for name in names}

    def controls(result: Result) -> list[float]:
        return [breaking_control(result, given["shape"])]

    agree(expected, *replicate(text, of.seed + 1000 * is_best, figures, controls, trace=True))
