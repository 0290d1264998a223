"""Which tests come with the others, which after them, and which in the longer round alone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

__all__ = ["is_late", "marks_wanted", "some_each_time"]

USUAL = "not longer"
"""What pytest is told in pyproject.toml."""
PAGES = "board_closed"
"""The fixture of all tests whose pages have studies carried out in processes of their own."""


def is_late(item: pytest.Item) -> bool:
    """Whether a test opens whole pages, with their workers, or a browser; others have the mark by themselves."""
    return PAGES in getattr(item, "fixturenames", ()) or item.path.parent.name == "browser"


def marks_wanted(wanted: str) -> str:
    """What a run of all tests takes: what is late comes after it, unless marks were asked for.

    >>> marks_wanted("not longer"), marks_wanted("late")
    ('not longer and not late', 'late')
    """
    return f"{USUAL} and not late" if wanted == USUAL else wanted


def some_each_time(cases: Iterable[Any], *chosen: Any) -> list[Any]:
    """All cases as parameters, those chosen run at each change and the others in the longer round."""
    listed = list(cases)
    assert set(chosen) <= set(listed), "a chosen case is not there"
    return [case if case in chosen else pytest.param(case, marks=pytest.mark.longer) for case in listed]
