"""A shop's own routing sheet: what it says, what is assumed in its place, what is doubtful, what anyone may send."""

from __future__ import annotations

import csv
import io
import random
from typing import Any

import openpyxl
import pytest

from linesim.desk.assumed_marks import assumed_by_marks
from linesim.errors import ScenarioError
from linesim.works import Works, works_from_bytes, works_from_dict
from linesim.works.book.writing import to_workbook
from linesim.works.shop.empty import WORKED, empty_routing_sheet
from linesim.works.shop.starting import QUESTIONS, Answers, works_of_answers
from linesim.works.typical import typical
from linesim.works.writing import plain

HEAD = ["operation number", "what is done", "machine", "cycle minutes", "tool", "parts per tool", "change minutes"]
ROWS: list[list[Any]] = [
    [10, "Rough mill", "2 x Mill 3", 6.5, "T1", 40, 8],
    [20, "Bore", "Lathe 1", 3.25, "T1", 60, 6],
    ["", "", "", "", "T2 reamer", 200, 10],
    [30, "Wash", "", 1.5, "", "", ""],
    [40, "Finish mill", "Lathe 1", 2.9, "T9", "", ""],
]


def book(rows: list[list[Any]], title: str = "Pump housing") -> bytes:
    """A workbook of one sheet."""
    made, content = openpyxl.Workbook(), io.BytesIO()
    made.active.title = title
    for row in rows:
        made.active.append([cell if cell != "" else None for cell in row])
    made.save(content)
    return content.getvalue()


def separated(rows: list[list[Any]], delimiter: str = ",", letters: str = "utf-8") -> bytes:
    """The same as comma-separated values."""
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue().encode(letters)


def of(rows: list[list[Any]], head: list[str] = HEAD) -> Works:
    return works_from_bytes(book([head, *rows]), "pump.xlsx")


def fault(content: bytes, name: str = "pump.xlsx") -> str:
    with pytest.raises(ScenarioError) as caught:
        works_from_bytes(content, name)
    return str(caught.value)


def test_seven_columns_are_a_line_that_says_what_is_its_own_and_what_is_not() -> None:
    works = of(ROWS)
    (line,) = works.lines.values()
    assert list(works.lines) == ["Pump housing"]
    assert [(name, at.machines, at.minutes.fixed, at.sets) for name, at in line.operations.items() if at.minutes] == [
        ("Op 10", 2, 6.5, ["T1 (Op 10)"]),
        ("Op 20", 1, 3.25, ["T1 (Op 20)", "T2 reamer"]),
        ("Op 30", 1, 1.5, []),
        ("Op 40", 1, 2.9, ["T9"]),
    ]
    today = works.policies[works.todays_policy]
    assert [today.rule_for("Op 20", name).parts for name in ("T1 (Op 20)", "T2 reamer")] == [60, 200]
    assert today.rule_for("Op 40", "T9").life == 0.8
    assert works.cutters["T1 (Op 20)"].life == pytest.approx(1.25 * 60 * 3.25)
    assert works.cutters["T1 (Op 10)"].change.fixed == 8
    rows = {(each.figure, each.used_for): each for each in assumed_by_marks(works)}
    figures = typical()
    assert rows[figures["operation"]["buffer"].figure, "Op 20"].value == "2 parts"
    assert (figures["operation"]["buffer"].figure, "Op 10") not in rows
    assert (figures["operation"]["machines"].figure, "Op 40") in rows  # its machine stands at Op 20 as well
    assert (figures["cutter"]["change"].figure, "T9") in rows
    assert (figures["cutter"]["change"].figure, "T2 reamer") not in rows
    assert all(each.source.startswith("typical of ") and "; " in each.source for each in rows.values())


def test_a_mark_counts_until_the_figure_is_another_one() -> None:
    content = plain(of(ROWS))
    (line,) = content["lines"].values()
    words = typical()["operation"]["buffer"].figure

    def used() -> list[str]:
        return [each.used_for for each in assumed_by_marks(works_from_dict(content)) if each.figure == words]

    assert used() == ["Op 20", "Op 30", "Op 40"]
    line["operations"]["Op 30"]["buffer"] = 5
    assert used() == ["Op 20", "Op 40"]
    line["operations"]["Op 20"]["assumed"] = ["bufer 2"]
    with pytest.raises(ScenarioError, match='"bufer 2" marks no typical figure'):
        works_from_dict(content)


def test_a_mark_for_every_typical_figure_reaches_its_entry() -> None:
    """Each stands in somewhere in this sheet, so that no word of the data file leads nowhere."""
    shown = {each.figure for each in assumed_by_marks(of(ROWS))}
    assert shown == {figure.figure for entries in typical().values() for figure in entries.values()}


def test_the_same_sheet_reads_the_same_in_every_dress() -> None:
    works = of(ROWS)
    german = [[f"{cell}".replace(".", ",") if isinstance(cell, float) else cell for cell in row] for row in ROWS]
    names = ["AG-Nr.", "Bezeichnung", "Maschine", "Zykluszeit [min]", "Werkzeug", "Standmenge", "Wechselzeit (min)"]
    title = [["Teil", "Pump housing"], []]
    assert works_from_bytes(separated([*title, names, *german], ";", "cp1252"), "a.csv") == works
    in_seconds = [[*row[:3], row[3] * 60 if row[3] else "", *row[4:]] for row in ROWS]
    heads = ["OP NO", "Description", "Work centre", "Cycle time (s)", "Tool no.", "Parts / tool", "Change (min)"]
    others = ["note to myself", *heads, "Drawing"]
    total = ["", "", "", "Total", 14.15, "", "", "", ""]
    assert of([*(["x", *row, "D-4"] for row in in_seconds), total], others) == works
    assert works_from_bytes(to_workbook(works), "full.xlsx") == works


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ([50, "", "", "six", "", "", ""], "'Pump housing'!D3: \"six\" was found; minutes such as 3.5"),
        ([50, "", "", "", "T3", 5, 1], "'Pump housing'!D3: missing; the minutes of \"Op 50\""),
        ([50, "", "", 4, "T3", 2.5, 1], "'Pump housing'!F3: 2.5 was found; a whole number of parts"),
        ([50, "", "", 4, "T3", 5, -1], "'Pump housing'!G3: -1 min was found; 0 or more"),
        ([50, "", "", "1,250", "", "", ""], '"1,250" may mean a thousand'),
        (["", "", "", 7, "T3", 5, 1], '7 min was found, and 3 min further up for "Op 10"'),
        (["", "", "", "", "T1", 5, 1], '"T1" is given twice at "Op 10"'),
        ([50, "", "", 4, "", 60, ""], "'Pump housing'!E3: missing; the tool that is changed in this row"),
        (["", "rinse", "", "", "", "", ""], 'missing; a further tool of "Op 10"'),
        ([50, "", "900 x Mill", 4, "", "", ""], "900 machines were found"),
    ],
)
def test_a_doubtful_row_is_said_by_sheet_and_cell(row: list[Any], words: str) -> None:
    assert words in fault(book([HEAD, [10, "", "", 3, "T1", 40, 5], row]))


def test_what_is_no_routing_sheet_says_what_one_is() -> None:
    assert "neither a scenario nor a routing sheet" in fault(book([["a", "b"], [1, 2]]))
    assert 'Did you mean "cycle minutes"' in fault(book([[*HEAD[:3], "cylce minutes", *HEAD[4:]], *ROWS]))
    assert "tool life" not in fault(book([HEAD]))
    assert 'the unit "min" was found in this heading' in fault(book([[*HEAD[:5], "tool life (min)", HEAD[6]], *ROWS]))
    assert "at least one row was expected" in fault(empty_routing_sheet())
    assert "more than 25000 rows" in fault(b"\n".join([b"op,cycle,tool"] + [b"1,2,3"] * 26_000), "a.csv")


def test_the_worked_row_is_one_that_can_be_read() -> None:
    assert of([list(WORKED)]).cutters["Face mill"].life == 1.25 * 60 * 3.5


def test_mutated_sheets_give_words_and_no_traceback() -> None:
    draw, refused, count = random.Random(20_000), 0, 150
    for _ in range(count):
        cells = [list(HEAD), *map(list, ROWS)]
        for _ in range(draw.randrange(1, 6)):
            row = draw.choice(cells)
            row[draw.randrange(7)] = draw.choice(ODD)
        content = separated(cells, draw.choice(",;\t"))
        if draw.random() < 0.3:
            content = content[: draw.randrange(len(content))] + bytes([draw.randrange(256)]) + content[-60:]
        try:
            works_from_bytes(content, "x.csv")
        except ScenarioError:
            refused += 1
    assert 0.2 * count < refused < count


def test_answers_in_a_browser_are_the_same_line_and_what_was_answered_is_not_assumed() -> None:
    rows = [["" if cell == "" else str(cell) for cell in row] for row in ROWS]
    assert works_of_answers(Answers({"part": "Pump housing"}, rows)) == of(ROWS)
    texts = {"part": "Pump housing", "shifts": "1", "days": "6", "currency": "CHF", "worth": "88,5", "casting": "30",
             "setters": "2", "waiting": "5"}  # fmt: skip
    works = works_of_answers(Answers(texts, [*rows, [None] * 7]))
    (line,) = works.lines.values()
    assert (works.calendar.shifts_per_day, works.calendar.days_per_week, works.currency) == (1, 6, "CHF")
    assert (line.worth, line.casting.price, works.people["setters"].count) == (88.5, 30, 2)
    assert [operation.buffer for operation in line.operations.values()] == [0, 5, 5, 5]
    answered = {question.figure for question in QUESTIONS.values()} - {None}
    words = {typical()[part][word].figure for part, word in answered}
    assert not words & {each.figure for each in assumed_by_marks(works)}


def test_answers_that_cannot_be_read_are_said_by_their_question_or_row() -> None:
    with pytest.raises(ScenarioError) as caught:
        works_of_answers(Answers({"shifts": "four", "worth": "-1"}, [["10", "", "", "1"], ["20", "", "", "soon"]]))
    text = str(caught.value)
    for words in ("Name of the part: missing", "Shifts in a day: \"four\"", "Worth of a good part: \"-1\"",
                  "row 2, cycle minutes: \"soon\""):  # fmt: skip
        assert words in text
    with pytest.raises(ScenarioError, match="the table: empty"):
        works_of_answers(Answers({"part": "x"}, [[None] * 7]))


ODD: list[Any] = [
    "", " ", "=1+1", "1e999", "nan", "-0", "0", "1,2,3", "10 x", "0 x y", "99999999999999999999", "T1 / T2", "a" * 5000,
    "\x07", "\u202e", "e.g. 10", "note", "Op 10", "total", "3:30", "½", "٣", "{a: 1}", "[", "2 x Mill ; 3",
    "1.250,5 min", "30 s", "10.0", "true", "cycle", "#REF!", "\N{GRINNING FACE}", "a\nb", "after", "start",
    "Op 10 / T1", "lines",
]  # fmt: skip
