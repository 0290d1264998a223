"""One run in short: figures, shares of time and money as plain numbers, small enough to send and to store."""

from __future__ import annotations

import base64
import json
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

import numpy as np

from linesim.errors import StudyError
from linesim.ledger import ITEMS, Item, Ledger
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import State, Tally
from linesim.result.arithmetic import per
from linesim.result.details import Details
from linesim.result.lines import line_columns
from linesim.result.words import findings_of
from linesim.works.model import Works

__all__ = [
    "WHOLE_WORKS",
    "Ready",
    "Row",
    "RunSummary",
    "figures_in",
    "figures_of",
    "ratio",
    "summary_of",
]

WHOLE_WORKS = "whole works"
"""Stands for the line in rows that sum up all lines."""

Row = dict[str, Any]

_ADDED = ("good_per_hour", "parts_in_limits_per_hour", "contribution_per_hour", "castings", "shipped", "scrapped")
_LOSS = ITEMS.index(Item.QUALITY_LOSS.value)
_WRITING = 3
"""Version of the way in which it is written down; 1 had no details, 2 no hours of the setters."""


class Ready(NamedTuple):
    """A plan ready to be run and priced.

    Attributes
    ----------
    works, plan : Works, Plan
        What is run.
    ledger : Ledger
        What a run of it costs; plans of one works share it, whatever their policies.
    details : Details
        What a run tells beside the figures of its lines; shared likewise.
    """

    works: Works
    plan: Plan
    ledger: Ledger
    details: Details

    @classmethod
    def of(cls, works: Works, plan: Plan) -> Ready:
        """A plan with all that prices and reads its runs."""
        return cls(works, plan, Ledger(works, plan), Details(works, plan))


class RunSummary(NamedTuple):
    """One run in short; who ran it under which name of a policy, and where, makes no difference to it.

    Attributes
    ----------
    figures : list of dict
        One row for each line, and one for the whole works.
    machines : tuple of (line, operation, machine)
        What the shares belong to.
    shares : array of float, (machines, states)
        Share of the counted time in each state.
    minor_units : array of int, (lines, items)
        Sums of the ledger, in hundredths of the currency.
    findings : tuple of (str, bool)
        Text, and whether it is a problem.
    details : array of float, (heads,)
        Waits, stock, people, sharp sets and characteristics, under the heads of `linesim.result.details.Details`.
    """

    figures: list[Row]
    machines: tuple[tuple[str, str, str], ...]
    shares: Floats
    minor_units: Ints
    findings: tuple[tuple[str, bool], ...]
    details: Floats

    def as_text(self) -> str:
        """Write it down as one line of JSON; what is not a number becomes null.

        Notes
        -----
        Every float comes back to the last bit: those of figures are written with as many digits as that takes, the
        blocks of shares and details as their bytes (little-endian, base64).
        """
        figures = [{name: None if _is_nan(value) else value for name, value in row.items()} for row in self.figures]
        content = {
            "writing": _WRITING,
            "figures": figures,
            "machines": self.machines,
            "shares": _packed(self.shares),
            "items": ITEMS,
            "minor_units": self.minor_units.tolist(),
            "findings": self.findings,
            "details": _packed(self.details),
        }
        return json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))

    @classmethod
    def from_text(cls, text: str) -> RunSummary | None:
        """Read back what `as_text` has written.

        Returns
        -------
        RunSummary or None
            None for what an earlier version of linesim wrote, which lacks some figures; such a run is made anew.

        Raises
        ------
        StudyError
            It is something else.
        """
        with _damage_told():
            content = json.loads(text)
            return None if 0 < _writing_of(content) < _WRITING else cls._read(content)

    @classmethod
    def _read(cls, content: dict[str, Any]) -> RunSummary:
        if tuple(content["items"]) != ITEMS:
            raise ValueError(f"items {', '.join(ITEMS)} were expected")
        return cls(
            _figures_of(content),
            tuple((str(line), str(operation), str(machine)) for line, operation, machine in content["machines"]),
            _unpacked(content["shares"]).reshape(len(content["machines"]), len(State)),
            np.array(content["minor_units"], dtype=np.int64).reshape(len(content["figures"]) - 1, len(ITEMS)),
            tuple((str(text), bool(is_problem)) for text, is_problem in content["findings"]),
            _unpacked(content["details"]),
        )


def figures_in(text: str) -> list[Row]:
    """The figures of lines in what `RunSummary.as_text` of this or an earlier version of linesim has written.

    Raises
    ------
    StudyError
        It is something else.
    """
    with _damage_told():
        content = json.loads(text)
        _writing_of(content)
        return _figures_of(content)


def _writing_of(content: dict[str, Any]) -> int:
    """In which way something is written down; no version of linesim wrote in a later one."""
    writing = int(content["writing"])
    if not 0 < writing <= _WRITING:
        raise ValueError(f"written in way {writing}, way {_WRITING} was expected")
    return writing


def _figures_of(content: dict[str, Any]) -> list[Row]:
    return [{name: math.nan if value is None else value for name, value in row.items()} for row in content["figures"]]


@contextmanager
def _damage_told() -> Iterator[None]:
    """Whatever cannot be read is told as damage of the store."""
    try:
        yield
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        reason = f"{type(error).__name__}: {error}"
        raise StudyError(f"a run in the store cannot be read ({reason}); it is damaged") from error


def _packed(values: Floats) -> str:
    return base64.b64encode(values.astype("<f8").tobytes()).decode("ascii")


def _unpacked(text: str) -> Floats:
    return np.frombuffer(base64.b64decode(text, validate=True), dtype="<f8").astype(np.float64)


def summary_of(ready: Ready, tally: Tally, is_told: bool = True) -> RunSummary:
    """A run in short, worked out from its tally without any table.

    Parameters
    ----------
    ready : Ready
        What was run.
    tally : Tally
        What the run left behind.
    is_told : bool
        Whether to look for what is to be said of it, and for the details; without, it has neither.

    Returns
    -------
    RunSummary
        With the same figures, to the last bit, as the tables of `linesim.result.Result`.
    """
    works, plan, _, details = ready
    rows, minor_units = figures_of(ready, tally)
    sentences = findings_of(works, plan, tally) if is_told else []
    findings = tuple((str(finding.text), finding.is_problem) for finding in sentences)
    shares = per(tally.state_min, tally.counted_min)
    further = details.values(tally) if is_told else np.zeros(0)
    return RunSummary(rows, _machines(plan), shares, minor_units, findings, further)


def figures_of(ready: Ready, tally: Tally) -> tuple[list[Row], Ints]:
    """Figures of each line and of all together, as `RunSummary` has them, and the ledger's sums in minor units.

    Parameters
    ----------
    ready : Ready
        What was run.
    tally : Tally
        What the run left behind.
    """
    works, plan, ledger, _ = ready
    minor_units = ledger.sums(tally)
    columns = line_columns(works, plan, tally, minor_units.sum(axis=1), minor_units[:, _LOSS])
    names, plain = tuple(columns), [column.tolist() for column in columns.values()]
    planned, unplanned = _changes(plan, tally)
    rows = [
        {"line": line, **dict(zip(names, values, strict=True)), **_per_100(early, late, values[names.index("shipped")])}
        for line, early, late, values in zip(
            plan.names.lines, planned.tolist(), unplanned.tolist(), zip(*plain, strict=True), strict=True
        )
    ]
    whole = {
        **_whole(tally, rows, minor_units),
        **_per_100(int(planned.sum()), int(unplanned.sum()), int(tally.shipped.sum())),
        "setters_hours_per_shift": _setters_hours(plan, tally),
    }
    return [*rows, whole], minor_units


def _whole(tally: Tally, rows: Sequence[Row], minor_units: Ints) -> Row:
    """All lines together: rates add up, shares and means are taken over all parts."""
    shipped, left = int(tally.shipped.sum()), int(tally.shipped.sum() + tally.scrapped_parts.sum())
    return {
        "line": WHOLE_WORKS,
        **{name: sum(row[name] for row in rows) for name in _ADDED},
        "first_pass_yield": ratio(float(tally.shipped_first_pass.sum()), left),
        "scrap_share": ratio(float(tally.scrapped_parts.sum()), left),
        "mean_in_line": sum(row["mean_in_line"] for row in rows),
        "mean_lead_min": ratio(float(tally.lead_min.sum()), shipped),
        "cost_per_good_part": ratio(int(minor_units.sum()) / 100.0, shipped),
        "quality_loss_per_good_part": ratio(int(minor_units[:, _LOSS].sum()) / 100.0, shipped),
    }


def _setters_hours(plan: Plan, tally: Tally) -> float:
    """Hours a shift of all who are called to change cutters, whatever they do; none where nobody is named."""
    pools = sorted({pool for pool in plan.operations.setters.tolist() if pool != NONE})
    return ratio(float(tally.busy_min[pools].sum()) / 60.0, tally.counted_min / plan.shift_min) if pools else 0.0


def _changes(plan: Plan, tally: Tally) -> tuple[Ints, Ints]:
    """Planned changes (joined ones among them) and unplanned ones, by line."""
    line = plan.operations.line[plan.machines.operation[plan.mounts.machine]]
    planned, unplanned = (np.zeros(len(plan.names.lines), dtype=np.int64) for _ in range(2))
    np.add.at(planned, line, tally.planned + tally.joined)
    np.add.at(unplanned, line, tally.unplanned)
    return planned, unplanned


def _per_100(planned: int, unplanned: int, shipped: int) -> Row:
    """Changes for each hundred good parts."""
    return {
        "planned_per_100": ratio(100.0 * planned, shipped),
        "unplanned_per_100": ratio(100.0 * unplanned, shipped),
    }


def _machines(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """Line, operation and name of every machine."""
    names, line = plan.names, plan.operations.line.tolist()
    numbered = enumerate(plan.machines.operation.tolist())
    return tuple((names.lines[line[at]], names.operations[at], names.machines[number]) for number, at in numbered)


def ratio(top: float, bottom: float) -> float:
    """One figure over another; not a number over nothing."""
    return top / bottom if bottom else math.nan


def _is_nan(value: Any) -> bool:
    return isinstance(value, float) and math.isnan(value)
