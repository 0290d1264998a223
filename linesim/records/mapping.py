"""Which heading of a file means what: a small file in YAML that a person has confirmed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from linesim.errors import Problem, ScenarioError, hint_at, listed, quoted
from linesim.records.cells import DoubtError, Writing, factor
from linesim.records.kinds import KINDS, Kind
from linesim.works.nodes import Node
from linesim.works.reading import Allowance, file_content, read_text

__all__ = ["FileMapping", "Heading", "load_mapping", "mapping_text", "read_mapping"]

_DECIMALS = {"point": ".", "comma": ","}
_DATES = ("day first", "month first", "year first")
_ENTRIES = ("file", "sheet", "record", "decimal", "dates", "columns", "words", "for all")


@dataclass(frozen=True)
class Heading:
    """Where a column is read from.

    Attributes
    ----------
    heading : str
        As the file has it.
    unit : str
        Of its figures, unless a cell says otherwise; the column's own unless given.
    """

    heading: str
    unit: str = ""


@dataclass(frozen=True)
class FileMapping:
    """How one file, or one sheet of a workbook, is read.

    Attributes
    ----------
    file : str
        Its path from the folder of the mapping.
    kind : Kind
        What it records.
    columns : mapping of str to Heading
        Where each column is read from.
    sheet : str
        Sheet of a workbook.
    writing : Writing
        How it writes figures and dates.
    words : mapping of str to str
        What its words mean, by the word in small letters.
    for_all : mapping of str to object
        Values that hold for all rows.
    remarks : tuple of str
        What a guess was not sure of.
    """

    file: str
    kind: Kind
    columns: Mapping[str, Heading]
    sheet: str = ""
    writing: Writing = field(default_factory=Writing)
    words: Mapping[str, str] = field(default_factory=dict)
    for_all: Mapping[str, Any] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()

    @property
    def shown(self) -> str:
        """The file, and its sheet if it has one."""
        return f"{self.file} ({self.sheet})" if self.sheet else self.file


def read_mapping(text: str, shown: str) -> list[FileMapping]:
    """Read a mapping.

    Parameters
    ----------
    text : str
        YAML, from anyone.
    shown : str
        What to call it in errors.

    Raises
    ------
    ScenarioError
        It is none; all that is wrong with it.
    """
    problems: list[Problem] = []
    top = read_text(text, shown, problems)
    files = top.get("records")
    if files is None or not isinstance(files.value, list) or not files.value:
        problems.append(
            Problem(
                shown,
                top.line,
                "records",
                "a list of files was expected",
                "linesim records FILE --guess records.yaml writes one.",
            )
        )
        raise ScenarioError(problems)
    mappings = [_Entry(node, f"records[{at}]", problems).mapping() for at, node in enumerate(files.value, start=1)]
    if problems:
        raise ScenarioError(problems)
    return [mapping for mapping in mappings if mapping is not None]


class _Entry:
    """One file of a mapping as it is checked."""

    def __init__(self, node: Node, path: str, problems: list[Problem]) -> None:
        self.node, self.path, self.problems = node, path, problems

    def wrong(self, node: Node, name: str, text: str, hint: str = "") -> None:
        """Note what is wrong."""
        self.problems.append(Problem(node.file, node.line, f"{self.path}.{name}" if name else self.path, text, hint))

    def mapping(self) -> FileMapping | None:
        """Return the entry, or None if it cannot be used at all."""
        if not isinstance(self.node.value, dict):
            self.wrong(self.node, "", "entries such as file: and columns: were expected")
            return None
        for name in self.node.value:
            if name not in _ENTRIES:
                self.wrong(
                    self.node.value[name],
                    name,
                    f"this is no entry; one of {listed(_ENTRIES)} was expected",
                    hint_at(name, _ENTRIES),
                )
        name = self.one_of("record", tuple(KINDS), "")
        file = self.text("file", needed=True)
        if not name or not file:
            return None
        kind = KINDS[name]
        writing = Writing(
            _DECIMALS[self.one_of("decimal", tuple(_DECIMALS), "point")], self.one_of("dates", _DATES, "year first")
        )
        return FileMapping(
            file, kind, self.columns(kind), self.text("sheet"), writing, self.words(kind), self.for_all(kind)
        )

    def text(self, name: str, *, needed: bool = False) -> str:
        """Return an entry that is a text."""
        node = self.node.get(name)
        if node is None or not isinstance(node.value, str) or not node.value:
            if needed or node is not None:
                self.wrong(node or self.node, name, "a name was expected")
            return ""
        return node.value

    def one_of(self, name: str, known: tuple[str, ...], usual: str) -> str:
        """Return an entry that is one of a few words."""
        node = self.node.get(name)
        if node is None and usual:
            return usual
        value = None if node is None else node.value
        if value not in known:
            self.wrong(
                node or self.node,
                name,
                f"{quoted(value)} was read; one of {listed(known)} was expected",
                hint_at(str(value), known),
            )
            return usual
        return str(value)

    def group(self, name: str) -> dict[str, Node]:
        """Return an entry that is a group of entries."""
        node = self.node.get(name)
        if node is not None and not isinstance(node.value, dict):
            self.wrong(node, name, "a group of entries was expected")
        return node.value if node is not None and isinstance(node.value, dict) else {}

    def columns(self, kind: Kind) -> dict[str, Heading]:
        """Return where the columns are read from."""
        known = [column.name for column in kind.columns]
        columns = {}
        for name, node in self.group("columns").items():
            if name not in known:
                self.wrong(
                    node,
                    f"columns.{name}",
                    f"{kind.name} have no such column; one of {listed(known)} was expected",
                    hint_at(name, known),
                )
                continue
            columns[name] = self.heading(name, node, kind)
        given = {*columns, *self.group("for all")}
        for group in kind.needed:
            if not given & set(group):
                self.wrong(self.node, "columns", f"{' or '.join(group)} is missing, which {kind.name} need")
        return columns

    def heading(self, name: str, node: Node, kind: Kind) -> Heading:
        """Return where one column is read from."""
        plain = node.plain()
        entry = {"heading": plain} if isinstance(plain, (str, int, float)) and not isinstance(plain, bool) else plain
        if not isinstance(entry, dict) or not {"heading"} <= entry.keys() <= {"heading", "unit"}:
            self.wrong(node, f"columns.{name}", "a heading, or {heading: ..., unit: ...}, was expected")
            return Heading("")
        unit = str(entry.get("unit") or "")
        try:
            factor(unit, kind.column(name).unit)
        except DoubtError as doubt:
            self.wrong(node, f"columns.{name}", str(doubt))
        return Heading(str(entry["heading"]), unit)

    def words(self, kind: Kind) -> dict[str, str]:
        """Return what words mean."""
        known = [word for column in kind.columns for word in column.words]
        words = {}
        for name, node in self.group("words").items():
            if node.value not in known:
                self.wrong(
                    node, f"words.{name}", f"{quoted(node.plain())} was read; one of {listed(known)} was expected"
                )
            words[name.casefold()] = str(node.value)
        return words

    def for_all(self, kind: Kind) -> dict[str, Any]:
        """Return values that hold for all rows."""
        known = [column.name for column in kind.columns]
        group = self.group("for all")
        for name, node in group.items():
            if name not in known:
                self.wrong(
                    node,
                    f"for all.{name}",
                    f"{kind.name} have no such column; one of {listed(known)} was expected",
                    hint_at(name, known),
                )
        return {name: node.plain() for name, node in group.items()}


def mapping_text(mappings: list[FileMapping]) -> str:
    """Write mappings down, for a person to look through."""
    entries = [_entry(mapping) for mapping in mappings]
    remarks = [f"# {mapping.shown}: {remark}\n" for mapping in mappings for remark in mapping.remarks]
    head = "# How the shop's records are read. A guess: look it through, mend it, then: linesim records THIS FILE\n"
    return (
        head + "".join(remarks) + yaml.safe_dump({"records": entries}, sort_keys=False, allow_unicode=True, width=110)
    )


def _entry(mapping: FileMapping) -> dict[str, Any]:
    """One file as plain entries."""
    columns = {
        name: {"heading": column.heading, "unit": column.unit} if column.unit else column.heading
        for name, column in mapping.columns.items()
    }
    decimals = {sign: name for name, sign in _DECIMALS.items()}
    entry: dict[str, Any] = {"file": mapping.file}
    entry |= {"sheet": mapping.sheet} if mapping.sheet else {}
    entry |= {"record": mapping.kind.name, "decimal": decimals[mapping.writing.decimal], "dates": mapping.writing.dates}
    entry |= {"columns": columns}
    entry |= {"words": dict(mapping.words)} if mapping.words else {}
    return entry | ({"for all": dict(mapping.for_all)} if mapping.for_all else {})


def load_mapping(path: Path) -> list[FileMapping]:
    """Read a mapping from its file; see `read_mapping`."""
    content = file_content(path, str(path), Allowance())
    return read_mapping(content.decode("utf-8", errors="replace"), str(path))
