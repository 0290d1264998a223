"""What went wrong under a policy: rejects by cause, blame, hidden faults, first pieces, tests; of all runs together."""

from __future__ import annotations

import pandas as pd

from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import UNKNOWN, number
from linesim.study.comparing.closely import CloseLook
from linesim.works.doing import called_at

__all__ = ["trouble_sheets"]


def trouble_sheets(look: CloseLook, policy: str, line: str) -> dict[str, Sheet]:
    """Tables on what went wrong, by a short name; each only where there is anything in it.

    Parameters
    ----------
    look : CloseLook
        A close look at the policy.
    policy, line : str
        Which.

    Returns
    -------
    dict of Sheet
        Counts and minutes of all replications together.
    """
    makers = {"rejects": _rejects, "blame": _blame, "faults": _faults, "first pieces": _first_pieces, "later": _later}
    sheets = {name: maker(look, policy, line) for name, maker in makers.items()}
    return {name: sheet for name, sheet in sheets.items() if sheet.rows}


def _sheet(look: CloseLook, line: str, title: str, heads: list[Cell], table: pd.DataFrame, texts: int) -> Sheet:
    """A sheet of a table whose first columns are texts, the first an operation; a whole figure shows as such."""
    rows: list[list[Cell]] = []
    for row in table.itertuples(index=False):
        first, *others = (str(each) for each in row[:texts])
        cells = [called_at(look.works, line, first) or UNKNOWN, *(each or UNKNOWN for each in others)]
        figures = (number(float(each), 0 if float(each).is_integer() else 2) for each in row[texts:])
        rows.append([*cells, *numbers(*figures)])
    return Sheet(f"{title}; {look.n} runs together", heads, rows, table)


def _rejects(look: CloseLook, policy: str, line: str) -> Sheet:
    table = look.sums(look.causes, policy, line, ["operation", "cause"], ["scrapped", "recut", "salvaged"])
    heads: list[Cell] = ["operation", "cause", *numbers("scrapped", "recut", "salvaged")]
    return _sheet(look, line, f'{line} under "{policy}": rejects by cause', heads, table, 2)


def _blame(look: CloseLook, policy: str, line: str) -> Sheet:
    keys = ["of_operation", "cut", "cutter", "cause"]
    table = look.sums(look.blame, policy, line, keys, ["turned_down"])
    table = table.sort_values("turned_down", ascending=False, kind="stable")
    table["percent"] = 100.0 * table["turned_down"] / table["turned_down"].sum()
    heads: list[Cell] = ["charged to", "cut", "cutter set", "for", *numbers("readings that failed", "%")]
    title = f'{line} under "{policy}": what readings that failed are charged to'
    return _sheet(look, line, title, heads, table, len(keys))


def _faults(look: CloseLook, policy: str, line: str) -> Sheet:
    counts = ["turned_bad", "detected", "unseen_min", "made_bad", "shipped_bad", "shipped_bad_out"]
    table = look.sums(look.faults, policy, line, ["operation"], counts)
    heads: list[Cell] = ["operation"]
    heads += numbers(
        "turned bad", "found", "minutes until found, in all", "parts cut bad", "of these shipped", "of these out"
    )
    return _sheet(look, line, f'{line} under "{policy}": machines that turned bad unseen', heads, table, 1)


def _first_pieces(look: CloseLook, policy: str, line: str) -> Sheet:
    counts = ["stops", "gauged", "corrected", "scrapped", "salvaged", "stood_min"]
    table = look.sums(look.first_pieces, policy, line, ["operation"], counts)
    heads: list[Cell] = ["operation"]
    heads += numbers("stops", "first pieces gauged", "corrected", "scrapped", "salvaged", "minutes stood")
    return _sheet(look, line, f'{line} under "{policy}": first pieces after changes', heads, table, 1)


def _later(look: CloseLook, policy: str, line: str) -> Sheet:
    counts = ["turned_down", "repairs", "scrapped", "failures"]
    table = look.sums(look.later, policy, line, ["test", "what"], counts)
    table = table[(table["turned_down"] > 0) | (table["failures"] > 0.0)]
    heads: list[Cell] = ["test", "charged to", *numbers("turned down", "repairs", "scrapped", "expected in the field")]
    return _sheet(look, line, f'{line} under "{policy}": tests and failures in the field', heads, table, 2)
