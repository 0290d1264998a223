"""The events of one YAML text become a plain tree whose values know their lines.

Only what YAML 1.2's core schema calls null, true, false, whole numbers and numbers with a point is taken as such;
everything else that is not quoted is text (yes, no, on, off, 1:30). Names of entries are always text (``10:`` is the
name "10"). The text is read event by event, so that limits take hold before anything is built. A single value that is
refused does not end the reading: the rest is read, so that everything that is wrong can be told together.
Source: YAML 1.2.2, section 10.3 (core schema), without octal and hexadecimal numbers.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf
from typing import Any

import yaml

from linesim.errors import Problem, ScenarioError, quoted
from linesim.works.nodes import DEEPEST, MOST_NODES, UNREADABLE, Node, has_room, hidden_sign, sign_refused
from linesim.works.scalars import looks_like_date, looks_not_finite, plain_scalar
from linesim.yaml_text import LOADER

__all__ = ["TreeBuilder", "refused_at"]

_TOO_DEEP = f"nested deeper than {DEEPEST}; a scenario was expected"


class TreeBuilder:
    """Builds the tree from the events of one text.

    Parameters
    ----------
    shown : str
        What to call the text in errors.
    problems : list of Problem
        Takes what is wrong with single values.
    most_values : int
        More than so many are refused.
    """

    def __init__(self, shown: str, problems: list[Problem], most_values: int) -> None:
        self.shown = shown
        self.problems = problems
        self.most_values = most_values
        self.count = 0
        self.depth = 0
        self.deepest = 0
        self.anchors: dict[str, tuple[Node, int, int] | None] = {}

    def tree(self, text: str) -> Node:
        """Return the top of the one document in a text.

        Parameters
        ----------
        text : str
            YAML without control characters.

        Returns
        -------
        Node
            A group of entries.

        Raises
        ------
        ScenarioError
            If it is not one, or goes over a limit.
        """
        try:
            return self._document(iter(yaml.parse(text, Loader=LOADER)))
        except yaml.MarkedYAMLError as error:
            raise _not_yaml(self.shown, error) from error
        except yaml.YAMLError as error:
            raise refused_at(self.shown, None, "this is not YAML") from error

    def _document(self, events: Iterator[Any]) -> Node:
        """Read the one document, and see that nothing follows it."""
        next(events)
        first = next(events)
        if isinstance(first, yaml.StreamEndEvent):
            raise refused_at(self.shown, None, "the file is empty; a scenario was expected")
        top = self._node(next(events), events)
        next(events)
        after = next(events)
        if not isinstance(after, yaml.StreamEndEvent):
            raise self._error(after, "a second document begins here; a file holds one scenario")
        if top.value is None:
            raise refused_at(self.shown, None, "the file is empty; a scenario was expected")
        if top.value is UNREADABLE:
            raise ScenarioError([])  # the reason is among the problems
        if not isinstance(top.value, dict):
            raise self._error(first, f"{quoted(top.plain())} was found; entries such as name: and lines: were expected")
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
                self._note(self._twice(event, name, entries[name]))
                self._node(next(events), events, line)
                entries[name] = entries[name].with_value(UNREADABLE)
            else:
                entries[name] = self._node(next(events), events, line)
        return entries

    def _twice(self, event: Any, name: str, first: Node) -> ScenarioError:
        """Return the error for a name that is given again."""
        return self._error(event, f"{quoted(name)} is given twice, here and in line {first.line}; once was expected")

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
        name = self._text(event)
        hidden = hidden_sign(name)
        if hidden:
            raise self._error(event, f"the name {quoted(name)} holds {hidden}; a name that can be read was expected")
        return name

    def _scalar(self, event: Any) -> Any:
        """Return a plain value; one that is refused is told, and the reading goes on."""
        try:
            return self._plain(event)
        except ScenarioError as error:
            self._note(error)
            return UNREADABLE

    def _note(self, error: ScenarioError) -> None:
        """Keep an error that does not end the reading."""
        if has_room(self.problems):
            self.problems += error.problems

    def _plain(self, event: Any) -> Any:
        """Return a text, a number, a truth or nothing."""
        text = self._text(event)
        if event.style:
            return text
        if looks_like_date(text):
            hint = "Put it in quotation marks if it is meant as text."
            raise self._error(event, f"{quoted(text)} is a date; a number or a text was expected", hint)
        if looks_not_finite(text):
            raise self._error(event, f"{quoted(text)} is not a finite number; a number was expected")
        value = plain_scalar(text)
        if isinstance(value, float) and isinf(value):
            raise self._error(event, f"{quoted(text)} is far too large; a number was expected")
        return value

    def _text(self, event: Any) -> str:
        """Return the text of a scalar, if it is fit to be printed."""
        text: str = event.value
        if sign_refused(text) is not None:
            raise self._error(event, f"{quoted(text)} holds a control character; plain text was expected")
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
            raise self._error(event, f"the tag {quoted(short)} is not taken here; plain values were expected")

    def _limit(self, event: Any, height: int) -> None:
        """Refuse nesting and numbers of values beyond any scenario's need."""
        self.deepest = max(self.deepest, self.depth + height)
        if self.deepest > DEEPEST:
            raise self._error(event, _TOO_DEEP)
        if self.count > self.most_values:
            raise self._error(event, f"more than {MOST_NODES} values; a scenario was expected")

    def _error(self, event: Any, text: str, hint: str = "") -> ScenarioError:
        """Return an error at an event's line."""
        return refused_at(self.shown, event.start_mark.line + 1, text, hint)


def _not_yaml(shown: str, error: yaml.MarkedYAMLError) -> ScenarioError:
    """Return the error for a text that breaks the grammar of YAML, or the depth that its reader allows."""
    mark = error.problem_mark or error.context_mark
    began = error.context_mark.line + 1 if error.context_mark is not None else None
    hint = f"It was found {error.context} that begins in line {began}." if error.context and began else ""
    line = mark.line + 1 if mark is not None else None
    if error.problem and "nesting depth" in error.problem:
        return refused_at(shown, line, _TOO_DEEP)
    return refused_at(shown, line, f"this is not YAML: {error.problem}", hint)


def refused_at(shown: str, line: int | None, text: str, hint: str = "") -> ScenarioError:
    """Return an error that stops the reading.

    Parameters
    ----------
    shown : str
        Name of the text.
    line : int or None
        From 1.
    text, hint : str
        As in `Problem`.
    """
    return ScenarioError([Problem(shown, line, "", text, hint)])
