"""A line from nothing: a few questions and the seven columns of a routing sheet, answered as far as one knows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from linesim.errors import Cell, Problem, ScenarioError
from linesim.works.book.cells import name_in
from linesim.works.book.spots import Raw, Sheet, Spot, refuse
from linesim.works.load import works_from_tree
from linesim.works.model import Works
from linesim.works.nodes import Node
from linesim.works.shop.figures import amount_in
from linesim.works.shop.headings import COLUMNS, head_of
from linesim.works.shop.rows import steps_in
from linesim.works.shop.tree import Beside, works_tree
from linesim.works.typical import typical

__all__ = ["QUESTIONS", "Answers", "Question", "works_of_answers"]

_FILE = "your line"


class Question(NamedTuple):
    """A question beside the table of operations.

    Attributes
    ----------
    words : str
        What is asked.
    help : str
        What is meant.
    figure : (str, str) or None
        Part and word of the typical figure that stands in where it is not answered; None if none does.
    bounds : (float, float)
        Least and greatest answer; of a text how many signs.
    is_whole, is_text : bool
        Whether only whole numbers make sense; whether it is no figure at all.
    holds : str
        What holds without an answer where no typical figure stands in.
    """

    words: str
    help: str
    figure: tuple[str, str] | None
    bounds: tuple[float, float]
    is_whole: bool = False
    is_text: bool = False
    holds: str = ""

    @property
    def usual(self) -> str:
        """What holds where it is not answered, as the empty field shows it."""
        if self.figure is None:
            return self.holds
        if self.figure[1] == "worth":
            return "by the minutes, assumed"
        return f"{typical()[self.figure[0]][self.figure[1]].value:g}, assumed"


QUESTIONS: dict[str, Question] = {
    "part": Question("Name of the part", "It becomes the name of the line.", None, (1, 200), is_text=True),
    "shifts": Question("Shifts in a day", "Of eight hours.", ("calendar", "shifts per day"), (1, 3), is_whole=True),
    "days": Question("Worked days in a week", "Five unless you say otherwise.", None, (1, 7), is_whole=True, holds="5"),
    "currency": Question("Currency", "EUR unless you say otherwise.", None, (1, 12), is_text=True, holds="EUR"),
    "worth": Question(
        "Worth of a good part", "What a finished part is worth to the works.", ("line", "worth"), (0, 1e9)
    ),
    "casting": Question(
        "Price of the rough part", "Casting, forging or bar for one part.", ("line", "casting price"), (0, 1e9)
    ),
    "setters": Question(
        "People who change tools", "In each shift.", ("people", "count"), (1, 100), is_whole=True
    ),
    "waiting": Question(
        "Places between machines", "Parts that may stand waiting before an operation.", ("operation", "buffer"),
        (0, 10_000), is_whole=True,
    ),
}  # fmt: skip
"""By name, in the order in which they are asked; the table of operations is the last question."""


@dataclass(frozen=True)
class Answers:
    """What was typed, as it was typed.

    Parameters
    ----------
    texts : mapping of str to str
        By question; what is missing or empty was not answered.
    rows : sequence of rows
        Seven cells for each tool of an operation.
    """

    texts: Mapping[str, str] = field(default_factory=dict)
    rows: Sequence[Sequence[Raw]] = ()


def works_of_answers(answers: Answers) -> Works:
    """Return the works that answers describe; what they leave out is typical, and marked.

    Parameters
    ----------
    answers : Answers
        As typed.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong, each by its question, or by its row and heading.
    """
    return works_from_tree(lambda problems: _tree(answers, problems))


class _Table(Sheet):
    """The rows of the table, which are told by their number and heading and not by a letter."""

    def spot(self, row: int, column: int) -> Spot:
        """Return where a cell stands."""
        headings = [each.heading for each in COLUMNS.values()]
        return _spot(f"row {row}, {headings[min(column, len(headings) - 1)]}", 1000 + 10 * row + column, self.problems)


def _tree(answers: Answers, problems: list[Problem]) -> Node:
    """Read the answers and then the table."""
    figures: dict[tuple[str, str], Node] = {}
    others: dict[str, Node] = {}
    for number, (name, question) in enumerate(QUESTIONS.items(), start=1):
        node = _answer(answers.texts.get(name, ""), question, _spot(question.words, number, problems))
        if node is not None and question.figure is not None:
            figures[question.figure] = node
        elif node is not None:
            others[name] = node
    part = _spot(QUESTIONS["part"].words, 1, problems)
    if "part" not in others:
        refuse(part, "missing; the name of the part was expected")
    grid: list[list[Raw]] = [[each.heading for each in COLUMNS.values()], *(list(row) for row in answers.rows)]
    table = _Table("operations", 1, grid, _FILE, problems)
    if not any(True for number in table.rows() if number):
        refuse(_spot("the table", 999, problems), "empty; an operation with its minutes was expected in its first row")
        raise ScenarioError([])  # collected with the problems
    steps = steps_in(table, head_of(table, 0))
    if not steps:
        raise ScenarioError([])
    name = str(others["part"].value) if "part" in others else _FILE
    return works_tree(steps, name, part, Beside(figures, others.get("days"), others.get("currency")))


def _answer(text: str, question: Question, spot: Spot) -> Node | None:
    """Return what was answered; None if nothing, or nothing that can be read."""
    least, most = question.bounds
    if not question.is_text:
        figure = amount_in(text, spot, least, most, question.is_whole)
        whole = figure is not None and figure == int(figure)
        return None if figure is None else spot.node(int(figure) if whole else figure)
    name = " ".join(name_in(text, spot).split())
    if len(name) > most:
        refuse(spot, f"a text of {len(name)} signs; at most {most:g} were expected")
        return None
    return spot.node(name) if name else None


def _spot(words: str, order: int, problems: list[Problem]) -> Spot:
    """Return where an answer stands, by the words of its question."""
    cell = Cell("", "", order)
    cell.name = words
    return Spot(_FILE, cell, problems)
