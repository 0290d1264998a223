"""What every practitioner knows, held against works, as a page for the office."""

from __future__ import annotations

from typing import Any

from linesim.report.page.page import Page, entries, page_html
from linesim.report.terminal.practice import METHODS, Row, claim_result, difference_of
from linesim.report.theme.markup import numbers
from linesim.report.theme.pieces import Bullets, Folded, Section, Table
from linesim.study.practice import Practice, Practices

__all__ = ["claims_table", "details_table", "practice_page"]


def practice_page(answer: Practices, command: str | None = None) -> str:
    """The claims as one self-contained HTML page.

    Parameters
    ----------
    answer : Practices
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
    """
    names = ", ".join(each.works.name for each in answer.answers)
    page = Page(
        name=names,
        lettering="what every practitioner knows",
        question="What that every practitioner knows is so here?",
        sentences=[each.sentences[0] for each in answer.answers],
        is_settled=bool(answer.tables["claims"]["comes_out"].any()),
        sections=[*map(_section, answer.answers), Section("How this was worked out", [Bullets(METHODS)])],
        block=entries(_origin(answer), command),
    )
    return page_html(page)


def _origin(answer: Practices) -> dict[str, Any]:
    """Provenance without groups: that of the first works, with the names of all."""
    first = answer.answers[0].provenance
    return first | {"works": ", ".join(each.works.name for each in answer.answers)}


def _section(answer: Practice) -> Section:
    return Section(answer.works.name, [claims_table(answer), Folded("Every comparison", [details_table(answer)])])


def claims_table(answer: Practice) -> Table:
    """One row for each claim: what it says, how it came out, why, and what it rests on."""
    rows = [_claim(row) for row in answer.claims.to_dict(orient="records")]
    return Table("How often each is so", ["", "what every practitioner knows", "here", "why", "rests on"], rows)


def _claim(row: Row) -> list[str]:
    return [f"({row['claim']})", str(row["words"]), claim_result(row), str(row["why"]), str(row["rests_on"])]


def details_table(answer: Practice) -> Table:
    """One row for each comparison with the means of both figures."""
    heads = ["", "of", "compared", "unit", *numbers("first", "second", "difference", "so in", "draws")]
    rows = [
        [str(row["claim"]), str(row["of"]), str(row["what"]), str(row["unit"]),
         *numbers(f"{row['less']:.4g}", f"{row['more']:.4g}", difference_of(row), str(row["holds"]), str(row["draws"]))]
        for row in answer.details.to_dict(orient="records")
    ]  # fmt: skip
    return Table("Means over the draws; the first figure is to be the smaller one", heads, rows)
