"""Observations in a document of MTConnect Streams: taken in the order of their sequence, doubtful ones counted."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from linesim.errors import listed
from linesim.records.mtconnect_counts import Counter, count_rows, load_rows
from linesim.records.mtconnect_moments import figure_in, moment_of, sequence_of
from linesim.records.mtconnect_stops import STATES, UNAVAILABLE, Span, periods_of, running_by_day, stop_rows

__all__ = ["COUNTS", "LOAD", "STOPS", "Streams"]

STOPS = ("machine", "start", "end", "reason", "minutes", "states")
COUNTS = ("when", "machine", "good", "scrap", "running minutes")
LOAD = ("when", "machine", "of", "samples", "mean load %", "greatest load %")
"""Headings of the sheets."""

_CATEGORIES = ("Samples", "Events", "Condition")
_CONDITIONS = ("Normal", "Warning", "Fault", "Unavailable")
_TAKEN = ("Execution", "PartCount", "Load", "Availability")
_COUNTED = ("ALL", "GOOD", "BAD")
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
    when: datetime
    value: str


class Streams:
    """Takes observations from a document as it is walked through."""

    def __init__(self, shown: str) -> None:
        self.shown, self.version = shown, ""
        self.device = self.component = ""
        self.pending: Mapping[str, str] = {}
        self.taken: list[tuple[int, _Observation]] = []
        self.sequences: set[int] = set()
        self.devices: dict[str, None] = {}
        self.tally: Tally[str] = Tally()
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
        self.tally["all"] += 1
        sequence, when = sequence_of(attributes.get("sequence")), moment_of(attributes.get("timestamp", ""))
        if sequence is not None and sequence in self.sequences:
            self.tally["repeated"] += 1
            return
        if sequence is not None:
            self.sequences.add(sequence)
        if when is None:
            self.tally["undated"] += 1
            return
        self.first = min(self.first or when, when)
        self.last = max(self.last or when, when)
        if kind not in _TAKEN and not (path[-2] == "Condition" and kind in _CONDITIONS):
            return
        value = text.upper() if path[-2] == "Events" else text
        self.tally["unavailable"] += UNAVAILABLE in (value.upper(), kind.upper())
        item, code = attributes.get("dataItemId", ""), attributes.get("nativeCode", "")
        subtype = attributes.get("subType", "").upper()
        seen = _Observation(kind, self.device, self.component, item, subtype, code, when, value)
        self.taken.append((len(self.taken) if sequence is None else sequence, seen))

    def answer(self) -> tuple[dict[str, list[Any]], dict[str, list[Any]], list[str]]:
        """The sheets of stops and counts, that of load, which no kind of record takes, and remarks."""
        self.taken.sort(key=lambda each: each[0])
        groups: dict[str, dict[_Key, list[_Observation]]] = {kind: {} for kind in (*_TAKEN, "Condition")}
        for _, seen in self.taken:
            kind = "Condition" if seen.kind in _CONDITIONS else seen.kind
            groups[kind].setdefault((seen.device, seen.component, seen.item), []).append(seen)
        stops, running = self._stops(groups["Execution"], groups["Condition"])
        counts = self._counts(groups["PartCount"], running)
        load = self._load(groups["Load"])
        sheets = {"stops": [list(STOPS), *stops]} if stops else {}
        sheets |= {"counts": [list(COUNTS), *counts]} if counts else {}
        unread = {"load": [list(LOAD), *load]} if load else {}
        return sheets, unread, self._remarks(load, groups["Availability"])

    def _ordered(self, group: list[_Observation]) -> Iterator[_Observation]:
        """Yield observations of one data item; those whose time lies before the one before are left out."""
        last: datetime | None = None
        for seen in group:
            if last is not None and seen.when < last:
                self.tally["back"] += 1
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
        for key, group in executions.items():
            states = [(seen.when, seen.value) for seen in self._ordered(group) if self._is_state(seen.value)]
            if self.last is None or not states:
                continue
            machine, periods = _machine(key, executions), periods_of(states, self.last)
            rows += stop_rows(machine, periods, faults.get(key[0], []))
            running[machine] = running_by_day(periods)
        return rows, running

    def _is_state(self, value: str) -> bool:
        """Whether an Execution is one of the standard's; others are counted."""
        self.tally["no state"] += value not in STATES
        return value in STATES

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
        for key, each in group.items():
            subtype = each[0].subtype or "ALL"
            if subtype not in _COUNTED:
                self.tally["other counts"] += 1
                continue
            read = [(seen.when, figure_in(seen.value)) for seen in self._ordered(each) if seen.value != UNAVAILABLE]
            known = tuple((when, value) for when, value in read if value is not None and value >= 0.0)
            self.tally["no figure"] += len(read) - len(known)
            counters.setdefault(_machine(key, group), []).append(Counter(subtype, known))
        kinds = {counter.counts for each in counters.values() for counter in each}
        self.tally["not parted"] += bool(kinds) and not kinds & {"GOOD", "BAD"}
        return [row for name, each in counters.items() for row in count_rows(name, each, running.get(name, {}))]

    def _load(self, group: dict[_Key, list[_Observation]]) -> list[Any]:
        """Rows of load by day."""
        rows = []
        for key, each in group.items():
            read = [(seen.when, figure_in(seen.value)) for seen in self._ordered(each)]
            known = [(when, value) for when, value in read if value is not None]
            rows += load_rows(key[0], key[1], known)
        return rows

    def _remarks(self, load: list[Any], availability: dict[_Key, list[_Observation]]) -> list[str]:
        """Which document it is, and what in it could not serve."""
        span = f", {self.first:%Y-%m-%d %H:%M} to {self.last:%Y-%m-%d %H:%M}" if self.first and self.last else ""
        head = f"MTConnect Streams {self.version} of {listed(self.devices)}{span}, {self.tally['all']} observations"
        words = {
            "unavailable": "are UNAVAILABLE: what was not known then counts as time not run",
            "repeated": "repeat a sequence number: the first of them counts",
            "undated": "have no date that can be read, and are left out",
            "back": "are dated before the one before of the same data item, and are left out",
            "no state": "are Executions that the standard does not have, and are left out",
            "no figure": "are counts that are no figure, and are left out",
            "other counts": "counters count neither all, good nor bad parts, and are not read",
        }
        remarks = [head, "times stand as the document has them, in UTC where it says so; days begin at its midnight"]
        remarks += [f"{self.tally[name]} {text}" for name, text in words.items() if self.tally[name]]
        if self.tally["not parted"]:
            remarks.append("the counter does not part good from bad: all of its parts count as good")
        lost = sum(seen.value == UNAVAILABLE for each in availability.values() for seen in each)
        remarks += [f"machines became UNAVAILABLE {lost} times"] if lost else []
        if load:
            samples, greatest = sum(row[3] for row in load), max(row[5] for row in load)
            mean = sum(row[3] * row[4] for row in load) / samples
            words_of = f"load: {samples} samples, mean {mean:.0f} %, greatest {greatest:g} %"
            remarks.append(f"{words_of}; no kind of record takes load, so it is set aside")
        return remarks


def _name(attributes: Mapping[str, str], *choices: str) -> str:
    """The first of some attributes that says something."""
    return " ".join(next((attributes[each] for each in choices if attributes.get(each)), "").split())[:80]


def _machine(key: _Key, group: Mapping[_Key, Any]) -> str:
    """What to call a machine: its device, and the component where several of it are alike."""
    several = len({component for device, component, _ in group if device == key[0]}) > 1
    return f"{key[0]} {key[1]}" if several else key[0]
