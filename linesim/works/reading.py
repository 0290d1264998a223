"""A YAML text becomes a plain tree whose values know their lines; whatever could surprise is refused.

Only what YAML 1.2's core schema calls null, true, false, whole numbers and numbers with a point is taken as such;
everything else that is not quoted is text (yes, no, on, off, 1:30). Names of entries are always text (``10:`` is the
name "10"). The text is read event by event, so that limits take hold before anything is built. A single value that is
refused does not end the reading: the rest is read, so that everything that is wrong can be told together.
Source: YAML 1.2.2, section 10.3 (core schema), without octal and hexadecimal numbers.
"""

from __future__ import annotations

import stat
from collections.abc import Iterator
from math import isinf
from pathlib import Path as FilePath
from typing import Any

import yaml

from linesim.errors import Problem, ScenarioError, said
from linesim.works.nodes import DEEPEST, MOST_NODES, UNREADABLE, Node, sign_refused, told_together
from linesim.works.scalars import looks_like_date, looks_not_finite, plain_scalar

__all__ = ["LARGEST_FILE", "read_file", "read_text"]

LARGEST_FILE = 2_000_000
"""Bytes."""

_TOO_DEEP = f"nested deeper than {DEEPEST}; a scenario was expected"
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_file(path: FilePath, shown: str, problems: list[Problem] | None = None) -> Node:
    """Read a scenario file.

    Parameters
    ----------
    path : pathlib.Path
        A regular file of at most 2 MB, UTF-8.
    shown : str
        What to call it in errors.
    problems : list of Problem, optional
        Takes what is wrong with single values, which are then `UNREADABLE`; raised here unless given.

    Returns
    -------
    Node
        The mapping at the top of the file.

    Raises
    ------
    ScenarioError
        If it cannot be read as a scenario.
    """
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise _refused(shown, None, "this is not a file; a scenario file was expected")
        if status.st_size > LARGEST_FILE:
            raise _too_large(shown, status.st_size)
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        raise _refused(shown, None, f"the file cannot be read: {reason}") from error
    return read_text(_decoded(content, shown), shown, problems)


def read_text(text: str, shown: str, problems: list[Problem] | None = None) -> Node:
    """Read a scenario from a text, such as an upload.

    Parameters
    ----------
    text : str
        YAML, of at most 2 MB.
    shown : str
        What to call it in errors.
    problems : list of Problem, optional
        Takes what is wrong with single values, which are then `UNREADABLE`; raised here unless given.

    Returns
    -------
    Node
        The mapping at the top of the text.

    Raises
    ------
    ScenarioError
        If it cannot be read as a scenario.

    >>> read_text("a: {b: 3}", "x.yaml").plain()
    {'a': {'b': 3}}
    """
    if len(text) > LARGEST_FILE:
        raise _too_large(shown, len(text))
    text = text.removeprefix("\ufeff")
    at = sign_refused(text)
    if at is not None:
        line = text.count("\n", 0, at) + 1
        raise _refused(shown, line, f"a control character (U+{ord(text[at]):04X}) was found; plain text was expected")
    with told_together(problems) as found:
        return _Builder(shown, found).tree(text)


class _Builder:
    """Builds the tree from the events of one text."""

    def __init__(self, shown: str, problems: list[Problem]) -> None:
        self.shown = shown
        self.problems = problems
        self.count = 0
        self.depth = 0
        self.deepest = 0
        self.anchors: dict[str, tuple[Node, int, int] | None] = {}

    def tree(self, text: str) -> Node:
        """Return the top of the one document in a text."""
        try:
            return self._document(iter(yaml.parse(text, Loader=_Loader)))
        except yaml.MarkedYAMLError as error:
            raise _not_yaml(self.shown, error) from error
        except yaml.YAMLError as error:
            raise _refused(self.shown, None, "this is not YAML") from error

    def _document(self, events: Iterator[Any]) -> Node:
        """Read the one document, and see that nothing follows it."""
        next(events)
        first = next(events)
        if isinstance(first, yaml.StreamEndEvent):
            raise _refused(self.shown, None, "the file is empty; a scenario was expected")
        top = self._node(next(events), events)
        next(events)
        after = next(events)
        if not isinstance(after, yaml.StreamEndEvent):
            raise self._error(after, "a second document begins here; a file holds one scenario")
        if top.value is None:
            raise _refused(self.shown, None, "the file is empty; a scenario was expected")
        if top.value is UNREADABLE:
            raise ScenarioError([])  # why has been told
        if not isinstance(top.value, dict):
            raise self._error(first, f"{said(top.plain())} was found; entries such as name: and lines: were expected")
        return top

    def _node(self, event: Any, events: Iterator[Any], line: int | None = None) -> Node:
        """Return the node that begins with an event; its line is the entry's, if it belongs to one."""
        self._admit(event)
        line = line or event.start_mark.line + 1
        if isinstance(event, yaml.AliasEvent):
            return self._repeated(event, line)
        anchor, before = event.anchor, self.count
        if anchor is not None:
            self.anchors[anchor] = None
        outside, self.deepest = self.deepest, self.depth
        self.depth += 1
        node = Node(self._value(event, events), self.shown, line)
        self.depth -= 1
        if anchor is not None:
            self.anchors[anchor] = (node, self.count - before + 1, self.deepest - self.depth)
        self.deepest = max(outside, self.deepest)
        return node

    def _value(self, event: Any, events: Iterator[Any]) -> Any:
        """Return the value that begins with an event."""
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(events)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(events)
        return self._scalar(event)

    def _mapping(self, events: Iterator[Any]) -> dict[str, Node]:
        """Read entries up to the end of a mapping."""
        entries: dict[str, Node] = {}
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            name, line = self._name(event), event.start_mark.line + 1
            if name in entries:
                self.problems += self._twice(event, name, entries[name]).problems
                self._node(next(events), events, line)
                entries[name] = entries[name].with_value(UNREADABLE)
            else:
                entries[name] = self._node(next(events), events, line)
        return entries

    def _twice(self, event: Any, name: str, first: Node) -> ScenarioError:
        """Return the error for a name that is given again."""
        return self._error(event, f"{said(name)} is given twice, here and in line {first.line}; once was expected")

    def _sequence(self, events: Iterator[Any]) -> list[Node]:
        """Read items up to the end of a list."""
        items: list[Node] = []
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            items.append(self._node(event, events))
        return items

    def _name(self, event: Any) -> str:
        """Return the name of an entry, as it is written."""
        self._admit(event)
        if not isinstance(event, yaml.ScalarEvent) or event.anchor is not None:
            raise self._error(event, "the name of an entry must be a plain text or number")
        plain = not event.style
        if plain and event.value == "<<":
            raise self._error(event, "<< is not taken here", "Write the entries out, or use extends: other.yaml.")
        if not event.value.strip() or (plain and plain_scalar(event.value) is None):
            raise self._error(event, "the name of an entry is missing; a text before the colon was expected")
        return self._text(event)

    def _scalar(self, event: Any) -> Any:
        """Return a plain value; one that is refused is told, and the reading goes on."""
        try:
            return self._plain(event)
        except ScenarioError as error:
            self.problems += error.problems
            return UNREADABLE

    def _plain(self, event: Any) -> Any:
        """Return a text, a number, a truth or nothing."""
        text = self._text(event)
        if event.style:
            return text
        if looks_like_date(text):
            hint = "Put it in quotation marks if it is meant as text."
            raise self._error(event, f"{said(text)} is a date; a number or a text was expected", hint)
        if looks_not_finite(text):
            raise self._error(event, f"{said(text)} is not a finite number; a number was expected")
        value = plain_scalar(text)
        if isinstance(value, float) and isinf(value):
            raise self._error(event, f"{said(text)} is far too large; a number was expected")
        return value

    def _text(self, event: Any) -> str:
        """Return the text of a scalar, if it is fit to be printed."""
        text: str = event.value
        if sign_refused(text) is not None:
            raise self._error(event, f"{said(text)} holds a control character; plain text was expected")
        return text

    def _repeated(self, event: Any, line: int) -> Node:
        """Return what an alias stands for, counted as if it were written out."""
        name = event.anchor[:40]
        if event.anchor not in self.anchors:
            raise self._error(event, f"*{name} stands for nothing; an earlier &{name} was expected")
        known = self.anchors[event.anchor]
        if known is None:
            raise self._error(
                event, f"*{name} stands for something that it is itself a part of; a value before it was expected"
            )
        node, size, height = known
        self.count += size - 1
        self._limit(event, height)
        return Node(node.value, node.file, line)

    def _admit(self, event: Any) -> None:
        """Count a value, and refuse tags and what goes over a limit."""
        self.count += 1
        self._limit(event, 0)
        tag = getattr(event, "tag", None)
        if tag is not None:
            short = tag.replace("tag:yaml.org,2002:", "!!")
            raise self._error(event, f"the tag {said(short)} is not taken here; plain values were expected")

    def _limit(self, event: Any, height: int) -> None:
        """Refuse nesting and numbers of values beyond any scenario's need."""
        self.deepest = max(self.deepest, self.depth + height)
        if self.deepest > DEEPEST:
            raise self._error(event, _TOO_DEEP)
        if self.count > MOST_NODES:
            raise self._error(event, f"more than {MOST_NODES} values; a scenario was expected")

    def _error(self, event: Any, text: str, hint: str = "") -> ScenarioError:
        """Return an error at an event's line."""
        return _refused(self.shown, event.start_mark.line + 1, text, hint)


def _decoded(content: bytes, shown: str) -> str:
    """Return the text of a file that must be UTF-8."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        hint = "Save the file as UTF-8."
        raise _refused(shown, line, f"byte 0x{content[error.start]:02X} is not UTF-8 text", hint) from error


def _not_yaml(shown: str, error: yaml.MarkedYAMLError) -> ScenarioError:
    """Return the error for a text that breaks the grammar of YAML, or the depth that its reader allows."""
    mark = error.problem_mark or error.context_mark
    began = error.context_mark.line + 1 if error.context_mark is not None else None
    hint = f"It was found {error.context} that begins in line {began}." if error.context and began else ""
    line = mark.line + 1 if mark is not None else None
    if error.problem and "nesting depth" in error.problem:
        return _refused(shown, line, _TOO_DEEP)
    return _refused(shown, line, f"this is not YAML: {error.problem}", hint)


def _too_large(shown: str, size: int) -> ScenarioError:
    """Return the error for a file over the limit."""
    return _refused(shown, None, f"{size / 1e6:.1f} MB is too large; at most {LARGEST_FILE / 1e6:g} MB was expected")


def _refused(shown: str, line: int | None, text: str, hint: str = "") -> ScenarioError:
    """Return an error that stops the reading."""
    return ScenarioError([Problem(shown, line, "", text, hint)])
