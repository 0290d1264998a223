"""Cutting tools in a document of MTConnect Assets: what each has done, and in which state it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from linesim.records.mtconnect_moments import figure_in, moment_of

__all__ = ["HEADINGS", "SHEET", "Assets"]

SHEET = "tool lives"

HEADINGS = ("set", "edge", "when", "machine", "minutes", "parts", "why", "limit", "reconditions", "states")
"""Headings of the sheet of tool lives."""

_TELLING = ("BROKEN", "EXPIRED", "RECONDITIONED", "USED")
"""States that say most of an edge, first what ends it."""
_TYPES = {"MINUTES": "minutes", "PART_COUNT": "parts"}


@dataclass
class _Life:
    """A life as it is counted: of a tool or of one of its cutting items."""

    kind: str = ""
    counts: str = ""
    initial: str | None = None
    limit: str | None = None
    value: str = ""

    def done(self) -> float | str:
        """What was done since the edge was new; in words why it is not known."""
        value, initial = figure_in(self.value), figure_in(self.initial or "")
        if value is None:
            return self.value[:60] or "no figure"
        if self.counts == "DOWN":
            if initial is None:
                return "counts down from a life that is not given"
            done = initial - value
        elif self.counts == "UP":
            done = value - (initial or 0.0)
        else:
            return "counts neither up nor down"
        return done if done >= 0.0 else f"stands at {value:g}, begun at {initial or 0.0:g}"


@dataclass
class _Tool:
    """One cutting tool of a document."""

    attributes: Mapping[str, str]
    states: list[str] = field(default_factory=list)
    reconditions: str = ""
    lives: list[_Life] = field(default_factory=list)
    items: dict[str, list[_Life]] = field(default_factory=dict)

    @property
    def edge(self) -> str:
        """What tells the life of this edge from others."""
        name = self.attributes.get("assetId") or self.attributes.get("serialNumber", "")
        return f"{name}, recondition {self.reconditions}" if self.reconditions not in ("", "0") else name

    def rows(self) -> list[list[Any]]:
        """Its lives: of the tool, or of its items where the tool as a whole has none."""
        if self.items and not any(life.kind in _TYPES for life in self.lives):
            return [self.row(lives, f"{self.edge}, item {name}") for name, lives in self.items.items()]
        return [self.row(self.lives, self.edge)]

    def row(self, lives: Sequence[_Life], edge: str) -> list[Any]:
        """One row under `HEADINGS`."""
        done = {_TYPES[life.kind]: life for life in lives if life.kind in _TYPES}
        limits = [f"{life.limit} {_TYPES[life.kind]}" for life in done.values() if life.limit]
        why = next((state for state in _TELLING if state in self.states), "".join(self.states[:1]))
        moment = moment_of(self.attributes.get("timestamp", ""))
        when = moment or self.attributes.get("timestamp", "")
        cells = [done[name].done() if name in done else None for name in _TYPES.values()]
        of = self.attributes.get("toolId", "")
        machine = self.attributes.get("deviceUuid", "")
        return [
            of, edge, when, machine, *cells, why, "; ".join(limits), self.reconditions, ", ".join(self.states),
        ]  # fmt: skip


class Assets:
    """Takes cutting tools from a document as it is walked through."""

    def __init__(self, shown: str) -> None:
        self.shown, self.version = shown, ""
        self.tools: dict[str, _Tool] = {}
        self.tool: _Tool | None = None
        self.life: _Life | None = None
        self.item = ""
        self.repeated = self.others = self.kinds_passed = 0

    def begin(self, path: tuple[str, ...], attributes: Mapping[str, str]) -> None:
        """An element begins."""
        name = path[-1]
        if name == "Header" and len(path) == 2:
            self.version = " ".join(attributes.get("version", "").split())[:20]
        elif len(path) == 3 and path[1] == "Assets":
            self.tool = _Tool(dict(attributes)) if name == "CuttingTool" else None
            self.others += name != "CuttingTool"
        elif self.tool is not None and name == "CuttingItem":
            self.item = attributes.get("indices") or attributes.get("itemId") or str(len(self.tool.items) + 1)
        elif self.tool is not None and name in ("ToolLife", "ItemLife"):
            # "maximum" stood in the first published documents for the life that a count runs from or to.
            limit = attributes.get("limit") or attributes.get("maximum")
            initial = attributes.get("initial")
            counts = attributes.get("countDirection", "")
            initial = attributes.get("maximum") if initial is None and counts == "DOWN" else initial
            self.life = _Life(attributes.get("type", ""), counts, initial, limit)

    def end(self, path: tuple[str, ...], text: str) -> None:
        """An element ends."""
        name, tool = path[-1], self.tool
        if tool is None:
            return
        if name == "Status":
            tool.states.append(text.upper()[:40])
        elif name == "ReconditionCount":
            tool.reconditions = text[:20]
        elif name in ("ToolLife", "ItemLife") and self.life is not None:
            self.life.value = text
            of = tool.lives if name == "ToolLife" else tool.items.setdefault(self.item, [])
            of.append(self.life)
            self.kinds_passed += self.life.kind not in _TYPES
            self.life = None
        elif len(path) == 3:
            self._take(tool)
            self.tool = None

    def _take(self, tool: _Tool) -> None:
        """Take a tool; of two looks at the same life the later one."""
        before = self.tools.get(tool.edge)
        if before is None:
            self.tools[tool.edge] = tool
            return
        self.repeated += 1
        if tool.attributes.get("timestamp", "") >= before.attributes.get("timestamp", ""):
            self.tools[tool.edge] = tool

    def answer(self) -> tuple[dict[str, list[Any]], dict[str, list[Any]], list[str]]:
        """The sheet of tool lives, no other, and remarks."""
        remarks = [f"MTConnect Assets {self.version}".strip() + f", cutting tools: {len(self.tools)}"]
        if self.repeated:
            remarks.append(
                f"cutting tools that stand there again: {self.repeated}; the latest look at each life counts"
            )
        if self.others:
            remarks.append(f"assets that are no cutting tools, not read: {self.others}")
        if self.kinds_passed:
            remarks.append(f"lives counted neither in minutes nor in parts, not read: {self.kinds_passed}")
        rows = [row for tool in self.tools.values() for row in tool.rows()]
        if not rows:
            return {}, {}, remarks
        remarks.append('a life is taken as counted since the last reconditioning; "EXPIRED" as changed by its interval')
        return {SHEET: [list(HEADINGS), *rows]}, {}, remarks
