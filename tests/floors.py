"""Small floors for tests: operations as plain values, a run of them, and all that was seen of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any, NamedTuple

from linesim.floor.part import Part
from linesim.floor.run import Floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import State, Tally
from linesim.works import Works, works_from_dict

__all__ = ["PLAIN", "Change", "Seen", "Values", "a_blade", "a_cut", "a_shop", "a_tool", "run_shop"]

PLAIN = {
    "grades": {
        "plain": {
            "based_on": "carbide",
            "force_growth": 0.0,
            "wear_b": 0.0,
            "wear_tau": 1.0,
            "wear_gamma": 1.0,
            "roughness_growth": 0.0,
            "roughness_floor_um": 0.1,
        }
    }
}
"""A grade without scatter whose wear land grows in proportion to the life share."""


class Values(NamedTuple):
    """True values of every place of a part at one moment."""

    error_um: list[float]
    roughness_um: list[float]
    scratch_um: list[float]
    is_clean: list[bool]
    position_um: list[float]
    tilt_um: list[float]
    form_um: list[float]


class Change(NamedTuple):
    """One cutter set changed."""

    now_min: float
    machine: str
    cutter: str
    why: str
    life_share: float
    parts: int


class Seen:
    """Listens to a floor; everything by name, moments in minutes from the start.

    Attributes
    ----------
    moments : dict
        By (what, operation): line and serial number of the part to the moment; what is loaded, complete, left or
        scrapped.
    values : dict
        By (what, operation): line and serial number to the true values at that moment.
    spans : dict
        By machine: what it did from when to when, without what took no time.
    changes : list of Change
        In the order in which the machines stopped for them.
    """

    plan: Plan
    tally: Tally
    floor: Floor

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.moments: dict[tuple[str, str], dict[tuple[str, int], float]] = defaultdict(dict)
        self.values: dict[tuple[str, str], dict[tuple[str, int], Values]] = defaultdict(dict)
        self.machine_of: dict[tuple[str, str, int], str] = {}
        self.spans: dict[str, list[tuple[str, float, float]]] = defaultdict(list)
        self.changes: list[Change] = []
        self._doing: dict[str, tuple[State, float]] = {}

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        name = self.plan.names.machines[machine]
        self.close(name, now_min)
        self._doing[name] = (state, now_min)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        names = self.plan.names
        key = (names.lines[part.line], part.serial)
        self.moments[what, names.operations[operation]][key] = now_min
        true = (part.error_um, part.roughness_um, part.scratch_um, part.is_clean)
        values = Values(*map(list, true), *map(list, (part.position_um, part.tilt_um, part.form_um)))
        self.values[what, names.operations[operation]][key] = values
        self.machine_of[names.operations[operation], *key] = names.machines[machine]

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        names = self.plan.names
        kind = names.kinds[int(self.plan.mounts.kind[mount])]
        self.changes.append(Change(now_min, names.machines[machine], kind, why, life_share, parts))

    def close(self, machine: str, now_min: float) -> None:
        """Write down what a machine did until now."""
        state, since_min = self._doing.get(machine, (State.WAITING_FOR_PART, 0.0))
        if now_min > since_min:
            self.spans[machine].append((state.words, since_min, now_min))
        self._doing[machine] = (state, now_min)

    def when(self, what: str, operation: str, line: str = "line") -> list[float]:
        """Moments of a line's parts at an operation, in the order of their serial numbers."""
        found = self.moments[what, operation]
        return [found[key] for key in sorted(found) if key[0] == line]

    def of_parts(self, what: str, operation: str, line: str = "line") -> list[Values]:
        """True values of a line's parts at an operation, in the order of their serial numbers."""
        found = self.values[what, operation]
        return [found[key] for key in sorted(found) if key[0] == line]

    def errors(self, operation: str, place: int = 0, what: str = "complete") -> list[float]:
        """Error of one place after an operation, part by part, µm."""
        return [values.error_um[place] for values in self.of_parts(what, operation)]

    def spans_in(self, machine: str, state: State) -> list[tuple[float, float]]:
        """From when to when a machine was in a state."""
        return [(start, end) for words, start, end in self.spans[machine] if words == state.words]

    def minutes_in(self, machine: str, state: State) -> float:
        """Minutes that a machine was in a state."""
        return sum(end - start for start, end in self.spans_in(machine, state))

    def order_in(self, state: State) -> Iterator[tuple[float, str]]:
        """When machines began to be in a state, and which."""
        begun = [(start, name) for name in self.spans for start, _ in self.spans_in(name, state)]
        return iter(sorted(begun))


def a_shop(
    operations: dict[str, dict[str, Any]] | None = None,
    *,
    length: float = 1000.0,
    warm_up: float = 0.0,
    castings: int | None = None,
    line: dict[str, Any] | None = None,
    lines: dict[str, dict[str, Any]] | None = None,
    rule: Any = "run out",
    exceptions: dict[str, Any] | None = None,
    group_past: float | None = None,
    **works: Any,
) -> Works:
    """A works with one line ("line") of the operations given, or with the lines given, and one policy.

    Parameters
    ----------
    castings : int, optional
        Limit of castings of the one line.
    line : dict, optional
        More entries of the one line.
    """
    one = {"material": "EN-GJL-250", "operations": operations or {}, **(line or {})}
    if castings is not None:
        one["casting"] = {"limit": castings, **one.get("casting", {})}
    policy = {"default": rule, "exceptions": exceptions or {}, "group_past": group_past}
    content = {
        "name": "a shop for tests",
        "run": {"length": length, "warm_up": warm_up},
        "handbook": PLAIN,
        "lines": lines or {"line": one},
        "policies": {"as stated": policy},
        **works,
    }
    return works_from_dict(content, "a shop")


def run_shop(works: Works, seed: int = 1, replication: int = 0) -> Seen:
    """Run a works once and see all of it."""
    plan = make_plan(works, next(iter(works.policies)))
    seen = Seen(plan)
    floor = Floor(plan, seed, replication, [seen])
    floor.run_until(plan.warm_up_min)
    floor.start_counting()
    floor.run_until(plan.warm_up_min + plan.length_min)
    seen.tally, seen.floor = floor.finish(), floor
    for name in plan.names.machines:
        seen.close(name, plan.warm_up_min + plan.length_min)
    return seen


def a_tool(**entries: Any) -> dict[str, Any]:
    """A cutter set for an operation given by its minutes: two sets, bought new without delay, no extra minutes."""
    return {"sets": 2, "extra_when_broken": 0.0, "renewal": {"bought": {}}, **entries}


def a_blade(**entries: Any) -> dict[str, Any]:
    """A cutter set for cuts, without scatter: lasts 100 min, Ra 1 µm, recedes 30 µm by the end of its life."""
    edge = {
        "grade": "plain",
        "life": 100.0,
        "life_cv": 0.0,
        "breaking": "never",
        "wear_limit": 0.3,
        "clearance_angle": 5.710593137499643,
        "sharp_roughness": 1.0,
    }
    return {**a_tool(), **edge, **entries}


def a_cut(cutter: str = "blade", **entries: Any) -> dict[str, Any]:
    """A cut of the face of known minutes, which copies nothing and has no scatter."""
    certain = {"repeatability": 0.0, "stress_release": 0.0, "roughness_cv": 0.0, "copying": 0.0, "stiffness": 10.0}
    return {
        "feature": "face",
        "cutter": cutter,
        "process": "boring",
        "depth": 1.0,
        "minutes": 1.0,
        **certain,
        **entries,
    }
