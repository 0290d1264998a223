"""What every practitioner knows, held against works, as a page for the office."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linesim.report.page.page import Page, entries, page_html
from linesim.report.terminal.practice import Row, claim_result, difference_of, mean_of, methods
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Folded, Section, Table
from linesim.study.practice import Practice, Practices
from linesim.words import retell, say

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
        lettering=say("practice.kind"),
        question=say("practice.question"),
        sentences=[retell(each.sentences[0]) for each in answer.answers],
        is_settled=bool(answer.tables["claims"]["comes_out"].any()),
        sections=[*map(_section, answer.answers), Section(say("search.method"), [Bullets(methods())])],
        block=entries(_origin(answer), command),
    )
    return page_html(page)


def _origin(answer: Practices) -> dict[str, Any]:
    """Provenance without groups: that of the first works, with the names of all."""
    first = answer.answers[0].provenance
    return first | {"works": ", ".join(each.works.name for each in answer.answers)}


def _section(answer: Practice) -> Section:
    return Section(answer.works.name, [claims_table(answer), Folded(say("practice.every"), [details_table(answer)])])


def claims_table(answer: Practice) -> Table:
    """One row for each claim: what it says, how it came out, why, and what it rests on."""
    rows = [_claim(record.row()) for record in answer.records]
    heads = (say("practice.kind"), say("practice.here"), say("practice.why"), say("practice.rests_on"))
    return Table(say("practice.table"), ["", *heads], rows)


def _claim(row: Mapping[str, Any]) -> list[str]:
    result = claim_result(row)
    return [f"({row['claim']})", retell(row["words"]), result, retell(row["why"]), retell(row["rests_on"])]


def details_table(answer: Practice) -> Table:
    """One row for each comparison with the means of both figures."""
    figures = map(say, ("practice.first", "practice.second", "search.difference", "practice.so_in", "practice.draws"))
    heads = ["", say("practice.of"), say("practice.compared"), say("practice.unit"), *numbers(*figures)]
    rows = [_detail(row) for record in answer.records for row in record.details()]
    return Table(say("practice.details"), heads, rows)


def _detail(row: Row) -> list[Cell]:
    means = (mean_of(row, name) for name in ("less", "more"))
    figures = numbers(*means, difference_of(row), str(row["holds"]), str(row["draws"]))
    return [str(row["claim"]), retell(row["of"]), retell(row["what"]), retell(row["unit"]), *figures]
