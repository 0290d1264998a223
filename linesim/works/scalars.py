"""What an unquoted text of a scenario file means, by the core schema of YAML 1.2.2 (section 10.3), decimal only."""

from __future__ import annotations

import re

__all__ = ["looks_like_date", "looks_not_finite", "plain_scalar"]

_WHOLE = re.compile(r"[-+]?[0-9]+")
_WITH_POINT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")
_DATE = re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:$|[Tt \t].*)")
_WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
_LONGEST_FIGURE = 40


def plain_scalar(text: str) -> str | float | bool | None:
    """Return what an unquoted text means: None, a truth, a number, or the text itself.

    >>> [plain_scalar(text) for text in ("~", "true", "12", "1e3", "1:30", "no")]
    [None, True, 12, 1000.0, '1:30', 'no']
    """
    if text in _WORDS:
        return _WORDS[text]
    if len(text) <= _LONGEST_FIGURE and _WHOLE.fullmatch(text):
        return int(text)
    return float(text) if _WITH_POINT.fullmatch(text) else text


def looks_like_date(text: str) -> bool:
    """Whether an unquoted text would be a date or a time stamp to other readers of YAML."""
    return _DATE.match(text) is not None


def looks_not_finite(text: str) -> bool:
    """Whether an unquoted text stands for infinity or for no number."""
    return _NOT_FINITE.fullmatch(text) is not None
