"""A translation of the words on the sheets is read from a file and held against the English ones."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from linesim.errors import Problem, ScenarioError, StudyError, nearest, quoted
from linesim.words import ENGLISH, Words
from linesim.words.catalogue import Entry, placeholders
from linesim.words.plurals import FORMS, PLURALS
from linesim.works.nodes import Node
from linesim.works.reading import read_file, read_text

__all__ = ["missing_words", "words_from_file", "words_from_text"]

_TAG = re.compile(r"[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*")
_MOST_LISTED = 6
_HEAD = ("language", "plural")
_MAY_GO = ("count", "shown")
"""Figures that a text may leave out, as "one part" does."""


def words_from_file(path: Path) -> Words:
    """Read a translation.

    Parameters
    ----------
    path : pathlib.Path
        YAML with the keys of the English catalogue; what it leaves out, or leaves empty, is said in English.

    Raises
    ------
    StudyError
        It cannot be read, names a key that there is not, or lacks a name in braces; all of it is told, with lines.
    """
    try:
        return _words(read_file(path, path.name), path.name)
    except ScenarioError as error:
        raise _refused(error) from error


def words_from_text(text: str, name: str) -> Words:
    """Read a translation that was sent; parameters and errors as for `words_from_file`."""
    try:
        return _words(read_text(text, name), name)
    except ScenarioError as error:
        raise _refused(error) from error


def missing_words(words: Words, shown: str) -> str:
    """What a translation leaves out, in one line; empty if nothing."""
    missing = words.missing
    if not missing:
        return ""
    more = f" and {len(missing) - _MOST_LISTED} more" if len(missing) > _MOST_LISTED else ""
    listed = f"{', '.join(missing[:_MOST_LISTED])}{more}"
    return f"{shown}: {len(missing)} of {len(ENGLISH.entries)} texts are missing and said in English: {listed}"


def _refused(error: ScenarioError) -> StudyError:
    """The same in words that speak of no scenario."""
    return StudyError("\n".join(str(each) for each in error.problems).replace("a scenario", "a file of words"))


def _words(tree: Node, shown: str) -> Words:
    problems: list[Problem] = []
    head = dict(tree.value)
    language, plural = (head.pop(name, Node(None, shown, None)) for name in _HEAD)
    if not (isinstance(language.value, str) and _TAG.fullmatch(language.value)):
        text = f"{quoted(language.value)} was found; the tag of a language such as de or pt-BR was expected"
        problems.append(Problem(shown, language.line, "language", text))
    rule = ENGLISH.plural if plural.value is None else plural.value
    if rule not in PLURALS:
        listed = ", ".join(PLURALS)
        problems.append(Problem(shown, plural.line, "plural", f"{quoted(rule)} is not known here; one of {listed}"))
    entries = dict(_entries(Node(head, shown, None), "", problems))
    if problems:
        raise ScenarioError(problems)
    return Words(language.value, rule, entries)


def _entries(node: Node, before: str, problems: list[Problem]) -> Iterator[tuple[str, Entry]]:
    """Entries by key, with what is wrong put among the problems."""
    for name, inner in node.value.items():
        key = f"{before}{name}"
        if inner.value is None:
            continue
        if key in ENGLISH.entries:
            if (entry := _entry(key, inner, problems)) is not None:
                yield key, entry
        elif isinstance(inner.value, dict) and any(known.startswith(f"{key}.") for known in ENGLISH.entries):
            yield from _entries(inner, f"{key}.", problems)
        else:
            near = nearest(key, [*ENGLISH.entries, *_HEAD])
            text = f"there is no such key{f'; did you mean {quoted(near)}?' if near else ''}"
            problems.append(Problem(inner.file, inner.line, key, text))


def _entry(key: str, node: Node, problems: list[Problem]) -> Entry | None:
    """One text, or its forms, if they are right."""
    known = ENGLISH.entries[key]
    plain = known if isinstance(known, str) else known["other"]
    if not isinstance(node.value, dict):
        return node.value if _is_right(key, node, plain, problems) else None
    if "{count}" not in plain and isinstance(known, str):
        problems.append(
            Problem(node.file, node.line, key, "a text was expected: there is no count to choose a form by")
        )
        return None
    strange = [name for name in node.value if name not in FORMS]
    if strange or "other" not in node.value:
        text = (
            f"forms of {', '.join(map(quoted, node.value))} were found; other was expected, and any of one, few, many"
        )
        problems.append(Problem(node.file, node.line, key, text))
        return None
    right = [_is_right(f"{key}.{form}", inner, plain, problems) for form, inner in node.value.items()]
    return {form: inner.value for form, inner in node.value.items()} if all(right) else None


def _is_right(key: str, node: Node, english: str, problems: list[Problem]) -> bool:
    """Whether a text holds the names in braces of the English one, and no others."""
    text = _wrong(node.value, english)
    if text:
        problems.append(Problem(node.file, node.line, key, text))
    return not text


def _wrong(value: object, english: str) -> str:
    """What is wrong with a text; empty if nothing is."""
    if not isinstance(value, str):
        return f"{quoted(value)} was found; a text was expected (put a number in quotation marks)"
    try:
        own = placeholders(value)
    except ValueError as error:
        return f"{error}; names in braces were expected as in {quoted(english)}"
    wanted, kept = placeholders(english), {name for name, _ in own}
    lost = [name for name, _ in sorted(wanted) if name not in kept and name not in _MAY_GO]
    more = [name for name, digits in sorted(own) if (name, digits) not in wanted and not _whole(name, digits, wanted)]
    if not lost and not more:
        return ""
    faults = [f"lacks {{{name}}}" for name in lost] + [
        f"has {{{name}}} otherwise than the English one" for name in more
    ]
    return f"the text {' and '.join(faults)}: {quoted(english)}"


def _whole(name: str, digits: str, wanted: frozenset[tuple[str, str]]) -> bool:
    """Whether a whole number merely stands without its leading noughts."""
    return not digits and any(own == name and asked.endswith("d") for own, asked in wanted)
