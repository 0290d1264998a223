"""How a line stands now, as one small table that a person fills in, and as the state that a run begins from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

import pandas as pd

from linesim.cards import tool_cards
from linesim.plan.build import make_plan
from linesim.plan.magazines import mounted_sets
from linesim.plan.plan import Plan
from linesim.words import keep, say
from linesim.works import Works
from linesim.works.now import OperationNow, SetsNow, of_machine

__all__ = [
    "COLUMNS", "DONE", "DOWN", "GROUND", "ORDERED", "SHARP", "WAITING", "StandingRow", "as_table", "now_of",
    "standing_rows", "unsaid", "with_figures",
]  # fmt: skip

DONE: str = keep("standing.done")
WAITING: str = keep("standing.waiting")
DOWN: str = keep("standing.down")
SHARP: str = keep("standing.sharp")
GROUND: str = keep("standing.ground")
ORDERED: str = keep("standing.ordered")

COLUMNS = ("what", "line", "operation", "machine", "cutter", "figure", "remark")


@dataclass(frozen=True)
class StandingRow:
    """One figure of how a line stands.

    Attributes
    ----------
    what : str
        One of the six words of this module.
    line, operation, machine, cutter : str
        Of what; empty where it does not matter.
    figure : float or None
        Parts, sets or minutes; None where nobody has said.
    remark : str
        For who fills it in.
    """

    what: str
    line: str = ""
    operation: str = ""
    machine: str = ""
    cutter: str = ""
    figure: float | None = None
    remark: str = ""

    @property
    def key(self) -> tuple[str, ...]:
        """What it is the figure of."""
        return (self.what, self.line, self.operation, self.machine, self.cutter)


def standing_rows(works: Works, policy: str | None = None) -> list[StandingRow]:
    """Every figure that says how a line stands, as the scenario's ``now`` has it.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        For its remarks on when a set is due; today's practice unless given.

    Returns
    -------
    list of StandingRow
        Mounted sets machine by machine, then parts, machines and sets; the figure is None where ``now`` says nothing.
    """
    plan = make_plan(works, works.chosen_policy(policy))
    mounted = [*_mounted(works, plan)]
    return [*mounted, *_waiting(works), *_down(works, plan), *_sets(works, plan)]


def as_table(rows: Iterable[StandingRow]) -> pd.DataFrame:
    """Rows as a table with the columns that a file of them has."""
    table = pd.DataFrame([asdict(row) for row in rows], columns=list(COLUMNS))
    table["figure"] = pd.to_numeric(table["figure"]).astype("Float64")
    return table


def now_of(works: Works, rows: Sequence[StandingRow]) -> dict[str, Any]:
    """The rows as a scenario's ``now``, as a file would say it; what nobody has said is assumed, see `unsaid`.

    Parameters
    ----------
    works : Works
        Whose rows they are.
    rows : sequence of StandingRow
        One for each figure, as from `standing_rows`.
    """
    lines: dict[str, Any] = {line: {} for line in works.lines}
    sets: dict[str, dict[str, Any]] = {}
    for row in rows:
        if row.operation:
            of = lines[row.line].setdefault(row.operation, {"edges": {}, "down": []})
        figure = row.figure or 0.0
        if row.what == DONE:
            of["edges"].setdefault(row.cutter, []).append(int(figure))
        elif row.what == WAITING:
            of["waiting"] = _assumed_waiting(works, row.line, row.operation) if row.figure is None else int(figure)
        elif row.what == DOWN:
            of["down"].append(figure)
        else:
            sets.setdefault(row.cutter, {})[row.what] = row.figure
    plan = make_plan(works, works.todays_policy)
    spare = dict(zip(plan.names.kinds, (plan.kinds.sets - mounted_sets(plan)).tolist(), strict=True))
    return {"lines": lines, "sets": {cutter: _settled(works, cutter, of, spare[cutter]) for cutter, of in sets.items()}}


def _settled(works: Works, cutter: str, of: dict[str, Any], spare: int) -> dict[str, int]:
    """Where the sets are that nobody has counted: at the grinder if the kind is reground, else on order.

    If no sharp ones were counted either, all that are left stand sharp.
    """
    known = {name: int(of[word]) for name, word in _SETS.items() if of.get(word) is not None}
    if "sharp" in known:
        rest = max(spare - sum(known.values()), 0)
        for name in ("at_grinder", "ordered") if works.cutters[cutter].renewal.reground else ("ordered",):
            if name not in known:
                known[name], rest = rest, 0
    return known


_SETS = {"sharp": SHARP, "at_grinder": GROUND, "ordered": ORDERED}


def unsaid(rows: Sequence[StandingRow]) -> Iterator[str]:
    """What is assumed for the figures that nobody has said, in sentences."""
    edges = [row for row in rows if row.what == DONE and row.figure is None]
    if edges:
        count = len([row for row in rows if row.what == DONE])
        named = [say("coming.set_at", machine=row.machine, cutter=row.cutter) for row in edges[:_MOST_NAMED]]
        sets = say("format.and_more", names=named, more=len(edges) - len(named)) if edges[len(named) :] else named
        yield say("coming.none_stated") if len(edges) == count else say("coming.not_stated", sets=sets)
    for what, (of_all, of_some) in _ASSUMED.items():
        missing = [row for row in rows if row.what == what and row.figure is None]
        if missing and len(missing) == len([row for row in rows if row.what == what]):
            yield say(of_all)
        elif missing:
            named = [row.cutter or row.machine or row.operation for row in missing[:_MOST_NAMED]]
            yield say(of_some, names=say("format.and_others", names=named) if missing[len(named) :] else named)


_ASSUMED = {
    WAITING: ("coming.waiting", "coming.waiting_of"), DOWN: ("coming.down", "coming.down_of"),
    SHARP: ("coming.sharp", "coming.sharp_of"),
}  # fmt: skip
"""What is said where nobody has stated a figure of a kind, and where some are not stated."""
_MOST_NAMED = 4


def with_figures(rows: Sequence[StandingRow], figures: dict[tuple[str, ...], float | None]) -> list[StandingRow]:
    """The rows with some figures put in by their keys."""
    return [replace(row, figure=figures[row.key]) if row.key in figures else row for row in rows]


def _now(works: Works, line: str, operation: str) -> OperationNow | None:
    """How an operation stands by the scenario; None where it says nothing of how anything stands."""
    return None if works.now is None else works.now.lines.get(line, {}).get(operation, OperationNow())


def _mounted(works: Works, plan: Plan) -> Iterator[StandingRow]:
    when = {(card.line, card.operation, each.cutter): each.when for card in tool_cards(works, plan.policy).cards
            for each in card.sets}  # fmt: skip
    for mount, kind in enumerate(plan.mounts.kind.tolist()):
        line, operation, machine, number = _of_machine(plan, int(plan.mounts.machine[mount]))
        cutter, now = plan.names.kinds[kind], _now(works, line, operation)
        done = None if now is None else float(of_machine(now.edges.get(cutter, 0), number))
        remark = keep("standing.changed", when=when[line, operation, cutter])
        yield StandingRow(DONE, line, operation, machine, cutter, done, remark)


def _of_machine(plan: Plan, machine: int) -> tuple[str, str, str, int]:
    """Line, operation, name and number among the like ones, from 0."""
    operation = int(plan.machines.operation[machine])
    line = plan.names.lines[int(plan.operations.line[operation])]
    number = machine - int(plan.operations.first_machine[operation])
    return line, plan.names.operations[operation], plan.names.machines[machine], number


def _waiting(works: Works) -> Iterator[StandingRow]:
    for line, of in works.lines.items():
        for name, operation in of.operations.items() if _goes_one_way(works, line) else ():
            is_first = name == next(iter(of.operations))
            if is_first and of.casting.arrivals is None:
                continue  # castings are always to be had there
            now = _now(works, line, name)
            room = keep("standing.holds", parts=operation.buffer) if isinstance(operation.buffer, int) else ""
            yield StandingRow(WAITING, line, name, "", "", None if now is None else float(now.waiting), room)


def _goes_one_way(works: Works, line: str) -> bool:
    """Whether it is known of a part that waits in a line what has been done to it."""
    of = works.lines[line]
    meets = any(
        each.joins and line in (name, *each.joins)
        for name, row in works.lines.items()
        for each in row.operations.values()
    )
    return not of.branches and len(of.parts) < 2 and not meets


def _assumed_waiting(works: Works, line: str, operation: str) -> int:
    """Parts that are taken to stand before an operation where nobody has counted: half of what its buffer holds."""
    of, at = works.lines[line], works.lines[line].operations[operation]
    is_bounded = of.pallets is not None or of.casting.limit is not None or at.move is not None
    if operation == next(iter(of.operations)) or is_bounded or not isinstance(at.buffer, int):
        return 0
    return (at.buffer + 1) // 2


def _down(works: Works, plan: Plan) -> Iterator[StandingRow]:
    for machine in range(len(plan.names.machines)):
        line, operation, name, number = _of_machine(plan, machine)
        now = _now(works, line, operation)
        minutes = None if now is None else float(of_machine(now.down, number))
        yield StandingRow(DOWN, line, operation, name, "", minutes, keep("standing.runs"))


def _sets(works: Works, plan: Plan) -> Iterator[StandingRow]:
    mounted = mounted_sets(plan)
    for kind, (cutter, of) in enumerate(works.cutters.items()):
        now = None if works.now is None else works.now.sets.get(cutter, SetsNow())
        remark = keep("standing.sets", sets=of.sets, mounted=int(mounted[kind]))
        figures = {SHARP: None if now is None else now.sharp, ORDERED: None if now is None else now.ordered}
        if of.renewal.reground is not None:
            figures = {SHARP: figures[SHARP], GROUND: None if now is None else now.at_grinder, **figures}
        for what, figure in figures.items():
            yield StandingRow(what, "", "", "", cutter, None if figure is None else float(figure), remark)
