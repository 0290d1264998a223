"""The cells of a sheet are counted before any is read: how many, how far out, how long; formulas need their values."""

from __future__ import annotations

import re
from typing import Any
from xml.parsers import expat

from linesim.errors import Cell, Problem, ScenarioError, quoted
from linesim.works.book.spots import column_letters
from linesim.works.yaml_tree import refused_at

__all__ = ["Strings", "check_sheet", "sheet_titles"]

_MOST_CELLS = 200_000
_MOST_ROWS, _MOST_COLUMNS = 25_000, 1_000
_MOST_SIGNS = 4_000_000
_SAVE = "Open the workbook in a spreadsheet program and save it, or put the value in place of the formula."
_REFERENCE = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")


class Strings:
    """The texts that cells share, and how many signs and cells all sheets together have.

    Parameters
    ----------
    shown : str
        What to call the workbook in errors.
    """

    def __init__(self, shown: str) -> None:
        self.shown = shown
        self.lengths: list[int] = []
        self.signs = 0
        self.cells = 0
        self._length = 0

    def read(self, part: bytes) -> None:
        """Note the length of every text."""
        parser = _parser()
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._more
        parser.Parse(part, True)

    def take(self, signs: int) -> None:
        """Count a cell and its signs, and refuse more than a scenario has."""
        self.cells += 1
        self.signs += signs
        if self.cells > _MOST_CELLS or self.signs > _MOST_SIGNS:
            text = f"more than {_MOST_CELLS} cells, or {_MOST_SIGNS} signs in them; a scenario was expected"
            raise refused_at(self.shown, None, text, "Clear rows and sheets that are not needed.")

    def _start(self, name: str, _: dict[str, str]) -> None:
        if _local(name) == "si":
            self._length = 0

    def _more(self, text: str) -> None:
        self._length += len(text)

    def _end(self, name: str) -> None:
        if _local(name) == "si":
            self.lengths.append(self._length)


def check_sheet(part: bytes, title: str, strings: Strings) -> None:
    """Look through one sheet.

    Parameters
    ----------
    part : bytes
        Its XML, without a document type.
    title : str
        Its name.
    strings : Strings
        What all sheets share.

    Raises
    ------
    ScenarioError
        Too many cells or signs, a cell too far out, a formula without a value or with an error for one.
    """
    cells = _Cells(strings, title)
    parser = _parser()
    parser.StartElementHandler, parser.EndElementHandler = cells.start, cells.end
    parser.CharacterDataHandler = cells.more
    parser.Parse(part, True)


def sheet_titles(workbook: bytes, links: bytes) -> dict[str, str]:
    """Return the names of the sheets by the parts of the file that they are in.

    Parameters
    ----------
    workbook, links : bytes
        XML of the part that lists the sheets, and of the one that says where they are.
    """
    names, parts = {}, {}
    for tag, given in _elements(workbook):
        if tag == "sheet":
            names[next((value for key, value in given.items() if _local(key) == "id"), "")] = given.get("name", "")
    for tag, given in _elements(links) if links else ():
        if tag == "Relationship":
            parts[given.get("Id", "")] = given.get("Target", "")
    inside = {key: target.removeprefix("/xl/").removeprefix("/") for key, target in parts.items()}
    return {f"xl/{target}": names[key] for key, target in inside.items() if key in names}


def _elements(part: bytes) -> list[tuple[str, dict[str, str]]]:
    """Return the elements of a small part, with what is given with each."""
    elements: list[tuple[str, dict[str, str]]] = []
    parser = _parser()
    parser.StartElementHandler = lambda name, given: elements.append((_local(name), given))
    parser.Parse(part, True)
    return elements


class _Cells:
    """The cells of one sheet, as its XML goes by."""

    def __init__(self, strings: Strings, title: str) -> None:
        self.strings, self.title = strings, title
        self.row, self.column = 0, 0
        self.kind = ""
        self.has_formula, self.is_in_value = False, False
        self.text: list[str] = []
        self.signs = 0

    def start(self, name: str, given: dict[str, str]) -> None:
        """Note what begins."""
        local = _local(name)
        if local == "row":
            self.row = int(given["r"]) if given.get("r", "").isdecimal() else self.row + 1
            self.column = 0
        elif local == "c":
            self._begin(given)
        elif local == "f":
            self.has_formula = True
        elif local in ("v", "t"):
            self.is_in_value = True

    def more(self, text: str) -> None:
        """Take in what stands within a cell's value."""
        if self.is_in_value:
            self.signs += len(text)
            if self.kind in ("s", "e") and self.signs <= 12:
                self.text.append(text)

    def end(self, name: str) -> None:
        """Check a cell as it ends."""
        local = _local(name)
        if local in ("v", "t"):
            self.is_in_value = False
        elif local == "c":
            self._finish()

    def _begin(self, given: dict[str, str]) -> None:
        """Note where a cell stands."""
        match = _REFERENCE.fullmatch(given.get("r", ""))
        if match:
            self.row, self.column = int(match[2]), _column(match[1])
        else:
            self.column += 1
        self.kind = given.get("t", "")
        self.has_formula = False
        self.text, self.signs = [], 0

    def _finish(self) -> None:
        """Count a cell in which something stands."""
        if self.has_formula and not self.signs and self.kind != "str":
            raise self._refused("a formula without a value was found; a value was expected", _SAVE)
        if not self.signs:
            return
        if self.kind == "e":
            raise self._refused(f"{quoted(''.join(self.text))} was found; a value was expected", "Mend the formula.")
        if self.row > _MOST_ROWS or self.column > _MOST_COLUMNS:
            bounds = f"{_MOST_ROWS} rows and {_MOST_COLUMNS} columns"
            raise self._refused(f"this cell stands beyond {bounds}; a scenario was expected", "Clear it.")
        at = "".join(self.text)
        is_shared = self.kind == "s" and at.isdecimal() and int(at) < len(self.strings.lengths)
        self.strings.take(self.strings.lengths[int(at)] if is_shared else self.signs)

    def _refused(self, text: str, hint: str) -> ScenarioError:
        """Return the error at the cell under way."""
        reference = f"{column_letters(max(self.column, 1) - 1)}{self.row}"
        return ScenarioError([Problem(self.strings.shown, Cell(self.title, reference, 1), "", text, hint)])


def _parser() -> Any:
    """Return a parser that takes no names from elsewhere."""
    parser = expat.ParserCreate()
    parser.buffer_text = True
    return parser


def _local(name: str) -> str:
    """Return the name of an element without its prefix."""
    return name.rpartition(":")[2]


def _column(letters: str) -> int:
    """Return the number of a column, from 1."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number
