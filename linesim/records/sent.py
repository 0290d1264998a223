"""Records that a user sends: looked through for what they are, and read by the mapping that was confirmed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from linesim.errors import LinesimError, ScenarioError
from linesim.records.cells import is_missing
from linesim.records.guess import columns_guessed, guessed, meaning_of
from linesim.records.kinds import KINDS
from linesim.records.mapping import FileMapping, Heading
from linesim.records.reading import Records, latest_looks, read_table
from linesim.records.tables import Table, cells_under, sheets_in, table_in

__all__ = ["MOST_ROWS", "SentTable", "look_through", "read_all"]

MOST_ROWS = 50_000
"""Of all files together; a shop of ten machines writes as many within some years."""
_MOST_TABLES = 24
_MOST_HEADINGS = 60
_MOST_WORDS = 40
_SAMPLED = 2000


@dataclass(frozen=True)
class SentTable:
    """One table in a file that was sent.

    Attributes
    ----------
    file, shown : str
        The file; the same with its sheet.
    mapping : FileMapping or None
        What it is taken for; None if it cannot be read.
    headings : tuple of str
        Of the table.
    first : mapping of str to str
        What the first filled cell under each heading says.
    words : mapping of str to tuple of str
        The different cells under each heading, in small letters, where there are few.
    columns : mapping of str to mapping of str to Heading
        By kind of record, which heading would be which column.
    rows : int
        How many.
    reason : str
        Why it cannot be read; empty if it can.
    remarks : tuple of str
        What has to be known of the file.
    """

    file: str
    shown: str
    mapping: FileMapping | None
    headings: tuple[str, ...] = ()
    first: Mapping[str, str] | None = None
    words: Mapping[str, tuple[str, ...]] | None = None
    columns: Mapping[str, Mapping[str, Heading]] | None = None
    rows: int = 0
    reason: str = ""
    remarks: tuple[str, ...] = ()

    def as_kind(self, name: str) -> FileMapping:
        """The guess of the mapping, taken for another kind of record."""
        assert self.mapping is not None
        kind, words = KINDS[name], self.words or {}
        columns = dict((self.columns or {}).get(name, {}))
        known = [(column.words, columns[column.name].heading) for column in kind.columns if column.name in columns]
        meant = {cell: meaning_of(cell, of) for of, heading in known if of for cell in words.get(heading, ())}
        own = {cell: word for cell, word in meant.items() if word is not None and word != cell}
        return replace(self.mapping, kind=kind, columns=columns, words=own, for_all={}, remarks=())


def look_through(files: Mapping[str, bytes]) -> list[SentTable]:
    """Say of every table of files what it is taken for, or why it cannot be read.

    Parameters
    ----------
    files : mapping of str to bytes
        Contents by name, from anyone.
    """
    tables = [table for name, content in files.items() for table in _tables(name, content)]
    return tables[:_MOST_TABLES]


def _tables(name: str, content: bytes) -> list[SentTable]:
    try:
        sheets = sheets_in(content, name)
    except LinesimError as error:
        return [SentTable(name, name, None, reason=_reason(error))]
    if not sheets:
        return [SentTable(name, name, None, reason="it has no sheet with rows of records")]
    return [_table(name, content, sheet) for sheet in sheets[:_MOST_TABLES]]


def _table(name: str, content: bytes, sheet: str) -> SentTable:
    shown = f"{name} ({sheet})" if sheet else name
    try:
        table = table_in(content, name, sheet)
    except LinesimError as error:
        return SentTable(name, shown, None, reason=_reason(error))
    try:
        mapping, reason = guessed(table, name, sheet), ""
    except LinesimError as error:
        mapping, reason = FileMapping(name, next(iter(KINDS.values())), {}, sheet), _reason(error)
    headings = tuple(dict.fromkeys(heading for heading in table.headings if heading))[:_MOST_HEADINGS]
    first = {heading: _first(table, heading) for heading in headings}
    words = {heading: cells for heading in headings if (cells := _words(table, heading))}
    columns = {name: columns_guessed(table, kind) for name, kind in KINDS.items()}
    return SentTable(name, shown, mapping, headings, first, words, columns, len(table.rows), reason, table.remarks)


def _reason(error: LinesimError) -> str:
    """An error without the name of the file, which stands beside it."""
    if isinstance(error, ScenarioError) and error.problems:
        return "; ".join(f"{each.text} {each.hint}".strip() for each in error.problems[:4])
    return str(error)


def _first(table: Table, heading: str) -> str:
    cell = next((cell for cell in cells_under(table, heading) if not is_missing(cell)), None)
    return "" if cell is None else f"{cell:g}" if isinstance(cell, float) else " ".join(str(cell).split())[:60]


def _words(table: Table, heading: str) -> tuple[str, ...]:
    """The different texts under a heading as a mapping knows them; nothing where there are many, or figures."""
    cells = (
        cell for _, cell in zip(range(_SAMPLED), cells_under(table, heading), strict=False) if not is_missing(cell)
    )
    distinct = tuple(dict.fromkeys(" ".join(str(cell).split()).casefold()[:100] for cell in cells))
    return distinct if len(distinct) <= _MOST_WORDS else ()


def read_all(files: Mapping[str, bytes], mappings: Sequence[FileMapping]) -> Records:
    """Read files by their mappings.

    Parameters
    ----------
    files : mapping of str to bytes
        Contents by name.
    mappings : sequence of FileMapping
        One for each table that is to be read.

    Raises
    ------
    ScenarioError
        A file has not the headings that a mapping names, or there are more rows than a page takes on.
    """
    every = Records()
    for mapping in mappings:
        every += read_table(table_in(files[mapping.file], mapping.file, mapping.sheet), mapping)
        if len(every.rows) > MOST_ROWS:
            raise ScenarioError.plain(
                f"more than {MOST_ROWS} rows of records; part them by year or machine, or use linesim records"
            )
    return latest_looks(every)
