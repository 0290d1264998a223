"""The examples in docstrings are run, those of compiled functions included.

A module is imported when its test runs, so that collecting the tests does not import the whole package.
"""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts): count
    for room in ("linesim", "tests")
    for path in sorted((ROOT / room).rglob("*.py"))
    if (count := sum(line.strip().startswith(">>> ") for line in path.read_text(encoding="utf-8").splitlines()))
}
"""Modules with examples, and how many lines of them each has."""


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_give_what_they_say(name: str) -> None:
    """All of the module's examples are run, and none fails."""
    result = doctest.testmod(importlib.import_module(name.removesuffix(".__init__")))
    assert (result.failed, result.attempted) == (0, EXAMPLES[name])
