"""Figures as people read them: digits by the interval, thousands set apart, metric or inch."""

from __future__ import annotations

import math
from datetime import date, datetime
from typing import Literal, NamedTuple

from linesim.words import ENGLISH, localised, say

__all__ = [
    "BEYOND", "SYSTEMS", "UNKNOWN", "System", "beyond_capability", "converted", "day_words", "interval", "moment_words",
    "number", "pair", "state_shown", "unit_shown", "with_unit", "within",
]  # fmt: skip

System = Literal["metric", "inch"]

SYSTEMS: tuple[System, ...] = ("metric", "inch")
"""In what a page may show its figures."""

_FIELDS_WORDS = {"held up": "charts.blocked", "waiting for a part": "charts.starved"}

_MOST_PLACES = 6

UNKNOWN = "–"
"""The sign for what is not known, or does not apply, wherever a figure would stand."""

_MOST_CAPABLE = 10
"""A greater Cpk tells nothing of a process."""

BEYOND = "Cpk over 10: the model gives it hardly any scatter from part to part (form is worked out from its causes)"
"""What is said beside a table that has one."""

_SPACE = "\N{NO-BREAK SPACE}"


class _Inch(NamedTuple):
    """What a metric unit becomes."""

    unit: str
    factor: float


_INCH: dict[str, _Inch] = {
    "mm": _Inch("in", 1.0 / 25.4),
    "µm": _Inch("µin", 1000.0 / 25.4),
    "um": _Inch("uin", 1000.0 / 25.4),
    "m/min": _Inch("ft/min", 1000.0 / 304.8),
    "mm/min": _Inch("in/min", 1.0 / 25.4),
    "um/min": _Inch("uin/min", 1000.0 / 25.4),
    "kW": _Inch("hp", 1.0 / 0.745699872),
    "N": _Inch("lbf", 1.0 / 4.4482216152605),
    "N/um": _Inch("lbf/uin", 25.4 / 1000.0 / 4.4482216152605),
    "N/µm": _Inch("lbf/µin", 25.4 / 1000.0 / 4.4482216152605),
    "cm³": _Inch("in³", 1.0 / 16.387064),
}
"""Exact by definition of the inch (25.4 mm) and the pound-force; horsepower is the mechanical one of 550 ft lbf/s."""


def unit_shown(unit: str, system: System) -> str:
    """A unit in the chosen system; those that both share stay.

    >>> unit_shown("mm", "inch"), unit_shown("min", "inch")
    ('in', 'min')
    """
    return _INCH[unit].unit if system == "inch" and unit in _INCH else unit


def converted(value: float, unit: str, system: System) -> float:
    """A figure in the chosen system.

    >>> round(converted(25.4, "mm", "inch"), 9)
    1.0
    """
    return value * _INCH[unit].factor if system == "inch" and unit in _INCH else value


def number(value: float | None, decimals: int | None = None) -> str:
    r"""A figure with its thousands set apart; a dash for what is not known.

    Parameters
    ----------
    value : float or None
        Any.
    decimals : int, optional
        Places; by the size of the figure unless given, so that four digits or so are seen.

    >>> number(1234.5, 1), number(0.012345), number(None), number(float("inf"))
    ('1\u202f234.5', '0.01235', '–', 'no end')
    """
    if value is None or math.isnan(value):
        return UNKNOWN
    if math.isinf(value):
        return say("format.no_end") if value > 0 else UNKNOWN
    places = _places(value) if decimals is None else decimals
    text = localised(f"{value:,.{max(0, places)}f}")
    is_nothing = not any(sign in text for sign in "123456789")
    return (text.removeprefix("-") if is_nothing else text).replace("-", "\N{MINUS SIGN}")


def day_words(day: date) -> str:
    """A day as the reader writes it.

    >>> day_words(date(2031, 4, 1))
    '2031-04-01'
    """
    return say("format.date", year=day.year, month=day.month, day=day.day)


def moment_words(moment: datetime) -> str:
    """A day with its time, as the reader writes them.

    >>> moment_words(datetime(2031, 4, 1, 6, 5))
    '2031-04-01 06:05'
    """
    return say("days.day_and_time", day=day_words(moment), time=f"{moment:%H:%M}")


def interval(mean: float, half_width: float, decimals: int | None = None) -> str:
    r"""A mean with half the width of its interval, with digits that the interval carries.

    >>> interval(3.83515, 0.0161)
    '3.835\xa0±\xa00.016'
    >>> interval(3.8, float("nan"))
    '3.800 (no interval from one run)'
    """
    if math.isnan(mean):
        return UNKNOWN
    if math.isnan(half_width):
        return say("format.no_interval", figure=number(mean, decimals))
    places = _carried(half_width, _places(mean)) if decimals is None else decimals
    places = min(places, _MOST_PLACES)
    return f"{number(mean, places)}{_SPACE}±{_SPACE}{number(half_width, places)}"


def beyond_capability(cpk: float) -> str:
    """What is shown of a Cpk that says no more than in or out; empty for one that says something.

    Where the model gives a characteristic next to no scatter (a form is worked out from its causes), room over
    spread is any number; nobody judges a process by it.

    >>> beyond_capability(1083.0), beyond_capability(-40.0), beyond_capability(1.6)
    ('over 10', 'under −10', '')
    """
    if math.isnan(cpk) or abs(cpk) <= _MOST_CAPABLE:
        return ""
    return say("format.beyond" if cpk > 0.0 else "format.below", figure=_MOST_CAPABLE)


def pair(mean: float | None, half_width: float | None, usual: int = 2) -> tuple[str, str]:
    r"""A mean, and half the width of its interval, for a cell of a table.

    Parameters
    ----------
    mean, half_width : float or None
        None and not-a-number for what is not known.
    usual : int
        Places where there is no interval to say how many the figure carries.

    Returns
    -------
    (str, str)
        Two significant figures of the half width, and the mean to the same place; no second text without interval.

    >>> pair(12.3456, 0.234), pair(12.3456, None), pair(1234.5, 56.0)
    (('12.35', '± 0.23'), ('12.35', ''), ('1\u202f234', '± 56'))
    """
    if mean is None or math.isnan(mean) or half_width is None or math.isnan(half_width):
        return number(mean, usual), ""
    places = min(_carried(half_width, usual), _MOST_PLACES)
    return number(mean, places), f"± {number(half_width, places)}"


def within(mean: float | None, half_width: float | None, usual: int = 2, is_open: bool = False) -> str:
    """A mean with half the width of its interval in one cell, and a sign if it is not significant.

    >>> within(12.3456, 0.234, is_open=True), within(12.3456, float("nan"))
    ('12.35 ± 0.23 ~', '12.35')
    """
    return " ".join(text for text in (*pair(mean, half_width, usual), "~" if is_open else "") if text)


def _carried(half_width: float, usual: int) -> int:
    """Places that a half width carries: two of its figures; the usual ones where it is nothing."""
    has_width = half_width > 0.0 and math.isfinite(half_width)
    return max(0, 1 - math.floor(math.log10(half_width))) if has_width else usual


def with_unit(value: float | None, unit: str, system: System = "metric", decimals: int | None = None) -> str:
    r"""A figure with its unit in the chosen system.

    >>> with_unit(3.0, "mm", "inch")
    '0.1181\xa0in'
    """
    if value is None:
        return UNKNOWN
    return f"{number(converted(value, unit, system), decimals)}{_SPACE}{unit_shown(unit, system)}".rstrip(_SPACE)


def state_shown(words: str) -> str:
    """What a machine does, with the field's own word for it in brackets where it has one; or an item of the ledger.

    >>> state_shown("held up"), state_shown("cutting")
    ('held up (blocked)', 'cutting')
    """
    keys = (_FIELDS_WORDS.get(words, f"states.{words}"), f"items.{words}")
    return next((say(key) for key in keys if key in ENGLISH.entries), words)


def _places(value: float) -> int:
    """Decimals with which about four digits are seen."""
    size = abs(value)
    return 2 if size == 0.0 else min(8, max(0, 3 - math.floor(math.log10(size))))
