"""What every practitioner knows, held against works, for the terminal."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN
from linesim.study.practice import COMES_OUT, SO, Practice, Practices

__all__ = ["METHODS", "Row", "claim_result", "difference_of", "practice_text"]

Row = dict[Hashable, Any]

METHODS = (
    (
        "In each draw every assumed figure is drawn by itself, even by ratio, within the range that is stated for it; "
        "the alternatives of a claim are then run on the same castings, edges and breakdowns. A claim holds in a draw "
        "if all of its comparisons do: the first figure is to be the smaller one."
    ),
    (
        f"A claim is said to be so here if it holds in {100.0 * COMES_OUT:g} % of the draws. A draw is one run of "
        "each alternative, and the luck of a run may be larger than what is compared: a claim is so in the mean if the "
        "intervals of its mean differences, which hold together, lie on its side; not so if one lies on the other "
        "side; else it stays open. Nothing was adjusted to make one come out."
    ),
)


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
    parts.append(Text("\n".join(METHODS), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def claim_result(row: Row) -> str:
    """How a claim came out, in a word or two.

    >>> claim_result({"applies": True, "comes_out": False, "in_the_mean": "not so", "holds": 31, "draws": 200})
    'not so: 31 of 200'
    >>> claim_result({"applies": True, "comes_out": False, "in_the_mean": "so", "holds": 151, "draws": 200})
    'so in the mean: 151 of 200'
    """
    if not row["applies"]:
        return "does not apply"
    verdict = "so in the mean" if row["in_the_mean"] == SO else row["in_the_mean"]
    return f"{SO if row['comes_out'] else verdict}: {row['holds']} of {row['draws']}"


def difference_of(row: Row) -> str:
    """The mean difference of a comparison, with half its interval where there is one.

    >>> difference_of({"difference": 2.713, "half_width": 1.04})
    '2.7 ± 1'
    """
    if math.isnan(row["half_width"]):
        return UNKNOWN
    return f"{row['difference']:.2g} ± {row['half_width']:.2g}"


def _parts(answer: Practice) -> Iterator[RenderableType]:
    first, *_ = answer.sentences
    yield Text.assemble((plain(answer.works.name), "bold"), "\n", (first, "bold"))
    for row in answer.claims.to_dict(orient="records"):
        yield _claim(row)
    yield _details(answer)


def _claim(row: Row) -> Text:
    """A claim with what became of it, and why."""
    head = (f"({row['claim']}) {row['words']}", "")
    result = (claim_result(row), "bold" if row["applies"] else "dim")
    return Text.assemble(
        head, "\n    ", result, f". {plain(row['why'])}\n    ", (f"Rests on: {row['rests_on']}.", "dim")
    )


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
        figures = [f"{row['less']:.4g}", f"{row['more']:.4g}", difference_of(row)]
        rows.append(["", f"  {row['what']}{unit}", *figures, f"{100.0 * row['holds'] / row['draws']:.0f}"])
    return grid("Every comparison: means over the draws", columns, rows)
