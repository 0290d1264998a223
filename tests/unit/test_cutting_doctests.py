"""The examples in the docstrings of the laws are run, compiled functions included."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import linesim.cutting
import linesim.handbook

MODULES = [
    "linesim.chance.numbers",
    "linesim.chance.durations",
    "linesim.philox",
    "linesim.normal",
    *(f"linesim.cutting.{module.name}" for module in pkgutil.iter_modules(linesim.cutting.__path__)),
    *(f"linesim.handbook.{module.name}" for module in pkgutil.iter_modules(linesim.handbook.__path__)),
]
WITHOUT_EXAMPLES = {
    "linesim.cutting.step",
    "linesim.cutting.conditions",
    "linesim.cutting.error_terms",
    "linesim.handbook.entries",
}


@pytest.mark.parametrize("name", MODULES)
def test_examples_give_what_they_say(name: str) -> None:
    """At least one example in each module, and none fails."""
    result = doctest.testmod(importlib.import_module(name))
    assert result.failed == 0
    assert (result.attempted == 0) == (name in WITHOUT_EXAMPLES)
