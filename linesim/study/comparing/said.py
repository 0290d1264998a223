"""Figures with their units and names in quotation marks, as the reader of an answer has them."""

from __future__ import annotations

from collections.abc import Iterable

from linesim.study.comparing.measures import Measure
from linesim.words import Joined, keep

__all__ = ["in_unit", "quoted"]


def in_unit(shown: str, of: Measure, currency: str) -> str:
    """A figure of a measure with its unit; shares of 1 are shown in per cent.

    >>> from linesim.study.comparing.measures import measure
    >>> in_unit("3.5", measure("cost_per_good_part"), "EUR"), in_unit("98", measure("first_pass_yield"), "EUR")
    ('3.5 EUR', '98 %')
    """
    unit = of.unit.replace("money", currency)
    return keep("answered.with_unit", figure=shown, unit=unit) if unit and unit != "1/h" else shown


def quoted(names: Iterable[str]) -> Joined:
    """Names in quotation marks, to stand in a sentence.

    >>> keep("format.names", names=quoted(["a", "b", "c"]))
    '"a", "b" and "c"'
    """
    return Joined(keep("justify.quoted", name=name) for name in names)
