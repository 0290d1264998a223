"""Tables of the plan on what surfaces cost later: tests on the line, failures in the field, and their terms.

Indices, ranges and units are those of `linesim.plan.tables`, which hands these on.
"""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.column_types import Floats, Ints

__all__ = ["TestTerms", "Tests"]


class Tests(NamedTuple):
    """Tests of operations and failures in the field, line after line, the tests of a line first."""

    operation: Ints
    """The operation that tests; ``NONE`` for a failure in the field."""
    cause: Ints
    """Number of the cause within the line; all tests of one cause share a part's draw."""
    draw: Ints
    """Spot of that draw."""
    strength: Floats
    strength_sd: Floats
    """Mean and standard deviation of the strength, in deviations to the limit."""
    floor: Floats
    first_term: Ints
    end_term: Ints
    """Range of its terms; the last of them stands for all other causes."""
    repair_time: Ints
    people: Ints
    succeeds: Floats
    tries: Ints
    """Repairs of one part; 0 where parts that are turned down are scrap."""
    back_to: Ints
    benches: Ints


class TestTerms(NamedTuple):
    """Terms of tests: a component of a feature with its weight; without a feature, all other causes."""

    feature: Ints
    component: Ints
    """A member of `linesim.cutting.component.Component`."""
    weight: Floats
    aim_um: Floats
    below_um: Floats
    above_um: Floats
    """The aim, and how far the limits lie below and above it."""
