"""The table of units behind `units`: what a unit's name means, and what kind of quantity it measures.

The table itself is pint's; it is made once, when the first unit is met that is not in `common_units.json`, because
importing it takes as long as all else that a scenario waits for. What stands there is what pint says; a test holds it
to that.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    import pint

__all__ = ["common_units", "counts_in_days", "few_units", "in_table", "kind_of", "root_of", "unknown_name"]

_KINDS = {
    "a length": "mm", "a time": "min", "a mass": "kg", "a force": "N", "a speed": "m/min", "a power": "kW",
    "a stiffness": "N/um", "an angle": "deg", "an area": "mm^2", "a volume": "mm^3", "a pressure": "N/mm^2",
    "a temperature": "K", "a torque or an energy": "N*m", "a frequency": "Hz", "a speed of turning": "rpm",
    "a current": "A", "a voltage": "V",
}  # fmt: skip


_MOST_NEW = 300
_left: ContextVar[list[int] | None] = ContextVar("units that may still be looked up", default=None)


@cache
def _registry() -> pint.UnitRegistry[float]:
    """Make the one table of units, when the first unit is met that is not a common one."""
    import pint  # noqa: PLC0415 - slow to import, and only needed for texts

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    registry.define("surface_foot_per_minute = foot / minute = sfm")
    return registry


@contextmanager
def few_units() -> Iterator[None]:
    """Bound what is spent within on units that have not been met before; past that, a text with one is refused."""
    token = _left.set([_MOST_NEW])
    try:
        yield
    finally:
        _left.reset(token)


def root_of(expression: str) -> tuple[float, str] | None:
    """Return the factor to root units and the root units; None if there is no such unit.

    Raises
    ------
    ValueError
        If too many units that have not been met before were asked for within `few_units`.
    """
    left = _left.get()
    if left is None:
        return _looked_up(expression)
    if left[0] <= 0:
        raise ValueError(f"more than {_MOST_NEW} different units in one scenario; a unit already used was expected")
    before = _looked_up.cache_info().misses
    root = _looked_up(expression)
    left[0] -= _looked_up.cache_info().misses - before
    return root


@cache
def common_units() -> dict[str, tuple[float, str] | None]:
    """Return factor and root units of what scenarios mostly hold, as the table has them; None for what is no unit."""
    text = files("linesim").joinpath("common_units.json").read_text(encoding="utf-8")
    return {name: root and (float(root[0]), str(root[1])) for name, root in json.loads(text).items()}


@lru_cache(maxsize=4096)
def _looked_up(expression: str) -> tuple[float, str] | None:
    """Look a unit up, in the table if it is not a common one."""
    if expression in common_units():
        return common_units()[expression]
    return in_table(expression)


def in_table(expression: str) -> tuple[float, str] | None:
    """Return what pint's table says of a unit, as `root_of` does."""
    try:
        factor, unit = _registry().get_root_units(_registry().parse_units(expression))
    except Exception:  # noqa: BLE001 - the table of units raises many kinds, and all mean: not a unit
        return None
    return cast("float", factor), str(unit)


@cache
def _kinds() -> dict[str, str]:
    """Return the kind of quantity by its root units."""
    roots = ((kind, root_of(unit)) for kind, unit in _KINDS.items())
    return {root[1]: kind for kind, root in roots if root is not None}


def kind_of(expression: str, root: tuple[float, str]) -> str:
    """Return what kind of quantity a unit measures, in words."""
    if root[1] == "dimensionless":
        return "a slope" if "/" in expression else "a share"
    return _kinds().get(root[1], "another kind of quantity")


def unknown_name(expression: str) -> str | None:
    """Return the first name in a unit that the table of units does not know."""
    names = re.findall(r"[^\W\d]+|°|%|‰", expression)
    return next((name for name in names if root_of(name) is None), None)


def counts_in_days(expression: str) -> bool:
    """Whether a unit holds a time of a day or more, which a calendar would have to measure."""
    day = root_of("day")
    roots = [root_of(name) for name in re.findall(r"[^\W\d]+", expression)]
    return day is not None and any(root is not None and root[1] == day[1] and root[0] >= day[0] for root in roots)
