"""Sets that are changed as soon as they are due, not only as the next part comes; worked out by hand."""

from __future__ import annotations

import pytest

from linesim.plan.tally import State
from linesim.study import run
from linesim.study.comparing.words import policy_words
from linesim.works import Works
from tests.floors import a_shop, a_tool, run_shop


def shop(changes: str) -> Works:
    """A casting each 20 min from minute 20 on, cut for 5 min; the set comes off after two parts, which takes 8 min."""
    operation = {"minutes": 5, "sets": ["tool"]}
    line = {"casting": {"arrivals": {"between": 20}}}
    policies = {"as stated": {"default": {"parts": 2}, "changes": changes}}
    return a_shop({"Op 10": operation}, line=line, cutters={"tool": a_tool(change=8)}, policies=policies, length=100.0)


@pytest.mark.parametrize(
    ("changes", "changed", "cut"),
    [
        ("with the next part", [(60.0, 68.0)], [(20.0, 25.0), (40.0, 45.0), (68.0, 73.0), (80.0, 85.0)]),
        ("when due", [(45.0, 53.0), (85.0, 93.0)], [(20.0, 25.0), (40.0, 45.0), (60.0, 65.0), (80.0, 85.0)]),
    ],
)
def test_a_set_is_changed_as_the_policy_says(
    changes: str, changed: list[tuple[float, float]], cut: list[tuple[float, float]]
) -> None:
    seen = run_shop(shop(changes))
    assert seen.spans_in("Op 10", State.CHANGING) == changed
    assert seen.spans_in("Op 10", State.CUTTING) == cut
    assert run(shop(changes), seed=1).tally.state_min.tolist() == seen.tally.state_min.tolist()


def test_the_words_of_a_policy_say_so() -> None:
    assert "as soon as they are due" in policy_words(shop("when due").policies["as stated"])
    assert "as soon as" not in policy_words(shop("with the next part").policies["as stated"])
