"""The manager's brief: one page of A4 or Letter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from linesim.report.page.card_size import Text, lettering_pt
from linesim.report.page.made import day_words, made_values
from linesim.report.page.paper_page import PaperPage, paper_html
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.paper import room_mm
from linesim.report.theme.pieces import Bullets, Section, Sketch, Table
from linesim.report.theme.shown import interval, number
from linesim.report.theme.sketch import Span, spans
from linesim.study.advice.brief import Brief
from linesim.study.advice.figures import Proposal
from linesim.study.advice.paired import MONEY
from linesim.study.advice.words import basis_words
from linesim.words import retell, say
from linesim.works import digest
from linesim.works.types_of import has_worth

__all__ = ["SIGNED_BY", "brief_page"]

SIGNED_BY = ("proposed_by", "approved_by", "quality", "from", "review")
"""Lines at the foot, to be written on, by their keys in the catalogue of words."""

_LARGEST_PT, _MOST_FIGURES = 10.0, 7
_LONGEST = 230
_BETWEEN_MM, _ROW_MM, _SPAN_MM = 62.0, 2.0, 5.2


def brief_page(brief: Brief, today: date, paper: str = "A4") -> str:
    """The brief as one self-contained HTML page, printed on one sheet.

    Parameters
    ----------
    brief : Brief
        What to show.
    today : datetime.date
        When it is made.
    paper : {"A4", "Letter"}
        On which it is printed.

    Returns
    -------
    str
        Very long texts are cut, and say so with three points.
    """
    advice = brief.advice
    page = PaperPage(
        kind=say("brief.kind"),
        title=_cut(advice.works.name, 90),
        whose=day_words(today),
        first=[_cut(text) for text in brief.first],
        answer=_cut(brief.headline),
        sentences=(),
        sections=list(_sections(brief)),
        signatures=[(say(f"brief.{name}"), "") for name in SIGNED_BY],
        origin=" ".join(
            (say("brief.made", **made_values(digest(advice.works), today)), *map(retell, basis_words(advice)))
        ),
    )
    return paper_html(page, paper, _size(page, brief, paper))


def _sections(brief: Brief) -> Iterator[Section]:
    actions, chosen = brief.advice.actions, brief.chosen
    if chosen is not None:
        yield Section(say("brief.change"), [_list([each.label for each in _changes(brief)]), _picture(brief)])
        yield Section(say("brief.brings"), [_figures(brief)])
        yield Section(say("brief.costs"), [_list(brief.costs)])
    yield Section(say("brief.wrong"), [_list(brief.doubts)])
    yield Section(say("brief.first_week" if actions else "brief.now"), [_list(brief.steps)])


def _list(texts: Sequence[str]) -> Bullets:
    return Bullets([_cut(text) for text in texts])


def _changes(brief: Brief) -> list[Proposal]:
    """The actions that are part of what is proposed, in order of money."""
    chosen = brief.chosen
    moves = () if chosen is None else chosen.moves
    return [each for each in brief.advice.actions if each.moves[0] in moves]


def _picture(brief: Brief) -> Sketch:
    """Gains with their intervals."""
    advice = brief.advice
    rows = [Span(retell(each.label), each.gain.mean, each.gain.half_width) for each in _changes(brief)]
    if advice.together is not None:
        rows.append(Span(say("brief.together"), advice.together.gain.mean, advice.together.gain.half_width))
    return Sketch(spans(rows, say("brief.picture")), say("brief.picture_caption", currency=advice.works.currency))


def _figures(brief: Brief) -> Table:
    """Before and after, only what is beyond doubt."""
    chosen = brief.chosen
    assert chosen is not None
    rows: list[list[Cell]] = []
    is_worth = any(has_worth(line) for line in brief.advice.works.lines.values())
    for row in chosen.figures.to_dict(orient="records")[: _MOST_FIGURES + 1]:
        if row["is_apart"]:
            change = interval(row["change"], row["half_width"])
            cells = numbers(number(row["before"]), number(row["after"]), change.replace("±", "\N{PLUS-MINUS SIGN}"))
            key = "saved" if row["name"] == MONEY and not is_worth else str(row["name"])
            rows.append([say(f"figures.{key}", currency=chosen.currency), *cells])
    heads = numbers(*(say(f"brief.{name}") for name in ("today", "then", "change_head")))
    return Table(say("brief.figures_caption"), ["", *heads], rows)


def _size(page: PaperPage, brief: Brief, paper: str) -> float:
    """Lettering with which all of it stays on one sheet."""
    blocks = [[[Text(text, 0.97, 1.0)]] for text in page.first]
    blocks += [[[Text(page.title, 0.9, 1.75)]], [[Text(page.answer, 1.0, 1.4)]], [[Text(page.origin, 1.0, 0.9)]]]
    rows, pictures_mm = 0, 0.0
    for section in page.sections:
        blocks.append([[Text(section.title, 1.0, 1.2)]])
        for piece in section.pieces:
            match piece:
                case Bullets(texts):
                    blocks += [[[Text(text, 0.95, 1.05)]] for text in texts]
                case Table():
                    rows += len(piece.rows) + 2
                    blocks += [[[Text("row", 1.0, 1.0)]] for _ in range(len(piece.rows) + 2)]
                case _:
                    pictures_mm += _SPAN_MM * (len(_changes(brief)) + 1) + 12.0
    return min(_LARGEST_PT, lettering_pt(blocks, _BETWEEN_MM + _ROW_MM * rows + pictures_mm, room_mm(paper)))


def _cut(text: str, most: int = _LONGEST) -> str:
    """A text in the words of its reader; a very long one is cut."""
    text = retell(text)
    return text if len(text) <= most else f"{text[: most - 1]}…"
