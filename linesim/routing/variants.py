"""Variants of a scenario: small named overlays in a file of their own, checked like the scenario that they change.

A file of variants says what is asked, of which line and features, and then names its variants; each gives the changes
that a file which extends the scenario would give (see `linesim.works.merging`). What is wrong is told with the file
and the line, whether it is wrong by itself or only together with the scenario.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path as FilePath

from linesim.errors import Problem, ScenarioError, nearest, quoted
from linesim.plan.figures import cut_figures
from linesim.works import Works
from linesim.works.load import overlaid
from linesim.works.nodes import UNREADABLE, Node
from linesim.works.reading import read_file, read_text

__all__ = ["MOST_VARIANTS", "Variant", "Variants", "load_variants", "variants_from_text"]

MOST_VARIANTS = 24
"""Variants of one file; more than anybody would read side by side."""

_HEAD = ("name", "question", "line", "features", "policy", "sets", "variants")
_ENTRIES = ("about", "changes")


@dataclass(frozen=True, eq=False)
class Variant:
    """One way to make the part.

    Attributes
    ----------
    name, about : str
        What it is called, and in one sentence what is done.
    works : Works
        The scenario with the variant's changes, checked.
    """

    name: str
    about: str
    works: Works


@dataclass(frozen=True, eq=False)
class Variants:
    """What is set against each other, and what is asked.

    Attributes
    ----------
    name, question : str
        Head of the study.
    line : str
        The line that is spoken of.
    features : tuple of str
        Its features whose making differs; the account and the sheet put them first.
    policy : str
        The policy under which every variant starts.
    sets : tuple of str or None
        Cutter sets whose change intervals are sought for each variant by itself; None: those that cut the features.
    items : tuple of Variant
        At least two; the first is what the others replace.
    """

    name: str
    question: str
    line: str
    features: tuple[str, ...]
    policy: str
    sets: tuple[str, ...] | None
    items: tuple[Variant, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the variants, in the order of the file."""
        return tuple(item.name for item in self.items)

    @property
    def base(self) -> Works:
        """The works of the first variant."""
        return self.items[0].works

    def concerned(self, variant: Variant) -> tuple[str, ...]:
        """Cutter sets of a variant whose change intervals are sought, in the order of its routing."""
        used = _sets_on(variant.works, self.line, self.features)
        if self.sets is None:
            return used
        all_used = _sets_on(variant.works, self.line, tuple(variant.works.lines[self.line].features))
        return tuple(name for name in all_used if name in self.sets)


def load_variants(path: str | FilePath, works: Works) -> Variants:
    """Read a file of variants and lay each over a scenario.

    Parameters
    ----------
    path : str or pathlib.Path
        A YAML file with the entries name, question, line, features, policy, sets and variants.
    works : Works
        The scenario; stays as it is.

    Returns
    -------
    Variants

    Raises
    ------
    ScenarioError
        With everything that is wrong, each with its file and line.
    """
    file = FilePath(path)
    return _variants(read_file(file, file.name), works)


def variants_from_text(text: str, works: Works, name: str = "variants") -> Variants:
    """Read variants from a text, such as an upload, and lay each over a scenario.

    Parameters
    ----------
    text : str
        YAML, as a file would say it.
    works : Works
        The scenario; stays as it is.
    name : str
        What to call the text in errors.

    Returns
    -------
    Variants

    Raises
    ------
    ScenarioError
        With everything that is wrong.
    """
    return _variants(read_text(text, name), works)


class _Reader:
    """Takes the entries of a tree apart and collects what is wrong."""

    def __init__(self, top: Node, works: Works) -> None:
        self.top = top
        self.works = works
        self.problems: list[Problem] = []

    def add(self, node: Node, path: str, text: str, hint: str = "") -> None:
        """Write down a problem at a place."""
        self.problems.append(Problem(node.file, node.line, path, text, hint))

    def only(self, node: Node, path: str, known: Sequence[str]) -> None:
        """Refuse entries that mean nothing here."""
        for name, entry in node.value.items():
            if name not in known:
                near = nearest(name, known)
                hint = f"Did you mean {quoted(near)}?" if near else ""
                where = f"{path}.{name}" if path else name
                self.add(entry, where, f"there is no such entry here; one of {', '.join(known)} was expected", hint)

    def text(self, node: Node, name: str, path: str, usual: str | None) -> str:
        """One line of text; ``usual`` where it may be left out."""
        entry = node.get(name)
        if entry is None:
            if usual is None:
                self.add(node, path, "missing; a text was expected")
            return usual or ""
        if not isinstance(entry.value, str):
            self.add(entry, path, f"{quoted(entry.value)} was found; a text was expected")
            return usual or ""
        return " ".join(entry.value.split())

    def known(self, node: Node, path: str, name: object, names: Iterable[str], what: str) -> None:
        """Refuse a name that leads nowhere."""
        listed = list(names)
        if name in listed or name is UNREADABLE:
            return
        near = nearest(name, listed) if isinstance(name, str) else None
        hint = f"Did you mean {quoted(near)}?" if near else ""
        self.add(node, path, f"{quoted(name)} is not {what}; one of {', '.join(listed) or 'none'} was expected", hint)

    def names(self, name: str, known: Iterable[str], what: str) -> tuple[str, ...] | None:
        """A list of names; None where it is left out."""
        entry, listed = self.top.get(name), list(known)
        if entry is None:
            return None
        if not isinstance(entry.value, list):
            self.add(entry, name, f"{quoted(entry.value)} was found; a list of names was expected")
            return None
        for number, item in enumerate(entry.value):
            self.known(item, f"{name}[{number}]", item.value, listed, what)
        return tuple(str(item.value) for item in entry.value)


def _variants(top: Node, works: Works) -> Variants:
    """Read the tree of a file of variants."""
    reader = _Reader(top, works)
    reader.only(top, "", _HEAD)
    name = reader.text(top, "name", "name", None)
    question = reader.text(top, "question", "question", None)
    line = reader.text(top, "line", "line", next(iter(works.lines)))
    line_node = top.get("line") or top
    reader.known(line_node, "line", line, works.lines, "a line of this works")
    policy = reader.text(top, "policy", "policy", works.todays_policy)
    reader.known(top.get("policy") or top, "policy", policy, works.policies, "a policy of this works")
    known = works.lines[line].features if line in works.lines else {}
    features = reader.names("features", known, "a feature of this line")
    items = _items(reader)
    used = {name: None for item in items for name in item.works.cutters}
    sets = reader.names("sets", used or works.cutters, "a cutter of this works")
    for item in items:
        if line in works.lines and line not in item.works.lines:
            reader.add(top, "line", f"the variant {quoted(item.name)} takes the line {quoted(line)} away")
        elif policy in works.policies and policy not in item.works.policies:
            reader.add(top, "policy", f"the variant {quoted(item.name)} takes the policy {quoted(policy)} away")
    if reader.problems:
        raise ScenarioError(sorted(dict.fromkeys(reader.problems), key=lambda problem: problem.line or 0))
    return Variants(name, question, line, features or tuple(known), policy, sets, tuple(items))


def _items(reader: _Reader) -> list[Variant]:
    """All variants, each laid over the scenario."""
    group = reader.top.get("variants")
    if group is None or not isinstance(group.value, dict) or not 2 <= len(group.value) <= MOST_VARIANTS:
        text = "2 or more variants by name were expected, such as {as it stands: {}, one cut: {changes: ...}}"
        reader.add(group or reader.top, "variants", f"{text}; {MOST_VARIANTS} at most")
        return []
    answer = []
    for name, node in group.value.items():
        path = f"variants[{name}]"
        if node.value is None:
            node = node.with_value({})  # noqa: PLW2901 - a variant without changes
        if not isinstance(node.value, dict):
            reader.add(node, path, f"{quoted(node.value)} was found; about and changes were expected")
            continue
        reader.only(node, path, _ENTRIES)
        about = reader.text(node, "about", f"{path}.about", "")
        changes = node.get("changes")
        try:
            answer.append(Variant(name, about, _laid_over(reader, changes, path)))
        except ScenarioError as error:
            reader.problems += error.problems
    return answer


def _laid_over(reader: _Reader, changes: Node | None, path: str) -> Works:
    """The scenario with the changes of one variant."""
    if changes is None or changes.value is None or changes.value == {}:
        return reader.works
    if not isinstance(changes.value, dict):
        text = f"{quoted(changes.value)} was found; entries of a scenario such as lines: were expected"
        raise ScenarioError([Problem(changes.file, changes.line, f"{path}.changes", text)])
    works = overlaid(reader.works, changes)
    cut_figures(works)  # what no machine can cut is told now, with its file and line, and not in the midst of a study
    return works


def _sets_on(works: Works, line: str, features: tuple[str, ...]) -> tuple[str, ...]:
    """Cutter sets that cut some features, in the order of the routing, each once."""
    strokes = [stroke for operation in works.lines[line].operations.values() for stroke in operation.strokes.values()]
    cuts = [cut for stroke in strokes for cut in stroke.cuts.values()]
    return tuple(dict.fromkeys(cut.cutter for cut in cuts if cut.feature in features))
