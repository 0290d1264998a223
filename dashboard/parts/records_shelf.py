"""The records that a user has sent: taken in, looked through, given back; they stay at the desk until taken away."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboard.desk import Desk
from dashboard.parts.guard import tell
from dashboard.parts.sent import read_sent, take_sent
from linesim.errors import LinesimError, ScenarioError
from linesim.records.mapping import FileMapping
from linesim.records.sent import SentTable
from linesim.records.templates import templates
from linesim.report.theme.safe import in_markdown, short
from linesim.works import Works

__all__ = ["Asked", "Shelf", "shelf_of", "take_in", "templates_offered"]

MOST_MB = 8
"""Of all files at one desk."""

_MOST_FILES = 12
_SHELF, _TURN, _FAULTS = "records", "records upload", "faults of records"
_LOOK = "linesim.records.sent:look_through"
_TYPES = ["csv", "txt", "tsv", "xlsx", "xlsm", "parquet", "xml"]


@dataclass(frozen=True)
class Asked:
    """What was confirmed: how the files are read, and the scenario whose handbook helps out.

    Attributes
    ----------
    mappings : tuple of FileMapping
        One for each table.
    works : Works
        As it stood on the desk then: figures that come from these records do not enter their own fit.
    key : str
        Of files and mappings.
    """

    mappings: tuple[FileMapping, ...]
    works: Works
    key: str


@dataclass
class Shelf:
    """Records at one desk.

    Attributes
    ----------
    files : dict of str to bytes
        Contents by name.
    tables : list of SentTable
        What they hold.
    mappings : dict of str to FileMapping
        As the user has them now, by table.
    left_out : set of str
        Tables that are not read.
    asked : Asked or None
        What was confirmed last.
    """

    files: dict[str, bytes] = field(default_factory=dict)
    tables: list[SentTable] = field(default_factory=list)
    mappings: dict[str, FileMapping] = field(default_factory=dict)
    left_out: set[str] = field(default_factory=set)
    asked: Asked | None = None

    def add(self, name: str, content: bytes, tables: Sequence[SentTable]) -> None:
        """Put a file on the shelf."""
        self.take_away(name)
        self.files[name] = content
        self.tables += tables
        self.mappings |= {table.shown: table.mapping for table in tables if table.mapping is not None}

    def take_away(self, name: str) -> None:
        """Take a file off the shelf."""
        self.files.pop(name, None)
        own = {table.shown for table in self.tables if table.file == name}
        self.tables = [table for table in self.tables if table.shown not in own]
        self.mappings = {shown: mapping for shown, mapping in self.mappings.items() if shown not in own}
        self.left_out -= own

    def ask(self, works: Works) -> None:
        """Confirm the mappings as they stand."""
        mappings = tuple(each for shown, each in self.mappings.items() if shown not in self.left_out)
        key = hashlib.sha256(repr(mappings).encode("utf-8", "replace"))
        for name in sorted({each.file for each in mappings}):
            key.update(hashlib.sha256(self.files[name]).digest())
        self.asked = Asked(mappings, works, key.hexdigest())


def shelf_of(desk: Desk) -> Shelf:
    """The records at a desk."""
    shelf: Shelf = desk.choices.setdefault(_SHELF, Shelf())
    return shelf


def take_in(desk: Desk, shelf: Shelf) -> None:
    """Take files in, list those that are there, and say what was wrong with others.

    Parameters
    ----------
    desk : Desk
        Whose they are.
    shelf : Shelf
        Where they go.
    """
    turn = st.session_state.get(_TURN, 0)
    sent = st.file_uploader(
        "Your records: CSV, workbooks, Parquet, MTConnect (XML); several at once", _TYPES, accept_multiple_files=True,
        max_upload_size=MOST_MB, key=f"{_TURN} {turn}",
    )  # fmt: skip
    if sent:
        faults = [fault for each in sent if (fault := _take(desk, shelf, each)) is not None]
        st.session_state[_FAULTS] = faults
        st.session_state[_TURN] = turn + 1
        st.rerun()
    for fault in st.session_state.get(_FAULTS, []):
        tell(fault)
    if shelf.files:
        with st.container(horizontal=True):
            for number, name in enumerate(list(shelf.files)):
                words = f"Take away {in_markdown(short(name, 40))}"
                if st.button(words, key=f"away {number}", help="The file leaves this desk; its figures stay in use"):
                    shelf.take_away(name)
                    st.rerun()


def _take(desk: Desk, shelf: Shelf, sent: UploadedFile) -> LinesimError | None:
    """Take one file in; what is wrong with it, if anything is."""
    shown = short(sent.name, 80)
    try:
        content = take_sent(desk, sent)
        size = len(content) + sum(len(each) for name, each in shelf.files.items() if name != shown)
        if size > MOST_MB * 2**20 or len({*shelf.files, shown}) > _MOST_FILES:
            return ScenarioError.plain(
                f"{shown}: a desk takes {_MOST_FILES} files of {MOST_MB} MB together; take others away first, or use "
                "linesim records"
            )
        tables = read_sent(desk, _LOOK, shown, files={shown: content})
    except LinesimError as error:
        return error
    bad = [table for table in tables if table.mapping is None]
    if len(bad) == len(tables):
        return ScenarioError.plain("; ".join(f"{table.shown}: {table.reason}" for table in bad))
    shelf.add(shown, content, tables)
    return None


def templates_offered() -> None:
    """Empty files to fill in, one for each kind of record."""
    with st.popover("Empty files to fill in", key="templates"):
        for name, text in templates().items():
            st.download_button(name, text, name, "text/csv", key=f"template {name}", on_click="ignore")
