"""A recorded document of MTConnect, the open standard, becomes tables with headings of our own.

Source of the vocabulary: MTConnect standard, observation and asset information model (model.mtconnect.org, 2.0 to 2.7).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from linesim.errors import listed, quoted
from linesim.records.mtconnect_assets import Assets
from linesim.records.mtconnect_streams import Streams
from linesim.records.xml_guarded import Visitor, walk
from linesim.works.yaml_tree import refused_at

__all__ = ["Document", "document_in"]

_ASK = (
    'Record the agent\'s answers to "sample" (with from and count) for stops and counts, or to "assets" for tool lives.'
)
_OTHERS = {
    "MTConnectDevices": "this describes machines (MTConnect Devices) and holds no records of them",
    "MTConnectError": "this is an agent's word of an error (MTConnect Error) and holds no records",
}


@dataclass(frozen=True)
class Document:
    """What a document holds.

    Attributes
    ----------
    sheets : mapping of str to list of rows
        The first row of each has its headings.
    unread : mapping of str to list of rows
        Sheets that no kind of record takes; to be had by name.
    remarks : tuple of str
        Which document it is, and what in it could not serve.
    """

    sheets: Mapping[str, Sequence[Sequence[Any]]]
    unread: Mapping[str, Sequence[Sequence[Any]]]
    remarks: tuple[str, ...]


class _Root:
    """Sees which document it is, and hands it to who reads it."""

    def __init__(self, shown: str) -> None:
        self.shown = shown
        self.reader: Streams | Assets | None = None

    def begin(self, path: tuple[str, ...], attributes: Mapping[str, str]) -> None:
        """Choose a reader at the first element."""
        if self.reader is None:
            self.reader = self.reader_of(path[0])
        self.reader.begin(path, attributes)

    def end(self, path: tuple[str, ...], text: str) -> None:
        """Hand on."""
        if self.reader is not None:
            self.reader.end(path, text)

    def reader_of(self, name: str) -> Streams | Assets:
        """Who reads a document of this name."""
        if name == "MTConnectStreams":
            return Streams(self.shown)
        if name == "MTConnectAssets":
            return Assets(self.shown)
        text = f"{quoted(name)} is no document of MTConnect that holds records; Streams or Assets were expected"
        raise refused_at(self.shown, None, _OTHERS.get(name, text), _ASK)


@lru_cache(maxsize=1)
def document_in(content: bytes, shown: str) -> Document:
    """Read a document.

    Parameters
    ----------
    content : bytes
        The file, from anyone.
    shown : str
        What to call it in errors.

    Raises
    ------
    ScenarioError
        It is none, or holds nothing that serves.
    """
    root = _Root(shown)
    visitor: Visitor = root
    walk(content, shown, visitor)
    assert root.reader is not None
    sheets, unread, remarks = root.reader.answer()
    if not sheets:
        text = f"{remarks[0]}; there is nothing in it that a kind of record takes"
        more = f" (only {listed(unread)})" if unread else ""
        raise refused_at(shown, None, text + more, _ASK)
    return Document(sheets, unread, tuple(remarks))
