"""Observations in a document of MTConnect Streams: taken in the order of their sequence, doubtful ones counted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from linesim.errors import listed
from linesim.records.mtconnect_counts import Counter, count_rows, load_rows
from linesim.records.mtconnect_moments import figure_in, moment_of, sequence_of
from linesim.records.mtconnect_stops import (
    STATES,
    UNAVAILABLE,
    Span,
    merged_spans,
    periods_of,
    running_by_day,
    stop_rows,
)

__all__ = ["COUNTS", "LOAD", "STOPS", "Streams"]

STOPS = ("machine", "start", "end", "reason", "minutes", "states")
COUNTS = ("when", "machine", "good", "scrap", "running minutes")
LOAD = ("when", "machine", "of", "samples", "mean load %", "greatest load %")
"""Headings of the sheets."""

_CATEGORIES = ("Samples", "Events", "Condition")
_CONDITIONS = ("Normal", "Warning", "Fault", "Unavailable")
_TAKEN = ("Execution", "PartCount", "Load", "Availability")
_COUNTED = ("ALL", "GOOD", "BAD")
_PASSED = {
    "repeated": "repeat a sequence number, the first of each counts",
    "undated": "left out, no date that can be read",
    "back": "left out, dated before the one before of the same data item",
    "no state": "left out, no Execution that the standard has",
    "no figure": "left out, no count or load",
    "other counts": "counters left out, which count neither all nor good nor bad parts",
    "unavailable": "UNAVAILABLE, which counts as time not run and as no part made",
}
"""What may be the matter with observations."""
_MOST_NAMED = 6
_Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class _Observation:
    """One observation that is taken."""

    kind: str
    device: str
    component: str
    item: str
    subtype: str
    code: str
    sequence: int
    when: datetime
    value: str


class Streams:
    """Takes observations from a document as it is walked through."""

    def __init__(self, shown: str) -> None:
        self.shown, self.version = shown, ""
        self.device = self.component = ""
        self.pending: Mapping[str, str] = {}
        self.taken: list[_Observation] = []
        self.sequences: set[int] = set()
        self.devices: dict[str, None] = {}
        self.count = 0
        self.remarks: list[str] = []
        self.passed: dict[str, list[int]] = {}
        self.first: datetime | None = None
        self.last: datetime | None = None

    def begin(self, path: tuple[str, ...], attributes: Mapping[str, str]) -> None:
        """An element begins."""
        name = path[-1]
        if name == "Header" and len(path) == 2:
            self.version = _name(attributes, "version")[:20]
        elif name == "DeviceStream":
            self.device = _name(attributes, "name", "uuid")
            self.devices[self.device] = None
        elif name == "ComponentStream":
            self.component = _name(attributes, "name", "componentId", "component")
        elif len(path) > 1 and path[-2] in _CATEGORIES:
            self.pending = attributes

    def end(self, path: tuple[str, ...], text: str) -> None:
        """An element ends; an observation is taken if it is of use."""
        if len(path) < 2 or path[-2] not in _CATEGORIES:
            return
        kind, attributes = path[-1], self.pending
        self.count += 1
        given, when = sequence_of(attributes.get("sequence")), moment_of(attributes.get("timestamp", ""))
        sequence = self.count if given is None else given
        if given is not None and given in self.sequences:
            self._pass("repeated", sequence)
            return
        self.sequences |= {sequence} if given is not None else set()
        if when is None:
            self._pass("undated", sequence)
            return
        self.first = min(self.first or when, when)
        self.last = max(self.last or when, when)
        if kind not in _TAKEN and not (path[-2] == "Condition" and kind in _CONDITIONS):
            return
        value = text.upper() if path[-2] == "Events" else text
        if UNAVAILABLE in (value.upper(), kind.upper()):
            self._pass("unavailable", sequence)
        item, code = attributes.get("dataItemId", ""), attributes.get("nativeCode", "")
        subtype = attributes.get("subType", "").upper()
        seen = _Observation(kind, self.device, self.component, item, subtype, code, sequence, when, value)
        self.taken.append(seen)

    def _pass(self, name: str, sequence: int) -> None:
        """Note an observation that does not serve, or not as it stands."""
        self.passed.setdefault(name, []).append(sequence)

    def answer(self) -> tuple[dict[str, list[Any]], dict[str, list[Any]], list[str]]:
        """The sheets of stops and counts, that of load, which no kind of record takes, and remarks."""
        self.taken.sort(key=lambda each: each.sequence)
        groups: dict[str, dict[_Key, list[_Observation]]] = {kind: {} for kind in (*_TAKEN, "Condition")}
        for seen in self.taken:
            kind = "Condition" if seen.kind in _CONDITIONS else seen.kind
            groups[kind].setdefault((seen.device, seen.component, seen.item), []).append(seen)
        stops, running = self._stops(groups["Execution"], groups["Condition"])
        counts = self._counts(groups["PartCount"], running)
        load = self._load(groups["Load"])
        sheets = {"stops": [list(STOPS), *stops]} if stops else {}
        sheets |= {"counts": [list(COUNTS), *counts]} if counts else {}
        unread = {"load": [list(LOAD), *load]} if load else {}
        return sheets, unread, [*self._head(), *self.remarks]

    def _ordered(self, group: list[_Observation]) -> Iterator[_Observation]:
        """Yield observations of one data item; those whose time lies before the one before are left out."""
        last: datetime | None = None
        for seen in group:
            if last is not None and seen.when < last:
                self._pass("back", seen.sequence)
                continue
            last = seen.when
            yield seen

    def _stops(
        self, executions: dict[_Key, list[_Observation]], conditions: dict[_Key, list[_Observation]]
    ) -> tuple[list[Any], dict[str, Any]]:
        """Rows of stops, and running minutes by day of each machine."""
        rows: list[Any] = []
        running: dict[str, Any] = {}
        faults: dict[str, list[Span]] = {}
        for (device, _, _), group in conditions.items():
            faults.setdefault(device, []).extend(self._faults(group))
        merged, names = {device: merged_spans(each) for device, each in faults.items()}, _machines(executions)
        for key, group in executions.items():
            states = [(seen.when, seen.value) for seen in self._ordered(group) if self._is_state(seen)]
            if self.last is None or not states:
                continue
            machine, periods = names[key], periods_of(states, self.last)
            rows += stop_rows(machine, periods, merged.get(key[0], []))
            running[machine] = running_by_day(periods)
        return rows, running

    def _is_state(self, seen: _Observation) -> bool:
        """Whether an Execution is one of the standard's; others are noted."""
        if seen.value not in STATES:
            self._pass("no state", seen.sequence)
        return seen.value in STATES

    def _faults(self, group: list[_Observation]) -> Iterator[Span]:
        """Yield when a condition was a fault: until the same one, or all of its data item, is normal again."""
        open_: dict[str, datetime] = {}
        for seen in self._ordered(group):
            if seen.kind == "Fault":
                open_.setdefault(seen.code, seen.when)
                continue
            for code in [seen.code] if seen.code else list(open_):
                if code in open_:
                    yield open_.pop(code), seen.when
        yield from ((start, self.last or start) for start in open_.values())

    def _counts(self, group: dict[_Key, list[_Observation]], running: dict[str, Any]) -> list[Any]:
        """Rows of counts by day."""
        counters: dict[str, list[Counter]] = {}
        names = _machines(group)
        for key, each in group.items():
            subtype = each[0].subtype or "ALL"
            if subtype not in _COUNTED:
                self._pass("other counts", each[0].sequence)
                continue
            counters.setdefault(names[key], []).append(Counter(subtype, tuple(self._figures(each))))
        kinds = {counter.counts for each in counters.values() for counter in each}
        if kinds == {"ALL"}:
            self.remarks.append("the counter does not part good from bad: all of its parts count as good")
        return [row for name, each in counters.items() for row in count_rows(name, each, running.get(name, {}))]

    def _load(self, group: dict[_Key, list[_Observation]]) -> list[Any]:
        """Rows of load by day."""
        rows = []
        for key, each in group.items():
            rows += load_rows(key[0], key[1], list(self._figures(each)))
        if rows:
            samples, greatest = sum(row[3] for row in rows), max(row[5] for row in rows)
            mean = sum(row[3] * row[4] for row in rows) / samples
            text = f"load: {samples} samples, mean {mean:.0f} %, greatest {greatest:g} %"
            self.remarks.append(f"{text}; no kind of record takes load, so it is set aside")
        return rows

    def _figures(self, group: list[_Observation]) -> Iterator[tuple[datetime, float]]:
        """Yield what stands in observations that are figures; others are noted."""
        for seen in self._ordered(group):
            value = figure_in(seen.value)
            if value is not None and value >= 0.0:
                yield seen.when, value
            elif seen.value.upper() != UNAVAILABLE:
                self._pass("no figure", seen.sequence)

    def _head(self) -> list[str]:
        """Which document it is, and which observations in it could not serve."""
        span = f", {self.first:%Y-%m-%d %H:%M} to {self.last:%Y-%m-%d %H:%M}" if self.first and self.last else ""
        head = f"MTConnect Streams {self.version} of {listed(self.devices)}{span}, observations: {self.count}"
        times = "times stand as the document has them, in UTC where it says so; days begin at its midnight"
        return [
            head,
            times,
            *(_noted(text, self.passed[name]) for name, text in _PASSED.items() if name in self.passed),
        ]


def _noted(text: str, sequences: list[int]) -> str:
    """How many observations, and the sequence numbers of the first."""
    first = ", ".join(map(str, sequences[:_MOST_NAMED]))
    more = " and more" if len(sequences) > _MOST_NAMED else ""
    return f"{text}: {len(sequences)} (sequence {first}{more})"


def _name(attributes: Mapping[str, str], *choices: str) -> str:
    """The first of some attributes that says something."""
    return " ".join(next((attributes[each] for each in choices if attributes.get(each)), "").split())[:80]


def _machines(group: Mapping[_Key, Any]) -> dict[_Key, str]:
    """What to call machines: by device, and by component where several of a device are alike."""
    components: dict[str, set[str]] = {}
    for device, component, _ in group:
        components.setdefault(device, set()).add(component)
    return {key: f"{key[0]} {key[1]}" if len(components[key[0]]) > 1 else key[0] for key in group}
