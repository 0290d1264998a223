"""A workbook that may come from anyone is looked through before it is read: size, contents, cells, in bounded time.

What is read afterwards is not the file itself but a clean copy of the few parts that sheets are in, so that a part with
a false size, a part given twice or one outside the file cannot do anything.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from pathlib import PurePosixPath
from xml.parsers import expat

from linesim.errors import ScenarioError
from linesim.works.book.cell_bounds import Strings, check_sheet, sheet_titles
from linesim.works.yaml_tree import refused_at

__all__ = ["clean_copy"]

_MOST_PARTS = 300
_MOST_BYTES = 24_000_000
_WANTED = re.compile(
    r"\[Content_Types\]\.xml|_rels/\.rels|xl/(?:workbook|sharedStrings|styles)\.xml|xl/_rels/workbook\.xml\.rels"
    r"|xl/worksheets/[^/]+\.xml|xl/chartsheets/[^/]+\.xml"
)
_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml")
_MACROS = re.compile(r"vbaproject|macrosheets|activex|\.bin$", re.IGNORECASE)
_SAVE = "Open it in a spreadsheet program and save it as a workbook (.xlsx) without them."


def clean_copy(content: bytes, shown: str) -> bytes:
    """Return a copy of a workbook with its sheets alone.

    Parameters
    ----------
    content : bytes
        The file, as it came.
    shown : str
        What to call it in errors.

    Returns
    -------
    bytes
        A workbook (.xlsx) of the same cells.

    Raises
    ------
    ScenarioError
        It is no workbook, or one that linesim does not read, in words.
    """
    if content[:4] == b"\xd0\xcf\x11\xe0":
        text = "this is an old or a locked workbook; one saved as .xlsx, without a password, was expected"
        raise refused_at(shown, None, text)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return _Copy(archive, shown).content()
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError, ValueError) as error:
        raise refused_at(shown, None, "this is not a workbook; one saved as .xlsx was expected") from error


class _Copy:
    """The copy of one workbook under way."""

    def __init__(self, archive: zipfile.ZipFile, shown: str) -> None:
        self.archive, self.shown = archive, shown
        self.left = _MOST_BYTES

    def content(self) -> bytes:
        """Return the copy."""
        names = self.archive.namelist()
        self._check_names(names)
        parts = {name: self._part(name) for name in names if _WANTED.fullmatch(name)}
        if "xl/workbook.xml" not in parts:
            raise self._refused("this is not a workbook; one saved as .xlsx was expected")
        self._check(parts)
        copy = io.BytesIO()
        with zipfile.ZipFile(copy, "w", zipfile.ZIP_STORED) as clean:
            for name, part in parts.items():
                clean.writestr(name, part)
        return copy.getvalue()

    def _check_names(self, names: list[str]) -> None:
        """Refuse what a workbook of figures has no use for."""
        if len(names) > _MOST_PARTS or len(set(names)) < len(names):
            raise self._refused(f"{len(names)} parts are in this file, or one of them twice; a workbook was expected")
        if any(_MACROS.search(name) for name in names if not name.startswith("xl/printerSettings/")):
            raise self._refused("this workbook holds macros or controls, which are not read", _SAVE)
        if any(name.startswith("xl/externalLinks/") for name in names):
            hint = "Replace its links by their values (break links), and save it."
            raise self._refused("this workbook takes figures from other workbooks, which are not read", hint)

    def _part(self, name: str) -> bytes:
        """Return one part, unpacked no further than all together may be."""
        with self.archive.open(name) as packed:
            part = packed.read(self.left + 1)
        if len(part) > self.left:
            whole = f"unpacked this workbook has more than {_MOST_BYTES / 1e6:g} MB"
            raise self._refused(
                f"{whole}; one of a line has a few hundred kB", "Clear rows and sheets that are not needed."
            )
        self.left -= len(part)
        if (
            b"\0" in part
            or part[:2] in (b"\xff\xfe", b"\xfe\xff")
            or re.search(rb"<!(?:DOCTYPE|ENTITY)", part, re.IGNORECASE)
        ):
            raise self._refused(f"{name} in this file defines texts of its own, which no spreadsheet program writes")
        return part

    def _check(self, parts: dict[str, bytes]) -> None:
        """Look through the cells of all sheets."""
        strings = Strings(self.shown)
        try:
            titles = sheet_titles(parts["xl/workbook.xml"], parts.get("xl/_rels/workbook.xml.rels", b""))
            if "xl/sharedStrings.xml" in parts:
                strings.read(parts["xl/sharedStrings.xml"])
            for name, part in parts.items():
                if _SHEET.fullmatch(name):
                    check_sheet(part, titles.get(name, PurePosixPath(name).stem), strings)
        except expat.ExpatError as error:
            raise self._refused(f"a part of this workbook cannot be read: {error}") from error

    def _refused(self, text: str, hint: str = "") -> ScenarioError:
        """Return the error for the whole file."""
        return refused_at(self.shown, None, text, hint)
