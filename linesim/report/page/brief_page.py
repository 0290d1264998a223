"""The manager's brief: one page of A4 or Letter."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from linesim import __version__
from linesim.report.page.card_size import Text, lettering_pt
from linesim.report.page.paper_page import PaperPage, paper_html
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.paper import room_mm
from linesim.report.theme.pieces import Bullets, Section, Sketch, Table
from linesim.report.theme.shown import interval, number
from linesim.report.theme.sketch import Span, spans
from linesim.study.advice.brief import Brief
from linesim.study.advice.figures import Proposal
from linesim.study.advice.words import basis_words
from linesim.works import digest

__all__ = ["SIGNED_BY", "brief_page"]

SIGNED_BY = ("Proposed by", "Approved by", "Quality", "From", "To be reviewed")
"""Lines at the foot, to be written on."""

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
        kind="What to change first: the brief",
        title=_cut(advice.works.name, 90),
        whose=f"{today:%Y-%m-%d}",
        first=[_cut(text) for text in brief.first],
        answer=_cut(brief.headline),
        sentences=(),
        sections=list(_sections(brief)),
        signatures=[(name, "") for name in SIGNED_BY],
        origin=" ".join(
            (f"Made by linesim {__version__} from scenario {digest(advice.works)[:10]}.", *basis_words(advice))
        ),
    )
    return paper_html(page, paper, _size(page, brief, paper))


def _sections(brief: Brief) -> Iterator[Section]:
    actions, chosen = brief.advice.actions, brief.chosen
    if chosen is not None:
        yield Section("What to change", [Bullets([_cut(each.label) for each in _changes(brief)]), _picture(brief)])
        yield Section("What it brings", [_figures(brief)])
        yield Section("What it costs", [Bullets([_cut(text) for text in brief.costs])])
    yield Section("What would make it wrong", [Bullets([_cut(text) for text in brief.doubts])])
    title = "The first week" if actions else "What to do now"
    yield Section(title, [Bullets([_cut(text) for text in brief.steps])])


def _changes(brief: Brief) -> list[Proposal]:
    """The actions that are part of what is proposed, in order of money."""
    chosen = brief.chosen
    moves = () if chosen is None else chosen.moves
    return [each for each in brief.advice.actions if each.moves[0] in moves]


def _picture(brief: Brief) -> Sketch:
    """Gains with their intervals."""
    advice = brief.advice
    rows = [Span(each.label, each.gain.mean, each.gain.half_width) for each in _changes(brief)]
    if advice.together is not None:
        rows.append(Span("together", advice.together.gain.mean, advice.together.gain.half_width))
    caption = (
        f"{advice.works.currency} a month more than today, one by one and together, each with its interval; the dotted "
        "line is today. Gains of single changes do not add up."
    )
    return Sketch(spans(rows, "gains a month with their intervals"), caption)


def _figures(brief: Brief) -> Table:
    """Before and after, only what is beyond doubt."""
    chosen = brief.chosen
    assert chosen is not None
    rows: list[list[Cell]] = []
    for row in chosen.figures.to_dict(orient="records")[: _MOST_FIGURES + 1]:
        if row["is_apart"]:
            change = interval(row["change"], row["half_width"])
            cells = numbers(number(row["before"]), number(row["after"]), change.replace("±", "\N{PLUS-MINUS SIGN}"))
            rows.append([f"{row['figure']}, {row['unit']}", *cells])
    caption = "What changes beyond doubt; \N{PLUS-MINUS SIGN} half the interval"
    return Table(caption, ["", *numbers("today", "then", "change")], rows)


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
    return text if len(text) <= most else f"{text[: most - 1]}…"
