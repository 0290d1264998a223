"""Changes to the scenario of the tests, and what they are refused with."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.works import changed, works_from_text
from tests.builders import a_scenario_text

BASE = works_from_text(a_scenario_text(), "b.yaml")
OPERATIONS = "lines.block.operations"


def refused(**changes: Any) -> str:
    with pytest.raises(ScenarioError) as caught:
        changed(BASE, changes)
    return str(caught.value)


def op(name: str, **entries: Any) -> dict[str, Any]:
    return {"lines": {"block": {"operations": {name: entries}}}}


def cut(operation: str, stroke: str, name: str, **entries: Any) -> dict[str, Any]:
    return op(operation, strokes={stroke: {"cuts": {name: entries}}})


def feature(name: str, **entries: Any) -> dict[str, Any]:
    return {"lines": {"block": {"features": {name: entries}}}}


def gauge(**entries: Any) -> dict[str, Any]:
    return op("Op 40", gauges={"bore gauge": entries})
