"""Tests, repairs and failures in the field that do not go together are refused in words."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.works.checks_later import later_cost_at_limit
from tests.builders import flow_line


def problems(test: dict[str, Any], features: dict[str, Any] | None = None, at: str = "Op 30", **line: Any) -> str:
    """What is said of a line of three operations, of which one tests."""
    features = {"face": {"size": {"limits": [9.9, 10.1]}}} if features is None else features
    with pytest.raises(ScenarioError) as caught:
        flow_line([1.0, 1.0, 1.0], operations={at: {"test": test}}, line={"features": features, **line})
    return str(caught.value)


def test_a_component_with_a_loss_and_later_consequences_is_refused_with_the_factor() -> None:
    """5 % at the limit for a repair of 60 and 1 % for a claim of 1500: 18 in all, of which a loss of 36 is twice."""
    weights, asked = {"face": {"size": 1}}, {"limits": [9.9, 10.1]}
    engine_test = {"weights": weights, "cost": 60}
    claim = {"weights": weights, "at_limit": 0.01, "cost": 1500}
    later = {"field": {"engine test": engine_test, "claim": claim}}
    text = problems({}, {"face": {"size": asked | {"loss_at_limit": 36}}}, later=later)
    assert 'the size of "face" has a loss_at_limit of 36 and later consequences, which cost 18 at the limit' in text
    assert "the loss is 2 times as much" in text
    line = {"features": {"face": {"size": asked}}, "later": {"field": {"claim": claim}}}
    test = {"weights": weights, "rejected": {"repair": {"cost": 60}}}
    works = flow_line([1.0, 1.0, 1.0], operations={"Op 30": {"test": test}}, line=line)
    assert later_cost_at_limit(works.lines["line"], "face", "size") == pytest.approx(18.0)


@pytest.mark.parametrize(
    ("test", "words"),
    [
        ({"weights": {"fase": {"size": 1}}}, 'Did you mean "face"?'),
        ({"weights": {"face": {"form": 1}}}, "has no limit for its form"),
        ({"weights": {"face": {"size": -1}}}, "0 or more was expected"),
        ({"at_limit": 0.5, "at_twice": 0.4}, "must be below at_twice"),
        ({"rejected": {"repair": {"people": "menders"}}}, "is not a pool of people"),
        ({"rejected": {"repair": {"back_to": "Op 10"}}}, "is the first of its line"),
        ({"rejected": {"repair": {"back_to": "Op 90"}}}, "is not an operation of this line"),
    ],
)
def test_what_leads_nowhere_is_said(test: dict[str, Any], words: str) -> None:
    assert words in problems(test)


def test_a_part_cannot_go_back_to_what_comes_after_the_test() -> None:
    test = {"rejected": {"repair": {"back_to": "Op 30"}}}
    assert '"Op 30" comes after "Op 20"' in problems(test, at="Op 20")
