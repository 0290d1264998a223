"""Operations of a routing sheet become the tree of a works; what the sheet does not say is typical, and marked so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from linesim.quantity import tidy
from linesim.works.book.spots import Spot
from linesim.works.nodes import Node
from linesim.works.shop.rows import Step, Tool
from linesim.works.typical import marked, typical

__all__ = ["FROM_SHEET", "Beside", "works_tree"]

FROM_SHEET = (
    "From a routing sheet. It says nothing of the drawing, so that sizes and surfaces are left out: all "
    "that is lost are parts in which a tool breaks."
)
"""What is said of such a works."""

_LONGEST_DOING = 40
"""Signs of what is done that stand beside an operation's name; more than these are remarks alone."""

_SETTERS = "setters"
_TODAY = "as on the sheet"
_SHARE_OF_LIFE = 0.8
_OTHERS = {"a quarter sooner": 0.75, "a quarter later": 1.25}


@dataclass(frozen=True)
class Beside:
    """What is known beside a routing sheet.

    Parameters
    ----------
    figures : mapping of (str, str) to Node
        By part and word of a typical figure: the shop's own in its place.
    days : Node or None
        Worked days in a week; as usual if None.
    currency : Node or None
        Of all amounts; as usual if None.
    """

    figures: Mapping[tuple[str, str], Node] = field(default_factory=dict)
    days: Node | None = None
    currency: Node | None = None


_NOTHING = Beside()


def works_tree(steps: list[Step], name: str, spot: Spot, beside: Beside = _NOTHING) -> Node:
    """Return the tree of a works with one line.

    Parameters
    ----------
    steps : list of Step
        Its operations, at least one.
    name : str
        Of the part that is made.
    spot : Spot
        Where the headings stand: all that the sheet does not say is put there.
    beside : Beside
        What is known beside the sheet.
    """
    names = _names_of_tools(steps)
    machines = Counter(step.machine.casefold() for step in steps if step.machine)
    operations = {
        step.name: _operation(step, names, beside, (number > 0, machines[step.machine.casefold()] > 1))
        for number, step in enumerate(steps)
    }
    tools = [(step, tool, names[step.name, tool.name]) for step in steps for tool in step.tools]
    days = {} if beside.days is None else {"days_per_week": beside.days}
    return _deep(spot, {
        "name": name, "about": FROM_SHEET,
        **({} if beside.currency is None else {"currency": beside.currency}),
        "calendar": {**_with_marks("calendar", {"shifts per day": None}, beside), **days},
        "people": {_SETTERS: _with_marks("people", {"count": None, "rate": None}, beside)},
        "cutters": {kind: _deep(tool.spot, _cutter(step, tool, beside)) for step, tool, kind in tools},
        "lines": {name: _line(steps, operations, beside)},
        "policies": _policies(tools),
    })  # fmt: skip


def _line(steps: list[Step], operations: dict[str, Node], beside: Beside) -> dict[str, Any]:
    """Return the line; what a part is worth follows from the minutes that machines take for it."""
    own = typical()["line"]
    minutes = sum(step.cycle_min for step in steps if step.cycle_min == step.cycle_min)
    given = beside.figures.get(("line", "casting price"))
    casting = own["casting price"].value if given is None else float(given.value)
    worth = tidy(round(casting + own["worth"].value * minutes, 2))
    return {**_with_marks("line", {"casting price": None, "worth": worth}, beside), "operations": operations}


def _operation(step: Step, names: dict[tuple[str, str], str], beside: Beside, has: tuple[bool, bool]) -> Node:
    """Return one operation: whether it has a buffer before it, and whether its machine is named elsewhere too."""
    has_buffer, is_shared = has
    given: dict[str, float | None] = {"rate": None, "between breakdowns": None, "repair": None}
    given |= {"buffer": None} if has_buffer else {}
    given |= {"machines": step.machines} if is_shared else {}
    about = "; ".join(filter(None, (step.work, f"on {step.machine}" if step.machine else "")))
    content: dict[str, Any] = {"about": about} if about else {}
    if 0 < len(step.work) <= _LONGEST_DOING:
        content["does"] = step.work
    content["machines"] = step.machine_spot.node(step.machines)
    if step.cycle_min == step.cycle_min:
        content["minutes"] = step.cycle_spot.node(step.cycle_min)
    else:
        content["minutes"] = 1.0  # why there is none has been said
    if step.tools:
        content["sets"] = [names[step.name, tool.name] for tool in step.tools]
        content["setters"] = _SETTERS
    return _deep(step.spot, {**_with_marks("operation", given, beside), **content})


def _cutter(step: Step, tool: Tool, beside: Beside) -> dict[str, Any]:
    """Return a kind of tool; its life lies beyond the parts after which it is changed."""
    given: dict[str, float | None] = {
        "price": None,
        "life scatter": None,
        "breaking shape": None,
        "breaking scale": None,
    }
    if tool.parts is None or step.cycle_min != step.cycle_min:
        given["life not given"] = None
    else:
        given["life"] = tidy(round(typical()["cutter"]["life"].value * tool.parts * step.cycle_min, 4))
    if tool.change_min is None:
        given["change"] = None
    content: dict[str, Any] = {"renewal": {"bought": {}}, "sets": step.machines + 1}
    if tool.change_min is not None:
        content["change"] = tool.change_spot.node(tool.change_min)
    return {**content, **_with_marks("cutter", given, beside)}


def _policies(tools: list[tuple[Step, Tool, str]]) -> dict[str, Any]:
    """Return what the shop does today, and the same a little sooner and later."""
    given = {kind: tool for _, tool, kind in tools if tool.parts is not None}
    default = {"life": _SHARE_OF_LIFE} if tools else "run out"
    today = {kind: _deep(tool.parts_spot, {"parts": tool.parts}) for kind, tool in given.items()}
    others = {
        words: {
            "default": {"life": tidy(round(_SHARE_OF_LIFE * factor, 4))},
            "exceptions": {kind: {"parts": max(1, round(factor * (tool.parts or 1)))} for kind, tool in given.items()},
        }
        for words, factor in _OTHERS.items()
    }
    about = "Every tool after the parts that the sheet gives; one of which it says nothing at 0.8 of its life."
    return {_TODAY: {"about": about, "default": default, "exceptions": today}, **(others if tools else {})}


def _with_marks(part: str, given: dict[str, float | None], beside: Beside) -> dict[str, Any]:
    """Return typical figures in their entries, with their marks; None stands for the usual one.

    What is known beside the sheet takes their place, and is not marked.
    """
    content: dict[str, Any] = {}
    marks: list[str] = []
    for word, value in given.items():
        figure = typical()[part][word]
        filled = figure.value if value is None else value
        within = content
        for key in figure.at[:-1]:
            within = within.setdefault(key, {})
        known = beside.figures.get((part, word))
        within[figure.at[-1]] = filled if known is None else known
        marks += [marked(word, filled)] if known is None else []
    return {**content, "assumed": marks}


def _names_of_tools(steps: list[Step]) -> dict[tuple[str, str], str]:
    """Return what each tool at each operation is called: a number such as T1 may mean another tool elsewhere."""
    count = Counter(tool.name for step in steps for tool in step.tools)
    return {
        (step.name, tool.name): f"{tool.name} ({step.name})" if count[tool.name] > 1 else tool.name
        for step in steps
        for tool in step.tools
    }


def _deep(spot: Spot, value: Any) -> Node:
    """Return a tree of plain values and nodes; what is no node yet stands at one spot."""
    if isinstance(value, Node):
        return value
    if isinstance(value, dict):
        return spot.node({key: _deep(spot, inner) for key, inner in value.items()})
    if isinstance(value, list):
        return spot.node([_deep(spot, inner) for inner in value])
    return spot.node(value)
