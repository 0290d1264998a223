"""An XML file that may come from anyone is walked through within bounds; entities and DOCTYPE are refused."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NoReturn, Protocol
from xml.parsers import expat

from linesim.errors import ScenarioError, quoted
from linesim.works.yaml_tree import refused_at

__all__ = ["Visitor", "walk"]

_MOST_ELEMENTS = 100_000
"""The reference agent keeps 131,072 observations."""
_DEEPEST = 40
_MOST_ATTRIBUTES = 60
_LONGEST_TEXT = 2000


class Visitor(Protocol):
    """What is shown every element of a file."""

    def begin(self, path: tuple[str, ...], attributes: Mapping[str, str]) -> None:
        """Take the beginning of an element: its name, without a prefix, behind those that it stands in."""

    def end(self, path: tuple[str, ...], text: str) -> None:
        """Take the end of an element and the text in it, without that of elements within."""


def walk(content: bytes, shown: str, visitor: Visitor) -> None:
    """Show every element of a file to a visitor.

    Parameters
    ----------
    content : bytes
        The file, from anyone.
    shown : str
        What to call it in errors.
    visitor : Visitor
        May raise a `ScenarioError`, which ends the walk.

    Raises
    ------
    ScenarioError
        It is no XML, ends too early, defines entities, or is larger or deeper than any record.
    """
    parser = expat.ParserCreate()
    walker = _Walker(parser, shown, visitor)
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = walker.refuse_entities
    parser.StartElementHandler, parser.EndElementHandler = walker.begin, walker.end
    parser.CharacterDataHandler = walker.text
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        text = f"this is no whole XML file ({expat.ErrorString(error.code)})"
        raise refused_at(
            shown, error.lineno, text, "Record it again; a file that was cut off cannot be read."
        ) from error
    except (LookupError, ValueError) as error:
        raise refused_at(shown, None, "its letters cannot be read; XML in UTF-8 was expected") from error


class _Walker:
    """Follows the parser, and stops it where a file is out of bounds."""

    def __init__(self, parser: expat.XMLParserType, shown: str, visitor: Visitor) -> None:
        self.parser, self.shown, self.visitor = parser, shown, visitor
        self.paths: list[tuple[str, ...]] = [()]
        self.texts: list[list[str]] = []
        self.count = 0

    def error(self, text: str, hint: str = "") -> ScenarioError:
        """An error where the parser stands."""
        return refused_at(self.shown, self.parser.CurrentLineNumber, text, hint)

    def refuse_entities(self, *_: object) -> NoReturn:
        """Refuse a file that defines what it is read by: no record needs it."""
        raise self.error("a DOCTYPE or an entity stands here; records have none, and it is not read")

    def begin(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        self.count += 1
        if self.count > _MOST_ELEMENTS:
            raise self.error(f"more than {_MOST_ELEMENTS} elements", "Record shorter spans, or fewer data items.")
        if len(self.paths) > _DEEPEST:
            raise self.error(f"nested deeper than {_DEEPEST}; a document of MTConnect was expected")
        if len(attributes) > _MOST_ATTRIBUTES:
            raise self.error(f"{quoted(name)} has more than {_MOST_ATTRIBUTES} attributes")
        self.paths.append((*self.paths[-1], name.rpartition(":")[2]))
        self.texts.append([])
        self.visitor.begin(self.paths[-1], attributes)

    def text(self, text: str) -> None:
        """A piece of text."""
        if len(self.texts[-1]) < _LONGEST_TEXT // 100:
            self.texts[-1].append(text[:_LONGEST_TEXT])

    def end(self, _: str) -> None:
        """An element ends."""
        self.visitor.end(self.paths.pop(), "".join(self.texts.pop()).strip()[:_LONGEST_TEXT])
