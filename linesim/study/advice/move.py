"""One change to how a works is run: an entry of its policy, a whole policy, or how often a gauge reads."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal, assert_never

from linesim.works import Works
from linesim.works.policies import Policy

__all__ = ["TRIAL", "Move", "moved", "on_trial"]

TRIAL = "on trial"
"""Name of the policy that a move makes of today's."""

Entry = Literal[
    "exceptions", "aims", "corrections", "overhauls", "batches", "sequences", "group_past", "changes", "policy", "every"
]


@dataclass(frozen=True)
class Move:
    """One change, and what a shop calls it.

    Attributes
    ----------
    entry : str
        What is changed: an entry of the policy; "policy" for all of it; "every" for how often a gauge reads.
    key : str
        The set, gauge, operation or line, as a policy names it; the name of the policy; empty for what has none.
    value : object
        What stands there from then on.
    words : str
        An order to the shop without a full stop: "Change the finish blade at Op 60 after 18 parts instead of 14".
    """

    entry: Entry
    key: str
    value: Any
    words: str

    @property
    def lever(self) -> tuple[str, str]:
        """What is moved: of two moves of one lever only one can be made."""
        return ("policy", "") if self.entry == "policy" else (self.entry, self.key)

    def on_policy(self, policy: Policy) -> Policy:
        """The policy with the change in it; the same one where the change lies elsewhere."""
        match self.entry:
            case "exceptions" | "aims" | "corrections" | "overhauls" | "batches" | "sequences":
                return policy.model_copy(update={self.entry: {**getattr(policy, self.entry), self.key: self.value}})
            case "group_past" | "changes":
                return policy.model_copy(update={self.entry: self.value})
            case "policy":
                return self.value  # type: ignore[no-any-return]
            case "every":
                return policy
            case _:
                assert_never(self.entry)

    def on_works(self, works: Works) -> Works:
        """The works with the change in it; the same one where the change lies in the policy."""
        if self.entry != "every":
            return works
        operation_name, _, gauge_name = self.key.partition(" / ")
        lines = dict(works.lines)
        for line_name, line in works.lines.items():
            operation = line.operations.get(operation_name)
            if operation is None or gauge_name not in operation.gauges:
                continue
            gauge = operation.gauges[gauge_name].model_copy(update={"every": self.value})
            changed = operation.model_copy(update={"gauges": {**operation.gauges, gauge_name: gauge}})
            lines[line_name] = line.model_copy(update={"operations": {**line.operations, operation_name: changed}})
        return works.model_copy(update={"lines": lines})


def moved(works: Works, moves: Iterable[Move]) -> Works:
    """The works with all the moves made, and one policy alone: today's as they leave it, called `TRIAL`.

    Parameters
    ----------
    works : Works
        The checked scenario.
    moves : iterable of Move
        At most one of each lever; none for today's practice as it is.

    Returns
    -------
    Works
    """
    policy, changed = works.policies[works.todays_policy], works
    for move in moves:
        policy, changed = move.on_policy(policy), move.on_works(changed)
    return changed.model_copy(update={"policies": {TRIAL: policy}, "today": None})


def on_trial(works: Works, moves: Sequence[Move], name: str) -> tuple[Works, str]:
    """The works with moves made beside today's practice, which stays as it is.

    Parameters
    ----------
    works : Works
        The checked scenario.
    moves : sequence of Move
        One or more, at most one of each lever.
    name : str
        What to call the policy; a number is added where that name is taken by another one.

    Returns
    -------
    (Works, str)
        The works, and the policy under which it is to be looked at. A gauge reads as often as a move says under
        every policy.
    """
    policy, changed = works.policies[works.todays_policy], works
    for move in moves:
        policy, changed = move.on_policy(policy), move.on_works(changed)
    same = policy.model_copy(update={"about": ""})
    others = {known: other.model_copy(update={"about": ""}) for known, other in works.policies.items()}
    match = next((known for known, other in others.items() if other == same), None)
    if match is not None:
        return changed, match
    called, count = name, 1
    while called in works.policies:
        count += 1
        called = f"{name} {count}"
    policy = policy.model_copy(update={"about": " ".join(f"{move.words}." for move in moves)})
    return changed.model_copy(update={"policies": {**works.policies, called: policy}}), called
