"""A scenario as a workbook: there and back, errors by their cell, what people type, what anyone may send."""

from __future__ import annotations

import contextlib
import io
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import Field

from linesim.errors import ScenarioError
from linesim.units import Length, Money
from linesim.works import Works, digest, load_works, works_from_bytes, works_from_dict
from linesim.works.base import Strict
from linesim.works.book.figures import with_point
from linesim.works.book.layout import layout_of
from linesim.works.book.naming import ANY, ITEM
from linesim.works.book.sheets import filled_sheets, grids_of
from linesim.works.book.spots import column_letters
from linesim.works.book.trees import tree_of
from linesim.works.book.writing import empty_workbook, to_workbook
from linesim.works.load import works_from_tree
from linesim.works.shape import shape_at
from linesim.works.writing import plain
from tests.manual_entries import parts
from tests.patience import without_holding_up

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = sorted((ROOT / "scenarios").glob("*.yaml"))
SMALLEST = ROOT / "scenarios" / "smallest.yaml"
NAME = "my-line.xlsx"

Grid = dict[str, list[list[Any]]]
Edit = Callable[[Grid], None]


def grids(works: Works, is_inch: bool = False) -> Grid:
    """The cells of the workbook of a works."""
    return grids_of(*filled_sheets(plain(works), is_inch=is_inch))


def read(cells: Grid) -> Works:
    """The works that cells say."""
    return works_from_tree(lambda problems: tree_of(cells, NAME, problems))


def edited(works: Works, *edits: Edit) -> Grid:
    """The cells of a works, in which somebody has typed something."""
    cells = grids(works)
    for edit in edits:
        edit(cells)
    return cells


def put(title: str, heading: str, row: int, value: Any) -> Edit:
    """Type a value into a cell, the rows counted as a spreadsheet does."""

    def edit(cells: Grid) -> None:
        cells[title][row - 1][cells[title][0].index(heading)] = value

    return edit


def fault(cells: Grid) -> str:
    """What is said of cells that cannot be used."""
    with pytest.raises(ScenarioError) as caught:
        read(cells)
    return str(caught.value)


def fault_of_file(content: bytes, name: str = NAME) -> str:
    """What is said of a file that cannot be used."""
    with pytest.raises(ScenarioError) as caught:
        works_from_bytes(content, name)
    return str(caught.value)


def column(sheet: Any, heading: str) -> str:
    """Letter of the column with a heading."""
    return next(str(cell.column_letter) for cell in sheet[1] if cell.value == heading)


@pytest.fixture(scope="module")
def smallest() -> Works:
    return load_works(SMALLEST)


@pytest.fixture(scope="module")
def content(smallest: Works) -> bytes:
    """The file of the workbook of the smallest line."""
    return to_workbook(smallest)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
@pytest.mark.parametrize("is_inch", [False, True], ids=["metric", "inch"])
def test_every_scenario_comes_back_the_same(path: Path, is_inch: bool) -> None:
    works = load_works(path)
    back = read(grids(works, is_inch))
    assert back == works
    assert digest(back) == digest(works)


@pytest.mark.parametrize(("name", "is_inch"), [("works", False), ("smallest", True)])
def test_a_scenario_comes_back_the_same_out_of_a_file(name: str, is_inch: bool) -> None:
    works = load_works(ROOT / "scenarios" / f"{name}.yaml")
    back = works_from_bytes(to_workbook(works, is_inch), NAME)
    assert back == works
    assert digest(back) == digest(works)


def test_every_entry_of_the_models_has_a_cell() -> None:
    cells = {(*table.path, *column.path) for table in layout_of().tables for column in table.columns}
    for where, model in parts().items():
        if "time" in where or model.in_one_cell:
            continue
        words = re.sub(r"\[\]", ".[]", where).split(".") if where else []
        path = tuple({"<name>": ANY, "[]": ITEM}.get(word, word) for word in words)
        for name in model.model_fields:
            assert [cell for cell in cells if cell[: len(path) + 1] == (*path, name)], f"{where}.{name}"


LISTED: dict[str, Any] = {
    "name": "lists", "currency": "EUR",
    "people": {"fitters": {"by_shift": [2, 1], "breaks": [
        {"after": 120, "minutes": 10, "relieved": True}, {"after": 225, "minutes": 30}]}},
    "lines": {
        name: {
            "features": {"foot": {"kind": "face", "size": {"limits": [-0.1, 0.1]}}},
            "operations": {"Op 10": {
                "minutes": {"triangular": {"low": 2, "mode": 3, "high": 5}}, "load": {"listed": [0.3, 0.25, 0.4]},
                "locating": {"on": "foot", "pads": 300}, "fixtures": {"measured": fixtures}}},
        } for name, fixtures in {
            "block": [{"position": 3, "tilt": -4}, {"position": -4.5}, {}], "head": [{"tilt": 0.1}],
        }.items()
    },
    "policies": {"today": {"default": "run out"}},
}  # fmt: skip


def numbered(cells: Grid, title: str) -> list[list[Any]]:
    """The rows of a sheet without its headings."""
    return cells[title][1:]


@pytest.mark.parametrize("is_inch", [False, True], ids=["metric", "inch"])
def test_lists_of_groups_have_a_row_for_each_item_and_come_back_in_order(is_inch: bool) -> None:
    works = works_from_dict(LISTED)
    cells = grids(works, is_inch)
    assert [row[:3] for row in numbered(cells, "Fixtures measured")] == [
        ["block", "Op 10", 1], ["block", "Op 10", 2], ["block", "Op 10", 3], ["head", "Op 10", 1]]  # fmt: skip
    assert numbered(cells, "People breaks") == [["fitters", 1, 120.0, 10.0, "yes"], ["fitters", 2, 225.0, 30.0, None]]
    assert not numbered(cells, "Further")
    braces = [cell for title in cells if title != "Further" for row in cells[title] for cell in row if "{" in str(cell)]
    assert not braces  # nothing has to be typed as a file would say it
    assert read(cells) == works
    assert works_from_bytes(to_workbook(works, is_inch), NAME) == works


def test_items_are_taken_in_the_order_of_their_numbers_and_an_empty_one_is_the_next() -> None:
    cells = grids(works_from_dict(LISTED))
    first, second, third, *others = numbered(cells, "Fixtures measured")
    cells["Fixtures measured"][1:] = [
        [*third[:2], 10, None, 9.0], *others, [*second[:2], "3", -4.5, None], [*third[:2], None, 1.5, 0.5], first
    ]  # fmt: skip
    fixtures = read(cells).lines["block"].operations["Op 10"].fixtures
    assert fixtures is not None
    assert [(each.position, each.tilt) for each in fixtures.measured] == [(3, -4), (-4.5, 0), (0, 9), (1.5, 0.5)]


@pytest.mark.parametrize(
    ("at", "typed", "words"),
    [
        ((1, 2), "left", 'C2: "left" was found; the number of the fixture was expected, such as 1'),
        ((2, 2), 1, 'C3: "1" is given twice, here and in \'Fixtures measured\'!C2; once was expected'),
        ((1, 2), 0, 'C2: "0" was found; the number of the fixture was expected'),
        ((1, 1), "Op 11", 'B2: "Op 11" is no operation of the sheet Operations'),
        ((1, 3), "3 kg", 'D2, lines.block.operations[Op 10].fixtures.measured[0].position: "3 kg" is a mass'),
    ],
)  # fmt: skip
def test_what_is_wrong_with_an_item_is_said_at_its_cell(at: tuple[int, int], typed: Any, words: str) -> None:
    cells = grids(works_from_dict(LISTED))
    cells["Fixtures measured"][at[0]][at[1]] = typed
    assert f"{NAME}, 'Fixtures measured'!{words}" in fault(cells)


def test_a_workbook_from_before_a_list_had_a_sheet_of_its_own_is_read_as_it_is() -> None:
    cells = grids(works_from_dict(LISTED))
    rows, cells["Fixtures measured"] = numbered(cells, "Fixtures measured"), cells["Fixtures measured"][:1]
    written = ["[{position: 3 um, tilt: -4 um}, {position: -4.5}, {}]", "[{tilt: 0.1}]"]
    operations = cells["Operations"]
    for row, cell in zip(operations, ["fixtures measured", *written], strict=True):
        row.append(cell)
    assert read(cells) == works_from_dict(LISTED)
    cells["Fixtures measured"] += rows[:1]
    assert "given as a value and as a group of entries" in fault(cells)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("60 lognormal 0.8", {"lognormal": {"mean": 60, "cv": 0.8}}),
        ("60 Lognormal by 0,8", {"lognormal": {"mean": 60, "cv": 0.8}}),
        ("900 exponential", {"exponential": {"mean": 900}}),
        ("180 uniform 480", {"uniform": {"low": 180, "high": 480}}),
        ("3 erlang 4", {"erlang": {"mean": 3, "phases": 4}}),
        ("drawn from a list 2.1; 2,4; 3", {"listed": [2.1, 2.4, 3]}), ("a list in order 5; 6", {"in_order": [5, 6]}),
        ("{lognormal: {mean: 1 h, cv: 0.8}}", {"lognormal": {"mean": 60, "cv": 0.8}}),
        ("60 lognormal", "Operations!{}: lognormal needs a second figure: the standard deviation over the mean"),
        ("3 triangular 2", 'Operations!{}: "2" was found; triangular needs the least and the most, in minutes'),
        ("drawn from a list soon", 'Operations!{}: "soon" was found where the times are expected'),
    ],
)  # fmt: skip
def test_a_time_that_spreads_is_typed_in_words(smallest: Works, typed: str, said: Any) -> None:
    cells = edited(smallest, put("Operations", "load (min)", 2, typed))
    if isinstance(said, str):
        at = column_letters(cells["Operations"][0].index("load (min)")) + "2"
        assert said.format(at) in fault(cells)
        return
    operation = next(iter(next(iter(read(cells).lines.values())).operations.values()))
    assert plain_of(operation.load) == said


def test_a_time_in_words_is_in_the_unit_of_its_heading(smallest: Works) -> None:
    cells = edited(smallest, put("Operations", "load (min)", 2, "1 uniform 2"))
    head = cells["Operations"][0]
    head[head.index("load (min)")] = "load (h)"
    operation = next(iter(next(iter(read(cells).lines.values())).operations.values()))
    assert plain_of(operation.load) == {"uniform": {"low": 60, "high": 120}}


def plain_of(time: Any) -> Any:
    return time.model_dump(exclude_none=True)


class Pump(Strict):
    """A pump that some later edition may know of."""

    price: Money = 0.0
    """Price of one."""
    stroke: Length | None = None
    """Its stroke, mm."""


class LaterWorks(Works):
    """A works with entries that this program does not know yet."""

    pumps: dict[str, Pump] = Field(default={})
    """Pumps, by name."""
    coolant: Pump = Pump()
    """The coolant's own pump."""


def test_a_new_entry_has_its_sheet_and_its_column_at_once() -> None:
    content = {
        "name": "later", "coolant": {"price": 3.0}, "pumps": {"east": {"stroke": 12.5}, "west": {"price": 70.0}},
        "lines": {"block": {"operations": {"Op 10": {"minutes": 2.0}}}}, "policies": {"today": {"default": "run out"}},
    }  # fmt: skip
    sheets, further = filled_sheets(content, LaterWorks)
    grids = grids_of(sheets, further)
    assert grids["Pumps"] == [["pump", "price (EUR)", "stroke (mm)"], ["east", None, 12.5], ["west", 70.0, None]]
    assert ["coolant price", 3.0, "EUR"] in grids["Prices"]
    assert not further
    assert tree_of(grids, NAME, [], LaterWorks).plain() == content
    assert shape_at(LaterWorks, ("pumps", "east")) is not None


names = st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=12).filter(str.strip)
texts = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cn"]), max_size=30) | st.sampled_from(
    ["_x0041_", "=1+1", "e.g. this", " blank ", "12", "3,5", "{a: b}", "[1]", "yes", "a\nb", "1:30", "#REF!", "1e3"]
)


@settings(max_examples=40, deadline=None)
@given(line=names, operation=names, about=texts, policy=names, pool=names)
def test_any_names_and_remarks_come_back(line: str, operation: str, about: str, policy: str, pool: str) -> None:
    said = {
        "name": "any", "about": about, "people": {pool: {"count": 2}},
        "lines": {line: {"about": about, "operations": {operation: {"minutes": 2, "setters": pool, "about": about}}}},
        "policies": {policy: {"default": "run out", "about": about}},
    }  # fmt: skip
    try:
        works = works_from_dict(said)
    except ScenarioError:
        return  # not a name for a file of text either
    assert read(grids(works)) == works


ODD = [
    "_x0041_", "=1+1", "e.g. this", " blank ", "12", "3,5", "{a: b}", "[1]", "yes", "a\nb", "1:30", "#REF!", "a\rb",
]  # fmt: skip


def test_odd_texts_come_back_out_of_a_file() -> None:
    operations = {f"{word!r} {at}": {"minutes": 1, "about": word} for at, word in enumerate(ODD)}
    policies = {word.replace("\n", "").replace("\r", ""): {"default": "run out"} for word in ODD}
    works = works_from_dict({"name": "odd", "lines": {"a": {"operations": operations}}, "policies": policies})
    back = works_from_bytes(to_workbook(works), NAME)
    assert back == works
    assert digest(back) == digest(works)


def test_a_text_that_is_too_long_for_a_cell_is_refused_in_words() -> None:
    works = works_from_dict({
        "name": "long", "about": "x" * 40_000, "lines": {"a": {"operations": {"Op": {"minutes": 1}}}},
        "policies": {"p": {"default": "run out"}},
    })  # fmt: skip
    with pytest.raises(ScenarioError, match="about: a text of 40000 signs; a cell of a workbook holds at most 32767"):
        to_workbook(works)


def test_an_empty_workbook_says_what_is_missing_and_where() -> None:
    said = fault_of_file(empty_workbook())
    assert "my-line.xlsx, Works!B3: the name is missing; a text was expected" in said
    assert "my-line.xlsx, Line!A2: no row is filled in; at least one line was expected" in said
    assert "my-line.xlsx, Policies!A2: no row is filled in" in said


def test_an_empty_workbook_shows_a_worked_row_and_a_note_on_every_heading() -> None:
    book = openpyxl.load_workbook(io.BytesIO(empty_workbook()))
    for title in ("Line", "Features", "Operations", "Cuts", "Cutters", "Gauges", "People", "Policies"):
        sheet = book[title]
        assert str(sheet["A2"].value).startswith("e.g. ")
        assert all(cell.comment is not None for cell in sheet[1])
        assert sheet.freeze_panes is not None
        assert sheet.sheet_state == "visible"
    cuts = book["Cuts"]
    lists = {str(rule.sqref): rule.formula1 for rule in cuts.data_validations.dataValidation}
    assert lists[f"{column(cuts, 'feature')}2:{column(cuts, 'feature')}2000"] == "='Features'!$B$2:$B$2000"
    assert lists[f"{column(cuts, 'cutter')}2:{column(cuts, 'cutter')}2000"] == "='Cutters'!$A$2:$A$2000"
    assert "milling" in lists[f"{column(cuts, 'process')}2:{column(cuts, 'process')}2000"]
    assert cuts.column_dimensions[column(cuts, "bar modulus")].hidden
    assert not cuts.column_dimensions[column(cuts, "depth (mm)")].hidden


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (put("Cuts", "depth (mm)", 3, "3 kg"),
         ('Cuts!H3, lines.flange.operations[Op 20].strokes[finish].cuts[finish].depth: "3 kg" is a mass; '
          'a length such as "3 mm" was expected')),
        (put("Cuts", "depth (mm)", 2, -1), "depth: -1 is too small; it must be above 0 mm"),
        (put("Cuts", "cutter", 2, "rough mil"), 'Cuts!F2, '),
        (put("Cuts", "cutter", 2, "rough mil"), 'Did you mean "rough mill"?'),
        (put("Cuts", "process", 2, "miling"), 'Cuts!G2, '),
        (put("Cuts", "operation", 2, "Op 11"), 'Cuts!B2: "Op 11" is no operation of the sheet Operations'),
        (put("Cuts", "operation", 2, "Op 11"), 'Did you mean "Op 10"?'),
        (put("Cuts", "cut", 2, None), "Cuts!D2: missing; the name of the cut was expected"),
        (put("Cuts", "depth (mm)", 1, "depht (mm)"), 'Cuts!H1: there is no column "depht (mm)" on this sheet'),
        (put("Cuts", "depth (mm)", 1, "depht (mm)"), 'Did you mean "depth"?'),
        (put("Cuts", "depth (mm)", 1, "depth (kg)"), "Cuts!H1: the unit of this heading does not fit"),
        (put("Cutters", "price (EUR)", 1, "price (USD)"), "is in USD, but this scenario is in EUR"),
        (put("Operations", "scrap chance", 1, "scrap chance (%)"), 'the unit "%" was found'),
        (put("Operations", "operation", 3, "Op 10"), '!B3: "Op 10" is given twice, here and in Operations!B2'),
        (put("Cutters", "change (min)", 2, "1,250"), 'Cutters!P2: "1,250" may mean a thousand and more'),
        (put("Works", "value", 3, None), "Works!B3: the name is missing"),
        (put("Works", "entry", 4, "currancy"), "Works!A4"),
    ],
)  # fmt: skip
def test_an_error_names_sheet_and_cell(smallest: Works, edit: Edit, words: str) -> None:
    assert words in fault(edited(smallest, edit))


def test_errors_of_cells_come_in_the_order_of_the_sheets_rows_and_columns(smallest: Works) -> None:
    wrong = [
        ("Cutters", "diameter (mm)", 2),
        ("Cuts", "feed (mm)", 3),
        ("Cuts", "width (mm)", 2),
        ("Cuts", "depth (mm)", 2),
    ]
    edits = [put(title, heading, row, "no figure") for title, heading, row in wrong]
    cells = re.findall(r"my-line.xlsx, (\w+![A-Z]+\d+)", fault(edited(smallest, *edits)))
    assert cells == ["Cuts!H2", "Cuts!L2", "Cuts!J3", "Cutters!D2"]


@pytest.mark.parametrize(
    ("typed", "depth_mm"),
    [("3,5", 3.5), ("3,5 mm", 3.5), ("0,125 in", 3.175), ("3.5", 3.5), ("0.125 in", 3.175), (2, 2.0), ("4 mm", 4.0)],
)
def test_a_figure_may_be_typed_in_several_ways(smallest: Works, typed: Any, depth_mm: float) -> None:
    works = read(edited(smallest, put("Cuts", "depth (mm)", 2, typed)))
    cut = works.lines["flange"].operations["Op 10"].strokes["rough"].cuts["rough"]
    assert cut.depth == depth_mm


@given(st.floats(min_value=0, max_value=999, allow_nan=False).map(lambda value: f"{value:.4f}"))
def test_a_decimal_comma_means_a_point(figure: str) -> None:
    assert with_point(figure.replace(".", ",")) == figure


def test_the_unit_of_a_heading_counts_for_its_figures(smallest: Works) -> None:
    works = read(edited(
        smallest, put("Cuts", "depth (mm)", 1, "Depth [in]"), put("Cuts", "Depth [in]", 2, 0.125),
        put("Cuts", "Depth [in]", 3, "0,5 mm"), put("Cutters", "change (min)", 1, "change (s)"),
        put("Cutters", "change (s)", 2, 90), put("Cutters", "change (s)", 3, 60),
    ))  # fmt: skip
    operations = works.lines["flange"].operations
    assert operations["Op 10"].strokes["rough"].cuts["rough"].depth == 3.175
    assert operations["Op 20"].strokes["finish"].cuts["finish"].depth == 0.5
    assert [cutter.change.fixed for cutter in works.cutters.values()] == [1.5, 1.0]


def test_rows_of_notes_and_examples_and_the_name_of_the_only_line_may_be_left_out(smallest: Works) -> None:
    cells = edited(
        smallest, put("Cuts", "line", 2, None), put("Cuts", "line", 3, ""),
        put("Cuts", "bar modulus", 1, "Note of mine"), put("Cuts", "Note of mine", 2, "ask the maker"),
    )  # fmt: skip
    cells["Cuts"].append(["e.g. flange", "Op 77", "x", "y"])
    cells["Notes"] = [["anything"]]
    assert read(cells) == smallest


def test_a_sheet_with_a_wrong_name_is_not_passed_over_in_silence(smallest: Works) -> None:
    cells = grids(smallest)
    cells["Guages"] = cells.pop("Gauges")
    said = fault(cells)
    assert 'Guages!A1: there is no sheet "Guages" in a scenario' in said
    assert 'Did you mean "Gauges"?' in said


def test_a_file_of_text_extends_a_workbook(smallest: Works, content: bytes, tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(content)
    (tmp_path / "more.yaml").write_text(f"extends: {NAME}\nrun: {{seed: 8}}\n")
    assert load_works(tmp_path / NAME) == smallest
    assert load_works(tmp_path / "more.yaml").run.seed == 8


def rezipped(content: bytes, parts: dict[str, bytes]) -> bytes:
    """A workbook with other parts in it."""
    copy = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(copy, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            if name not in parts:
                new.writestr(name, old.read(name))
        for name, part in parts.items():
            new.writestr(name, part)
    return copy.getvalue()


def sheet_of(cells: str) -> bytes:
    return (
        '<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        f"<sheetData>{cells}</sheetData></worksheet>"
    ).encode()


BOMB = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]><x>&b;</x>'
FIRST = "xl/worksheets/sheet1.xml"
ROWS = "".join(f'<row r="{row}"><c r="A{row}"><v>1</v></c></row>' for row in range(1, 300_000))
LIES = sheet_of('<row r="1"><c r="A1"><v>1</v></c></row>').replace(
    b"<sheetData>", b'<dimension ref="A1:XFD1048576"/><sheetData>'
)


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({FIRST: b" " * 60_000_000}, "unpacked this workbook has more than 24 MB"),
        ({"xl/vbaProject.bin": b"x"}, "this workbook holds macros or controls, which are not read"),
        ({"xl/externalLinks/externalLink1.xml": b"<x/>"}, "takes figures from other workbooks"),
        ({FIRST: BOMB}, "defines texts of its own"),
        ({"xl/sharedStrings.xml": BOMB}, "defines texts of its own"),
        ({FIRST: BOMB.decode().encode("utf-16")}, "defines texts of its own"),
        ({FIRST: sheet_of(ROWS)}, "more than 200000 cells|stands beyond 25000 rows"),
        ({FIRST: sheet_of('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>')}, "stands beyond 25000 rows"),
        ({FIRST: sheet_of('<row r="1"><c r="A1"><f>1+1</f></c></row>')}, "Read me'!A1: a formula without a value"),
        ({FIRST: sheet_of('<row r="1"><c r="A1" t="e"><f>1/0</f><v>#DIV/0!</v></c></row>')}, '"#DIV/0!" was found'),
        ({FIRST: b"<worksheet><unclosed"}, "a part of this workbook cannot be read"),
        ({"xl/workbook.xml": b"<x/>"}, "cannot be read"),
        ({f"xl/worksheets/x{number}.xml": b"<x/>" for number in range(400)}, "parts are in this file"),
    ],
)  # fmt: skip
def test_a_hostile_workbook_is_refused_soon_and_in_words(content: bytes, parts: dict[str, bytes], words: str) -> None:
    hostile = rezipped(content, parts)
    with without_holding_up():
        assert re.search(words, fault_of_file(hostile))


def test_shared_texts_that_would_fill_the_memory_are_refused(content: bytes) -> None:
    text = f"<sst><si><t>{'x' * 30_000}</t></si></sst>".encode()
    cells = "".join(f'<row r="{row}"><c r="A{row}" t="s"><v>0</v></c></row>' for row in range(1, 2000))
    hostile = rezipped(content, {"xl/sharedStrings.xml": text, FIRST: sheet_of(cells)})
    assert "4000000 signs" in fault_of_file(hostile)


def test_a_false_claim_of_size_does_no_harm(smallest: Works, content: bytes) -> None:
    assert works_from_bytes(rezipped(content, {FIRST: LIES}), NAME) == smallest


@pytest.mark.parametrize("sent", [b"", b"PK\x03\x04", b"not a zip", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" * 99])
def test_what_is_no_workbook_is_refused_in_words(sent: bytes) -> None:
    assert "was expected" in fault_of_file(sent)


@pytest.mark.parametrize("ending", ["xlsm", "xls", "ods"])
def test_other_sheets_are_asked_for_as_workbooks(ending: str) -> None:
    assert "save it as .xlsx" in fault_of_file(b"x", f"line.{ending}")


def test_a_damaged_workbook_never_gives_a_traceback(smallest: Works, content: bytes) -> None:
    assert works_from_bytes(content, NAME) == smallest
    for at in range(0, len(content), len(content) // 40):
        damaged = content[:at] + b"\xff\x00\xff" + content[at + 3 :]
        with contextlib.suppress(ScenarioError):
            works_from_bytes(damaged, NAME)
