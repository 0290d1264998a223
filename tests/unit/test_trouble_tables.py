"""Tables on what went wrong, cell by cell, from a tally of figures that are all unlike each other, and their words."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pandas as pd
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State, Tally, empty_tally
from linesim.report.page.justification_excel import write_workbook
from linesim.report.page.trouble_tables import FIGURES, KINDS, trouble_blocks, trouble_pieces
from linesim.report.terminal.run import run_text
from linesim.report.views.troubles import trouble_sheets
from linesim.result import Result
from linesim.result.details import Details
from linesim.result.trouble_details import TROUBLE_FIGURES
from linesim.study.comparing.closely import CloseLook
from linesim.study.comparing.tables import detail_table
from tests.floors import a_blade, a_cut, a_shop
from tests.printed import Printed, all_within, terminal_tables
from tests.unit.cells import text_of
from tests.unit.test_files_whole import CONTENT

BAD = {"chance": 0.1, "shift": 20.0}
MASTERED = {"per_hour": 1.0, "mastered": {"every": 50, "minutes": {"uniform": {"low": 2, "high": 4}}}}
WEIGHTS = {"face": {"size": 0.7, "roughness": 0.3}}


@cache
def works() -> Any:
    """Op 10 of two machines rough cuts and reams a face and gauges first pieces; gauges stand behind it and Op 20."""
    strokes = {
        "rough": {"cuts": {"rough cut": a_cut("blade")}},
        "ream": {"cuts": {"ream cut": a_cut("reamer")}},
    }
    first = {"accept": 1.0, "bad": "salvage", "minutes": 2}
    operations = {
        "Op 10": {
            "strokes": strokes, "machines": 2, "turns_bad": BAD, "first_piece": first,
            "gauges": {"ring": {"feature": "face", "drift": MASTERED}},
        },
        "Op 20": {"minutes": 1, "gauges": {"plug": {"feature": "face"}, "dial": {"feature": "face"}}},
        "Op 30": {"minutes": 1, "test": {"weights": WEIGHTS}},
    }  # fmt: skip
    line = {
        "features": {"face": {"size": {"limits": [99.98, 100.02]}, "roughness": {"limit": 2.0}}},
        "later": {"field": {"gasket": {"weights": {"face": {"form": 1.0}}, "cost": 100}}},
    }
    line["features"]["face"]["form"] = {"limit": 10.0}
    freed = {"salvage": {"share": 0.8, "minutes": 1}}
    blade, reamer = a_blade(broken=freed), a_blade(broken="spares the part")
    cutters = {"blade": blade, "reamer": reamer, "spare": a_blade()}
    return a_shop(operations, line=line, cutters=cutters, length=600.0)


def made(fill: Callable[[Tally], None] = lambda _: None) -> Result:
    """A result that comes from no run; cuts 0 and 1, then operations 0 to 2, then all else are the suspects."""
    plan = make_plan(works(), "as stated")
    tally = empty_tally(plan)
    tally.counted_min, tally.stuck_from_min[:] = 600.0, math.inf
    tally.shipped[:], tally.castings[:] = 100, 100
    tally.turned_bad[:2], tally.faults_found[:2], tally.unfound_min[:2] = [3, 4], [2, 3], [25.0, 31.0]
    tally.made_bad[:2] = [11, 12]
    tally.found_by[0, 0], tally.found_by[2, 0] = 4, 1
    tally.bad_shipped[0], tally.bad_shipped_out[0] = 9, 5
    tally.charged[0, [0, 1, 3]] = [6, 13, 1]
    tally.charged[1, [1, 5]], tally.charged[2, 5] = [21, 7], 2
    tally.first_gauged[:2], tally.first_corrected[:2], tally.first_scrapped[:2] = [14, 16], [8, 10], [1, 2]
    tally.first_salvaged[0, Cause.CUT_AWAY], tally.first_salvaged[1, Cause.NOT_CLEANED_UP] = 3, 4
    tally.stops[:2], tally.state_min[:2, State.FIRST_PIECE] = [17, 18], [27.0, 48.0]
    tally.readings[:] = [90, 80, 0]
    tally.judged[:2] = [[[60, 4], [5, 21]], [[50, 3], [7, 20]]]
    tally.masterings[:], tally.corrections[:] = [6, 0, 0], [0, 19, 0]
    tally.salvaged[0, Cause.CUT_AWAY], tally.scrapped[0, Cause.TILTED] = 2, 8
    tally.recut[1, Cause.METAL_LEFT] = 15
    tally.tested[:], tally.turned_down[:] = [70, 0], [22, 33, 1, 0, 0]
    tally.repairs[:], tally.given_up[:], tally.field_chance[:] = (
        [20, 30, 0, 0, 0],
        [2, 3, 1, 0, 0],
        [0, 0, 0, 0.4, 0.25],
    )
    fill(tally)
    return Result(works(), plan, tally, 1, 0, "fast")


def rows(table: pd.DataFrame, columns: str) -> list[list[Any]]:
    """Rows of a table that has these columns and no others."""
    assert list(table.columns) == columns.split()
    return table.to_numpy(dtype=object).tolist()


def test_faults() -> None:
    columns = (
        "line operation turned_bad detected by_machine found_by unseen_min mean_min_to_find made_bad shipped_bad "
        "shipped_bad_out"
    )
    (row,) = rows(made().faults, columns)
    found_by = "ring after Op 10: 4, dial after Op 20: 1"
    by_machine = "Op 10 No. 1: 3 times (11 cut), Op 10 No. 2: 4 times (12 cut)"
    assert row == ["line", "Op 10", 7, 5, by_machine, found_by, 56.0, pytest.approx(11.2), 23, 9, 5]


def test_blame() -> None:
    """The reamer cut the face last: what a gauge cannot tell apart is charged to it."""
    other = "finish, place or casting"
    assert rows(made().blame, "line operation gauge cause of_operation cut cutter turned_down") == [
        ["line", "Op 10", "ring", "cut", "Op 10", "ream cut", "reamer", 13],
        ["line", "Op 10", "ring", "cut", "Op 10", "rough cut", "blade", 6],
        ["line", "Op 10", "ring", "hidden fault", "Op 20", "", "", 1],
        ["line", "Op 20", "plug", "cut", "Op 10", "ream cut", "reamer", 21],
        ["line", "Op 20", "plug", other, "Op 10", "", "reamer", 7],
        ["line", "Op 20", "dial", other, "Op 10", "", "reamer", 2],
    ]


def test_first_pieces() -> None:
    columns = "line operation stops gauged corrected corrected_share scrapped salvaged stood_min min_per_piece"
    (row,) = rows(made().first_pieces, columns)
    assert row == ["line", "Op 10", 35, 30, 18, pytest.approx(0.6), 3, 7, 75.0, 2.5]


def test_tests_and_failures() -> None:
    assert rows(made().later, "line test where what tested turned_down repairs scrapped failures") == [
        ["line", "Op 30", "test", "face, size", 70, 22, 20, 2, 0.0],
        ["line", "Op 30", "test", "face, roughness", 70, 33, 30, 3, 0.0],
        ["line", "Op 30", "test", "other causes", 70, 1, 0, 1, 0.0],
        ["line", "gasket", "field", "face, form", 0, 0, 0, 0, 0.4],
        ["line", "gasket", "field", "other causes", 0, 0, 0, 0, 0.25],
    ]


def test_masterings_take_their_mean_minutes() -> None:
    table = made().gauges
    assert table["masterings"].tolist() == [6, 0, 0]
    assert table["mastering_min"].tolist() == [18.0, 0.0, 0.0]
    assert table["faults_found"].tolist() == [4, 0, 1]


def test_first_pieces_that_are_salvaged_stand_among_the_causes() -> None:
    assert rows(made().causes, "line operation cause scrapped recut salvaged") == [
        ["line", "Op 10", "cut away too much", 0, 0, 5],
        ["line", "Op 10", "metal left on", 0, 15, 0],
        ["line", "Op 10", "did not clean up", 0, 0, 4],
        ["line", "Op 10", "tilted", 8, 0, 0],
    ]
    assert made().operations["salvaged"].tolist() == [9, 0, 0]


def test_parts_freed_of_a_broken_cutter_are_salvaged_and_spared_ones_are_not() -> None:
    """The blade's are freed at a cost, three and four of them on the two machines; the reamer spares its five."""

    def fill(tally: Tally) -> None:
        tally.saved[:] = [3, 5, 4, 5]

    result = made(fill)
    assert rows(result.causes, "line operation cause scrapped recut salvaged")[0] == [
        "line", "Op 10", "cutter broke", 0, 0, 7,
    ]  # fmt: skip
    assert result.operations["salvaged"].tolist() == [16, 0, 0]
    assert result.changes["saved"].tolist() == [3, 5, 4, 5]


def test_every_cause_has_words_of_its_own() -> None:
    assert len({cause.words for cause in Cause}) == len(Cause)
    said = {Cause.OFF_PLACE: "off its place", Cause.TILTED: "tilted", Cause.OUT_OF_FORM: "out of form"}
    assert {cause: cause.words for cause in said} == said


# --- in the terminal ----------------------------------------------------------------------------------------------


def printed(result: Result) -> dict[str, Printed]:
    return {table.title: table for table in terminal_tables(run_text(result))}


def test_the_terminal_shows_each_cell() -> None:
    tables = printed(made())
    assert tables["Rejects by cause"].rows[0] == ["Op 10 (bore face)", "cut away too much", "0", "0", "5"]
    gauges = tables["Gauges: readings"]
    assert gauges.heads == ["after", "gauge", "read", "bad, turned down", "bad, passed", "good, turned down",
                            "offsets set", "masterings", "mastering min"]  # fmt: skip
    assert gauges.rows == [["Op 10 (bore face)", "ring", "90", "21", "5", "4", "0", "6", "18"],
                           ["Op 20", "plug", "80", "20", "7", "3", "19", "0", "0"]]  # fmt: skip
    assert tables["Readings that failed, and what they are charged to"].rows == [
        ["Op 10 (bore face)", "ream cut", "reamer", "size", "34", "68"],
        ["Op 10 (bore face)", "", "reamer", "finish, place or casting", "9", "18"],
        ["Op 10 (bore face)", "rough cut", "blade", "size", "6", "12"],
        ["Op 20", "", "", "hidden fault", "1", "2"],
    ]
    assert tables["Hidden faults: machines that turned bad"].rows == [
        [
            "Op 10 (bore face)",
            "7",
            "5",
            "11",
            "23",
            "9",
            "5",
            "ring after Op 10: 4, dial after Op 20: 1",
            "Op 10 No. 1: 3 times (11 cut), Op 10 No. 2: 4 times (12 cut)",
        ]
    ]
    assert tables["First pieces after changes"].rows == [
        ["Op 10 (bore face)", "35", "30", "18", "60", "3", "7", "75", "2.5"]
    ]
    assert tables["Tests and failures in the field"].rows == [
        ["Op 30", "face, size", "70", "22", "20", "2", ""],
        ["Op 30", "face, roughness", "70", "33", "30", "3", ""],
        ["Op 30", "other causes", "70", "1", "0", "1", ""],
        ["gasket", "face, form", "", "", "", "", "0.40"],
        ["gasket", "other causes", "", "", "", "", "0.25"],
    ]


def test_causes_to_which_no_test_or_failure_is_charged_are_left_out() -> None:
    def fill(tally: Tally) -> None:
        tally.turned_down[1] = tally.given_up[1] = tally.repairs[1] = 0
        tally.field_chance[3] = 0.0

    tests = printed(made(fill))["Tests and failures in the field"]
    assert tests.heads[:2] == ["test", "charged to"]
    assert [row[:2] for row in tests.rows] == [
        ["Op 30", "face, size"],
        ["Op 30", "other causes"],
        ["gasket", "other causes"],
    ]


def test_the_smallest_suspects_stand_together(monkeypatch: pytest.MonkeyPatch) -> None:
    def fill(tally: Tally) -> None:
        tally.charged[:] = 0
        tally.charged[0, :6] = [1, 2, 3, 4, 5, 6]

    def shown() -> list[list[str]]:
        rows = printed(made(fill))["Readings that failed, and what they are charged to"].rows
        return [[row[0], *row[4:]] for row in rows]

    assert [row[1] for row in shown()] == ["6", "5", "4", "3", "2", "1"]
    monkeypatch.setattr("linesim.report.terminal.run_troubles._MOST_BLAMED", 4)
    assert shown()[3:] == [["Op 10 (bore face)", "3", "14"], ["2 others", "3", "14"]]
    monkeypatch.setattr("linesim.report.terminal.run_troubles._MOST_BLAMED", 5)
    assert shown()[4:] == [["Op 10 (bore face)", "2", "10"], ["Op 10 (bore face)", "1", "5"]]


def test_what_is_empty_is_left_out() -> None:
    plan = make_plan(a_shop({"Op 10": {"minutes": 1}}), "as stated")
    tally = empty_tally(plan)
    tally.counted_min, tally.stuck_from_min[:] = 600.0, math.inf
    titles = printed(Result(a_shop({"Op 10": {"minutes": 1}}), plan, tally, 1, 0, "fast"))
    assert set(titles) == {"Lines", "Machines: share of time, %", "Ledger"}


# --- in words -----------------------------------------------------------------------------------------------------


def said(fill: Callable[[Tally], None], start: str) -> list[str]:
    return [each.text for each in made(fill).findings if each.text.startswith(start)]


def test_a_cut_behind_most_of_what_fails_is_named() -> None:
    (text,) = said(lambda _: None, "Of 50")
    start = 'Of 50 readings that failed on line "line", 34 (68 %) are charged to the cut "ream cut" of "Op 10", '
    assert text == f'{start}made by "reamer".'

    def half(tally: Tally) -> None:
        tally.charged[0, 0] += 18

    def few(tally: Tally) -> None:
        tally.charged[:] = 0
        tally.charged[0, 0] = 19

    assert said(half, "Of 68") == []
    assert said(few, "Of ") == []


def test_a_fault_is_named_in_its_words_and_what_cannot_be_told_apart_is_not() -> None:
    def fill(tally: Tally, suspect: int) -> None:
        tally.charged[0, suspect] = 200

    (text,) = said(lambda tally: fill(tally, 2), "Of 2")
    assert text.endswith('are charged to "Op 10" having turned bad unseen.')
    assert said(lambda tally: fill(tally, 5), "Of 2") == []


def test_first_pieces_that_are_mostly_off_are_remarked_upon() -> None:
    (text,) = said(lambda _: None, "18 of 30 first pieces")
    assert text.startswith(
        '18 of 30 first pieces of "Op 10 (bore face)" (60 %) were off and had to be corrected; its machines stood'
    )
    assert "stood 75 minutes for them." in text

    def half(tally: Tally) -> None:
        tally.first_corrected[1] = 7

    assert said(half, "15 of 30") == []


@pytest.mark.parametrize(
    ("found", "minutes", "out", "is_said"),
    [(7, 7 * 59.0, 0, False), (7, 7 * 60.0, 0, True), (7, 7.0, 1, True), (0, 0.0, 0, True)],
)
def test_faults_that_were_found_soon_and_harmed_nobody_are_left_to_the_table(
    found: int, minutes: float, out: int, is_said: bool
) -> None:
    def fill(tally: Tally) -> None:
        tally.faults_found[:2], tally.unfound_min[:2], tally.bad_shipped_out[0] = [found, 0], [minutes, 0.0], out

    assert bool(said(fill, '"Op 10 (bore face)" turned bad 7 times unseen')) is is_said


# --- on the dashboard ---------------------------------------------------------------------------------------------


def test_the_page_shows_the_sums_of_all_runs() -> None:
    """Two runs of which the second has turned down two more and its first pieces stood a minute longer."""

    def fill(tally: Tally) -> None:
        tally.charged[2, 5] += 2
        tally.state_min[0, State.FIRST_PIECE] += 1.0

    names = ("lines", "causes", "blame", "faults", "first_pieces", "later")
    tables = {
        name: pd.concat([getattr(made(each), name).assign(policy="as stated", replication=at) for at, each in
                         enumerate((lambda _: None, fill))])
        for name in names
    }  # fmt: skip
    rest = dict.fromkeys(("money", "drawing", "gauges", "times"), pd.DataFrame())
    sheets = trouble_sheets(CloseLook(works(), ("as stated",), 1, 2, 0.95, **tables, **rest), "as stated", "line")
    shown = {name: [list(map(text_of, row)) for row in sheet.rows] for name, sheet in sheets.items()}
    assert shown == {
        "rejects": [
            ["Op 10 (bore face)", "cut away too much", "0", "0", "10"],
            ["Op 10 (bore face)", "metal left on", "0", "30", "0"],
            ["Op 10 (bore face)", "did not clean up", "0", "0", "8"], ["Op 10 (bore face)", "tilted", "16", "0", "0"],
        ],
        "blame": [
            ["Op 10 (bore face)", "ream cut", "reamer", "cut", "68", "66.67"],
            ["Op 10 (bore face)", "–", "reamer", "finish, place or casting", "20", "19.61"],
            ["Op 10 (bore face)", "rough cut", "blade", "cut", "12", "11.76"],
            ["Op 20", "–", "–", "hidden fault", "2", "1.96"],
        ],
        "faults": [["Op 10 (bore face)", "14", "10", "112", "46", "18", "10"]],
        "first pieces": [["Op 10 (bore face)", "70", "60", "36", "6", "14", "151"]],
        "later": [
            ["Op 30", "face, size", "44", "40", "4", "0"], ["Op 30", "face, roughness", "66", "60", "6", "0"],
            ["Op 30", "other causes", "2", "0", "2", "0"], ["gasket", "face, form", "0", "0", "0", "0.80"],
            ["gasket", "other causes", "0", "0", "0", "0.50"],
        ],
    }  # fmt: skip
    heads = {name: [text_of(head) for head in sheet.heads] for name, sheet in sheets.items()}
    assert heads == {
        "rejects": ["operation", "cause", "scrapped", "recut", "salvaged"],
        "blame": ["charged to", "cut", "cutter set", "for", "readings that failed", "%"],
        "faults": ["operation", "turned bad", "found", "minutes until found, in all", "parts cut bad",
                   "of these shipped", "of these out"],
        "first pieces": ["operation", "stops", "first pieces gauged", "corrected", "scrapped", "salvaged",
                         "minutes stood"],
        "later": ["test", "charged to", "turned down", "repairs", "scrapped", "expected in the field"],
    }  # fmt: skip
    assert all(len(sheet.heads) == len(row) for sheet in sheets.values() for row in sheet.rows)


# --- side by side, on the page of a comparison and in a workbook ----------------------------------------------------


def details() -> pd.DataFrame:
    """Two runs each of "one", as made, and of "two", whose second run has one more of what stands in `more`."""

    def more(tally: Tally) -> None:
        tally.charged[0, 1] += 4
        tally.turned_bad[1] += 2
        tally.first_scrapped[0] += 6
        tally.repairs[0] += 8
        tally.field_chance[4] += 0.5

    plan = make_plan(works(), "as stated")
    of = Details(works(), plan)
    first, second = (of.values(made(fill).tally) for fill in (lambda _: None, more))
    runs = {"one": np.array([first, first]), "two": np.array([first, second])}
    return detail_table([(name, of.heads, values) for name, values in runs.items()], 0.95)


WIDTH = 12.706 / 2.0
"""Half width for two runs that differ by 1: t of 95 % and one degree of freedom over the root of 2, times the sd."""

SHOWN = {
    "Readings that failed, by what they are charged to; mean of a run": [
        ("Op 10, ream cut, size", 34.0, 36.0, 4.0), ("Op 10, reamer, finish, place or casting", 9.0, 9.0, 0.0),
        ("Op 10, rough cut, size", 6.0, 6.0, 0.0),
    ],
    "Hidden faults: machines that turned bad unseen; mean of a run": [
        ("Op 10, turned bad, times", 7.0, 8.0, 2.0), ("Op 10, of these found", 5.0, 5.0, 0.0),
        ("Op 10, minutes until found, in all", 56.0, 56.0, 0.0), ("Op 10, parts cut bad", 23.0, 23.0, 0.0),
        ("Op 10, of these shipped", 9.0, 9.0, 0.0), ("Op 10, of these out of the drawing", 5.0, 5.0, 0.0),
    ],
    "First pieces after changes; mean of a run": [
        ("Op 10, gauged", 30.0, 30.0, 0.0), ("Op 10, corrected", 18.0, 18.0, 0.0),
        ("Op 10, scrapped", 3.0, 6.0, 6.0), ("Op 10, salvaged", 7.0, 7.0, 0.0),
        ("Op 10, minutes stood", 75.0, 75.0, 0.0),
    ],
    "Tests on the line, by what is charged; mean of a run": [
        ("Op 30, face, size, tested", 70.0, 70.0, 0.0), ("Op 30, face, size, turned down", 22.0, 22.0, 0.0),
        ("Op 30, face, size, repairs", 20.0, 24.0, 8.0), ("Op 30, face, size, scrapped", 2.0, 2.0, 0.0),
        ("Op 30, face, roughness, tested", 70.0, 70.0, 0.0), ("Op 30, face, roughness, turned down", 33.0, 33.0, 0.0),
        ("Op 30, face, roughness, repairs", 30.0, 30.0, 0.0), ("Op 30, face, roughness, scrapped", 3.0, 3.0, 0.0),
        ("Op 30, other causes, tested", 70.0, 70.0, 0.0), ("Op 30, other causes, turned down", 1.0, 1.0, 0.0),
        ("Op 30, other causes, repairs", 0.0, 0.0, 0.0), ("Op 30, other causes, scrapped", 1.0, 1.0, 0.0),
    ],
    "Failures to be expected in the field, by what is charged; mean of a run": [
        ("gasket, face, form", 0.4, 0.4, 0.0), ("gasket, other causes", 0.25, 0.5, 0.5),
    ],
}  # fmt: skip
"""By table: words, mean of "one" and of "two", and by how much the two runs of "two" differ."""


def test_the_page_of_a_comparison_shows_each_policy_in_a_column() -> None:
    tables = trouble_pieces(details(), ["two", "one"])
    assert [table.caption for table in tables] == list(SHOWN)
    for table, wanted in zip(tables, SHOWN.values(), strict=True):
        assert [text_of(head) for head in table.heads] == ["", "two", "one"]
        assert [text_of(row[0]) for row in table.rows] == [words for words, *_ in wanted]
        for row, (_, one, two, apart) in zip(table.rows, wanted, strict=True):
            all_within([text_of(row[1])], [two], [WIDTH * apart])
            all_within([text_of(row[2])], [one], [0.0])


def test_the_workbook_holds_each_figure_with_its_half_width(tmp_path: Path) -> None:
    file = tmp_path / "sheet.xlsx"
    write_workbook(file, replace(CONTENT, troubles=tuple(trouble_blocks(details(), ["one", "two"]))))
    book = openpyxl.load_workbook(file)
    assert book.sheetnames == ["Justification", "What went wrong"]
    for page in book:  # each prints on one page
        assert page.sheet_properties.pageSetUpPr.fitToPage
        assert (page.page_setup.fitToWidth, page.page_setup.fitToHeight) == (1, 1)
    rows = [
        list(row)
        for row in book["What went wrong"].iter_rows(values_only=True)
        if any(cell is not None for cell in row)
    ]
    wanted: list[list[Any]] = []
    for title, body in SHOWN.items():
        wanted += [[title, *[None] * 4], [None, "one", "±", "two", "±"]]
        wanted += [[words, one, 0.0, two, WIDTH * apart] for words, one, two, apart in body]
    assert len(rows) == len(wanted)
    for row, own in zip(rows, wanted, strict=True):
        assert row[0] == (own[0] or None)
        assert row[1:] == (own[1:] if None in own or isinstance(own[1], str) else pytest.approx(own[1:], abs=1e-3))


@pytest.mark.parametrize(("paper", "number"), [("A4", Worksheet.PAPERSIZE_A4), ("Letter", Worksheet.PAPERSIZE_LETTER)])
def test_the_workbook_is_set_up_for_its_paper(tmp_path: Path, paper: str, number: str) -> None:
    """Numbers of papers as in ECMA-376, pageSetup, by way of openpyxl."""
    file = tmp_path / "sheet.xlsx"
    write_workbook(file, replace(CONTENT, troubles=tuple(trouble_blocks(details(), ["one"]))), paper)
    assert {page.page_setup.paperSize for page in openpyxl.load_workbook(file)} == {int(number)}


def test_of_many_blamed_the_most_are_shown_and_the_table_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("linesim.report.page.trouble_tables.MOST_BLAMED", 2)
    blame = trouble_pieces(details(), ["one"])[0]
    assert blame.caption == "Readings that failed, by what they are charged to; the 2 most; mean of a run"
    assert [text_of(row[1]) for row in blame.rows] == ["34.0 ± 0.0", "9.0 ± 0.0"]


def test_every_figure_has_words() -> None:
    assert list(KINDS) == list(FIGURES) == list(TROUBLE_FIGURES)
    assert all(list(FIGURES[of]) == list(figures) for of, figures in TROUBLE_FIGURES.items())


def test_where_nothing_went_wrong_there_is_no_table() -> None:
    plan = make_plan(works(), "as stated")
    nothing = Details(works(), plan).values(empty_tally(plan))
    table = detail_table([("one", Details(works(), plan).heads, np.array([nothing, nothing]))], 0.95)
    assert trouble_pieces(table, ["one"]) == trouble_blocks(table, ["one"]) == []


# --- both engines -------------------------------------------------------------------------------------------------


def twice_bad(bad: str) -> Any:
    """Two operations that turn bad, cut a face each and gauge it in part; first pieces are turned down now and then."""

    def operation(feature: str, every: int) -> dict[str, Any]:
        cuts = {"stroke": {"cuts": {f"cut {feature}": a_cut("blade", feature=feature, repeatability=5.0)}}}
        gauges = {name: {"feature": feature, "every": every + at} for at, name in enumerate(("near", "far"))}
        first = {"accept": 2.0, "bad": bad, "tries": 2}
        return {"strokes": cuts, "turns_bad": {"chance": 0.05, "shift": -25.0}, "gauges": gauges, "first_piece": first}

    features = {name: {"size": {"limits": [99.98, 100.02]}} for name in ("top", "side")}
    operations = {"Op 10": operation("top", 2), "Op 20": operation("side", 3)}
    cutters = {"blade": a_blade(life=1e9, setting={"error": 12.0})}
    return a_shop(operations, line={"features": features}, cutters=cutters, rule={"parts": 6}, length=900.0)


@pytest.mark.parametrize("bad", ["scrap", "salvage"])
def test_both_engines_count_faults_by_gauge_and_operation_and_what_became_of_first_pieces(bad: str) -> None:
    plan = make_plan(twice_bad(bad), "as stated")
    one, other = run_floor(plan, 3, 0), run_fast(plan, 3, 0)
    for name in ("found_by", "first_gauged", "first_corrected", "first_scrapped", "first_salvaged"):
        assert getattr(one, name).tolist() == getattr(other, name).tolist(), name
    assert one.found_by[:2, 1].tolist() == one.found_by[2:, 0].tolist() == [0, 0]  # no gauge reads the other's face
    assert one.found_by[:2, 0].sum() == one.faults_found[0] > 1
    assert one.found_by[2:, 1].sum() == one.faults_found[1] > 1
    lost = one.first_scrapped if bad == "scrap" else one.first_salvaged.sum(axis=1)
    assert (lost > 1).all()
    assert (one.first_salvaged.sum(), one.first_scrapped.sum())[bad == "salvage"] == 0
    causes = one.scrapped if bad == "scrap" else one.first_salvaged
    assert (causes[:, Cause.CUT_AWAY] >= lost).all()
