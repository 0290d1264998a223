"""Which of many like cases are run at each change, and which in the longer round alone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

__all__ = ["some_each_time"]


def some_each_time(cases: Iterable[Any], *chosen: Any) -> list[Any]:
    """All cases as parameters, those chosen run at each change and the others in the longer round."""
    listed = list(cases)
    assert set(chosen) <= set(listed), "a chosen case is not there"
    return [case if case in chosen else pytest.param(case, marks=pytest.mark.longer) for case in listed]
