"""What every practitioner knows, held against works, for the terminal."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, beyond_capability
from linesim.study.practice import COMES_OUT, SO, Practice, Practices
from linesim.study.practice.claim import CAPABILITY
from linesim.study.practice.compared import NOT_SO, OPEN
from linesim.words import localised, say

__all__ = ["Row", "claim_result", "difference_of", "mean_of", "methods", "practice_text"]

Row = Mapping[Any, Any]

_VERDICTS = {SO: "practice.in_the_mean", OPEN: "practice.open", NOT_SO: "practice.not_so"}


def methods() -> list[str]:
    """How it was worked out."""
    return [say("practice.method_draws"), say("practice.method_verdict", share=100.0 * COMES_OUT)]


def practice_text(answer: Practices) -> Group:
    """The claims laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Practices
        What to show.

    Returns
    -------
    rich.console.Group
    """
    parts: list[RenderableType] = [part for each in answer.answers for part in _parts(each)]
    parts.append(Text("\n".join(methods()), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def claim_result(row: Row) -> str:
    """How a claim came out, in a word or two.

    >>> claim_result({"applies": True, "comes_out": False, "in_the_mean": "not so", "holds": 31, "draws": 200})
    'not so: 31 of 200'
    >>> claim_result({"applies": True, "comes_out": False, "in_the_mean": "so", "holds": 151, "draws": 200})
    'so in the mean: 151 of 200'
    """
    if not row["applies"]:
        return say("practice.not_applied")
    verdict = say("practice.so" if row["comes_out"] else _VERDICTS[row["in_the_mean"]])
    return say("practice.result", verdict=verdict, holds=row["holds"], draws=row["draws"])


def difference_of(row: Row) -> str:
    """The mean difference of a comparison, with half its interval where there is one.

    >>> difference_of({"difference": 2.713, "half_width": 1.04})
    '2.7 ± 1'
    """
    is_beyond = row.get("unit") == CAPABILITY and any(beyond_capability(row[name]) for name in ("less", "more"))
    if math.isnan(row["half_width"]) or is_beyond:
        return UNKNOWN
    return localised(f"{row['difference']:.2g} ± {row['half_width']:.2g}")


def mean_of(row: Row, name: str) -> str:
    """The mean of the first figure of a comparison, or of the second one.

    >>> mean_of({"unit": "Cpk", "more": 1083.0}, "more"), mean_of({"unit": "", "more": 1083.0}, "more")
    ('over 10', '1083')
    """
    beyond = beyond_capability(row[name]) if row["unit"] == CAPABILITY else ""
    return beyond or localised(f"{row[name]:.4g}")


def _parts(answer: Practice) -> Iterator[RenderableType]:
    first, *_ = answer.sentences
    yield Text.assemble((plain(answer.works.name), "bold"), "\n", (first, "bold"))
    for row in answer.claims.to_dict(orient="records"):
        yield _claim(row)
    yield _details(answer)


def _claim(row: Row) -> Group:
    """A claim with what became of it, and why; long texts fold to the width at hand, below where they begin."""
    head = Table.grid(padding=(0, 1, 0, 0))
    head.add_row(Text(f"({row['claim']})"), Text(str(row["words"])))
    result = Text.assemble((claim_result(row), "bold" if row["applies"] else "dim"), f". {plain(row['why'])}")
    rests = Text(f"Rests on: {row['rests_on']}.", style="dim")
    return Group(head, Padding(Group(result, rests), (0, 0, 0, 4)))


def _details(answer: Practice) -> RenderableType:
    """Every comparison with its means, below what it is about."""
    columns = [Column("", True, 3), Column("compared", True, 51)]
    columns += number_columns("first", "second", "difference", "so %")
    rows: list[list[str]] = []
    about = ("", "")
    for row in answer.details.to_dict(orient="records"):
        if (row["claim"], row["of"]) != about:
            about = (row["claim"], row["of"])
            rows.append([*about, "", "", "", ""])
        unit = f", {row['unit']}" if row["unit"] else ""
        figures = [mean_of(row, "less"), mean_of(row, "more"), difference_of(row)]
        rows.append(["", f"  {row['what']}{unit}", *figures, f"{100.0 * row['holds'] / row['draws']:.0f}"])
    return grid("Every comparison: means over the draws", columns, rows)
