"""What every practitioner knows, held against the scenario in hand: the claims, and every comparison behind them."""

from __future__ import annotations

from linesim.report.terminal.practice import claim_result, difference_of, mean_of
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.study.practice import Practice

__all__ = ["claims_sheet", "comparisons_sheet"]


def claims_sheet(answer: Practice) -> Sheet:
    """One row for each claim: what it says, how it came out, why, and what it rests on.

    Parameters
    ----------
    answer : Practice
        As far as the study has come.

    Returns
    -------
    Sheet
    """
    rows: list[list[Cell]] = [
        [f"({row['claim']}) {row['words']}", claim_result(row), str(row["why"]), str(row["rests_on"])]
        for row in answer.claims.to_dict(orient="records")
    ]
    caption = f"How often each is so in {answer.draws} draws of what is not known well"
    return Sheet(caption, ["what every practitioner knows", "here", "why", "rests on"], rows, answer.claims)


def comparisons_sheet(answer: Practice) -> Sheet:
    """One row for each comparison, with the means of both figures over the draws.

    Parameters
    ----------
    answer : Practice
        As far as the study has come.

    Returns
    -------
    Sheet
    """
    rows: list[list[Cell]] = []
    for row in answer.details.to_dict(orient="records"):
        figures = [mean_of(row, "less"), mean_of(row, "more"), difference_of(row), str(row["unit"]),
                   f"{row['holds']} of {row['draws']}"]  # fmt: skip
        rows.append([str(row["claim"]), str(row["of"]), str(row["what"]), *numbers(*figures)])
    heads = ["", "of", "compared", *numbers("first", "second", "difference", "unit", "so in")]
    return Sheet("Means over the draws; the first figure is to be the smaller one", heads, rows, answer.details)
