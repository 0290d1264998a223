"""What every practitioner knows, held against works, for the terminal."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.study.practice import COMES_OUT, Practice, Practices

__all__ = ["METHODS", "Row", "claim_result", "practice_text"]

Row = dict[Hashable, Any]

METHODS = (
    (
        "In each draw every assumed figure is drawn by itself, even by ratio, within the range that is stated for it; "
        "the alternatives of a claim are then run on the same castings, edges and breakdowns. A claim holds in a draw "
        "if all of its comparisons do: the first figure is to be the smaller one."
    ),
    (
        f"A claim is said to be so here if it holds in {100.0 * COMES_OUT:g} % of the draws. Nothing was adjusted to "
        "make one come out."
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

    >>> claim_result({"applies": True, "comes_out": False, "holds": 31, "draws": 200})
    'not so: 31 of 200'
    """
    if not row["applies"]:
        return "does not apply"
    return f"{'so' if row['comes_out'] else 'not so'}: {row['holds']} of {row['draws']}"


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
    """Every comparison with its means."""
    columns = [Column("", True, 3), Column("of", True, 26), Column("compared", True, 40)]
    columns += number_columns("first", "second", "so in")
    rows = [
        [row["claim"], row["of"], row["what"], _figure(row["less"], row["unit"]), _figure(row["more"], row["unit"]),
         f"{row['holds']} of {row['draws']}"]
        for row in answer.details.to_dict(orient="records")
    ]  # fmt: skip
    return grid("Every comparison: means over the draws", columns, rows)


def _figure(value: float, unit: str) -> str:
    return f"{value:.4g}{f' {unit}' if unit else ''}"
