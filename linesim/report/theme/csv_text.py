"""Tables as CSV text in which a spreadsheet takes no text for a formula."""

from __future__ import annotations

import io

import pandas as pd

__all__ = ["as_csv", "harmless"]

_FORMULA_SIGNS = frozenset("=+-@＝＋－＠\t\r")


def harmless(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    Notes
    -----
    Source: OWASP, "CSV Injection": cells beginning with = + - @, a tab or a carriage return are set off with
    an apostrophe.

    >>> harmless("=1+1"), harmless("Op 10")
    ("'=1+1", 'Op 10')
    """
    is_formula = text[:1] in _FORMULA_SIGNS or text.lstrip()[:1] in _FORMULA_SIGNS
    return f"'{text}" if is_formula and text else text


def as_csv(table: pd.DataFrame) -> str:
    r"""A table as CSV text: a head, then rows; figures with all their digits, nothing for what is not known.

    >>> as_csv(pd.DataFrame({"policy": ["-5", "b"], "mean": [-1.5, 2.0]}))
    "policy,mean\n'-5,-1.5\nb,2.0\n"
    """
    safe = table.copy()
    for name in safe.columns[[not pd.api.types.is_numeric_dtype(dtype) for dtype in safe.dtypes]]:
        safe[name] = [_cell(value) if isinstance(value, str) else value for value in safe[name]]
    safe.columns = pd.Index([_cell(str(name)) for name in safe.columns])
    out = io.StringIO()
    safe.to_csv(out, index=False, lineterminator="\n")
    return out.getvalue()


def _cell(text: str) -> str:
    """A harmless text without carriage returns, which would break a row in two."""
    return harmless(text.replace("\r", " "))
