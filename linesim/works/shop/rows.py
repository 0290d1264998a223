"""The rows of a routing sheet become operations with their tools; what is doubtful is said at its cell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from linesim.errors import quoted
from linesim.works.book.cells import name_in
from linesim.works.book.headings import is_example
from linesim.works.book.spots import Sheet, Spot
from linesim.works.shop.figures import count_in, minutes_in
from linesim.works.shop.headings import Head, plain_words

__all__ = ["Step", "Tool", "steps_in"]

_LONGEST = 200
_MOST_MACHINES = 100
_SUMS = ("total", "sum", "summe", "gesamt")
_SIDE_BY_SIDE = re.compile(r"([1-9][0-9]{0,3})\s*[x×*]\s*(.+)", re.IGNORECASE | re.DOTALL)


@dataclass
class Tool:
    """What one row says of a tool.

    Parameters
    ----------
    name : str
        As typed.
    spot : Spot
        Its cell.
    parts : int or None
        From one change to the next.
    change_min : float or None
        Minutes of a change.
    parts_spot, change_spot : Spot
        Where these stand.
    """

    name: str
    spot: Spot
    parts: int | None
    change_min: float | None
    parts_spot: Spot
    change_spot: Spot


@dataclass
class Step:
    """An operation.

    Parameters
    ----------
    name : str
        Such as "Op 10".
    spot : Spot
        Where its number stands.
    work, machine : str
        What is done, and on what.
    machines : int
        Side by side.
    cycle_min : float
        Minutes from one part to the next; not a number where they are missing or cannot be read.
    cycle_spot, machine_spot : Spot
        Where these stand.
    tools : list of Tool
        In their order.
    """

    name: str
    spot: Spot
    work: str
    machine: str
    machines: int
    cycle_min: float
    cycle_spot: Spot
    machine_spot: Spot
    tools: list[Tool] = field(default_factory=list)


def steps_in(sheet: Sheet, head: Head) -> list[Step]:
    """Read the rows below the headings.

    Parameters
    ----------
    sheet : Sheet
        The whole sheet.
    head : Head
        Its row of headings.
    """
    steps: dict[str, Step] = {}
    rows = _Rows(sheet, head)
    now: Step | None = None
    for number in rows.numbers():
        name = rows.operation(number)
        if name and (now is None or name != now.name):
            now = rows.step(number, name)
            if name in steps:
                text = f"{quoted(name)} is given further up already, with other operations between; once was expected"
                rows.refuse(number, "number", text, "Rows of one operation stand together, one for each tool.")
            steps.setdefault(name, now)
        elif now is None:
            rows.refuse(number, "number", "missing; the number of the operation was expected")
            continue
        else:
            rows.check_again(number, now)
        rows.add_tool(number, now)
    if not steps:
        sheet.refuse(head.row, 0, "no operation stands below these headings; at least one row was expected")
    return list(steps.values())


class _Rows:
    """The cells of the rows by the names of their columns."""

    def __init__(self, sheet: Sheet, head: Head) -> None:
        self.sheet, self.head = sheet, head

    def numbers(self) -> Iterator[int]:
        """Yield the rows that say something about an operation."""
        for number in self.sheet.rows():
            is_ours = any(not self.sheet.is_empty(number, at) for at in self.head.at.values())
            is_sum = any(plain_words(str(cell)) in _SUMS for cell in self.sheet.grid[number][:20])
            if number > self.head.row and is_ours and not is_sum and not is_example(self.sheet.grid[number]):
                yield number

    def text(self, number: int, column: str) -> str:
        """Return the text in a cell."""
        return self.sheet.text(number, self.head.at[column]) if column in self.head.at else ""

    def spot(self, number: int, column: str) -> Spot:
        """Return where a cell stands; that of the first column for one that is not there."""
        return self.sheet.spot(number, self.head.at.get(column, 0))

    def refuse(self, number: int, column: str, text: str, hint: str = "") -> None:
        """Write down what is wrong with a cell."""
        self.sheet.refuse(number, self.head.at.get(column, 0), text, hint)

    def name(self, number: int, column: str) -> str:
        """Return the words in a cell, on one line."""
        name = name_in(self.sheet.raw(number, self.head.at.get(column)), self.spot(number, column))
        if len(name) > _LONGEST:
            self.refuse(number, column, f"a text of {len(name)} signs; at most {_LONGEST} were expected")
        return " ".join(name[:_LONGEST].split())

    def operation(self, number: int) -> str:
        """Return the name of the operation that a row names; empty if it names none."""
        name = self.name(number, "number")
        return f"Op {name}" if re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", name) else name

    def minutes(self, number: int, column: str, least: float) -> float | None:
        """Return the minutes in a cell."""
        raw = self.sheet.raw(number, self.head.at.get(column))
        return minutes_in(raw, self.spot(number, column), self.head.minutes.get(column, 1.0), least)

    def step(self, number: int, name: str) -> Step:
        """Return the operation that begins in a row."""
        minutes = self.minutes(number, "cycle", 0.0)
        if minutes is None and not self.text(number, "cycle") and "cycle" in self.head.at:
            hint = "Nothing is typical of that: measure one part, or ask who runs the machine."
            self.refuse(number, "cycle", f"missing; the minutes of {quoted(name)} for one part were expected", hint)
        machine = self.name(number, "machine")
        several = _SIDE_BY_SIDE.fullmatch(machine)
        count = int(several[1]) if several else 1
        if count > _MOST_MACHINES:
            self.refuse(number, "machine", f"{count} machines were found; at most {_MOST_MACHINES} were expected")
        return Step(
            name, self.spot(number, "number"), self.name(number, "work"), several[2] if several else machine,
            min(count, _MOST_MACHINES), float("nan") if minutes is None else minutes, self.spot(number, "cycle"),
            self.spot(number, "machine"),
        )  # fmt: skip

    def check_again(self, number: int, step: Step) -> None:
        """Say of a further row of an operation what does not agree with its first one."""
        minutes = self.minutes(number, "cycle", 0.0)
        if minutes is not None and minutes != step.cycle_min and step.cycle_min == step.cycle_min:
            text = f"{minutes:g} min was found, and {step.cycle_min:g} min further up for {quoted(step.name)}"
            hint = "Write the minutes of the whole operation in its first row, and leave them empty in the others."
            self.refuse(number, "cycle", f"{text}; one cycle was expected for each operation", hint)
        is_bare = not any(self.text(number, column) for column in ("tool", "parts", "change"))
        if is_bare:
            self.refuse(number, "tool", f"missing; a further tool of {quoted(step.name)} was expected in this row")

    def add_tool(self, number: int, step: Step) -> None:
        """Add the tool of a row to its operation."""
        name = self.name(number, "tool")
        parts = count_in(self.sheet.raw(number, self.head.at.get("parts")), self.spot(number, "parts"))
        change = self.minutes(number, "change", -1e-12)
        if not name:
            if parts is not None or change:
                self.refuse(number, "tool", "missing; the tool that is changed in this row was expected")
            return
        if any(tool.name == name for tool in step.tools):
            text = f"{quoted(name)} is given twice at {quoted(step.name)}; once was expected"
            self.refuse(number, "tool", text)
            return
        spots = (self.spot(number, "parts"), self.spot(number, "change"))
        step.tools.append(Tool(name, self.spot(number, "tool"), parts, change, *spots))
