"""What a production engineer would remark on when reading a scenario."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import pandas as pd

from linesim.desk.concession_remarks import on_concessions
from linesim.desk.dressing import on_dressing
from linesim.desk.loss_remarks import on_losses
from linesim.desk.people_remarks import on_operators, on_presetters
from linesim.desk.process_remarks import on_burning, on_rubbing, on_sand
from linesim.plan.magazines import sisters_of
from linesim.plan.plan import Plan
from linesim.plan.stations import kinds_of
from linesim.plan.times import mean_minutes
from linesim.plan.type_means import changing_of
from linesim.words import keep
from linesim.works.model import Line, Works
from linesim.works.walks import operations_of

__all__ = ["remarks_on"]

Pace = dict[str, float]
"""By line: parts per minute that its constraint, or that of a line which it meets, lets through."""

SetRows = list[dict[str, Any]]
"""The table of sets as rows."""

_ROUNDING_MM = 1e-6
_TELLS_APART = 1.02
"""Rates on paper that are nearer to each other than this are not told apart (common practice)."""
_NEARLY_BUSY = 0.85
"""People or grinders busy for more than this share of the time make others wait long (common practice)."""


def remarks_on(
    works: Works, plan: Plan, sets: pd.DataFrame, operations: pd.DataFrame, constraints: pd.DataFrame
) -> Iterator[str]:
    """Remarks on a works, one sentence each.

    Parameters
    ----------
    works : Works
        The checked scenario.
    plan : Plan
        Its plan.
    sets, operations, constraints : pandas.DataFrame
        The desk's tables.

    Yields
    ------
    str
    """
    rows = [{str(name): value for name, value in row.items()} for row in sets.to_dict(orient="records")]
    together = operations[["parts_per_hour", "way_per_hour"]].min(axis=1)
    rates = {str(line): own.tolist() for line, own in together.groupby(operations["line"], sort=False)}
    own, pace = (
        dict(zip(map(str, constraints["line"]), constraints[per_hour] / 60.0, strict=True))
        for per_hour in ("parts_per_hour", "together_per_hour")
    )
    for name, line in works.lines.items():
        yield from _on_stock(name, line)
        yield from _on_buffers(name, line)
        yield from _on_arrivals(name, line, own[name])
        yield from _on_endless_queues(name, line, rates[name])
    yield from _on_short_lives(rows)
    yield from on_rubbing(works)
    yield from on_burning(works, rows)
    yield from on_dressing(works)
    yield from on_sand(works, plan, rows)
    yield from on_losses(works)
    yield from on_concessions(works)
    yield from _on_spares(works)
    yield from _on_setters(works, plan, rows, pace)
    yield from on_operators(works, pace)
    yield from _on_grinders(works, rows, pace)
    yield from on_presetters(works, rows, pace)


def _on_stock(name: str, line: Line) -> Iterator[str]:
    """Metal that stays on, and features that nothing cuts."""
    strokes = [stroke for operation in line.operations.values() for stroke in operation.strokes.values()]
    cuts = [cut for stroke in strokes for cut in stroke.cuts.values()]
    for feature_name, feature in line.features.items():
        depths = [cut.depth for cut in cuts if cut.feature == feature_name]
        stock = feature.as_cast.stock
        if not depths:
            yield keep("desk.uncut", line=name, feature=feature_name)
        elif stock is not None and sum(depths) < stock - _ROUNDING_MM:
            taken = sum(depths)
            left = stock - taken
            yield keep("desk.stays_on", line=name, feature=feature_name, taken=taken, stock=stock, left=left)


def _on_buffers(name: str, line: Line) -> Iterator[str]:
    """Operations with no room before them."""
    tight = [operation for operation, answer in list(line.operations.items())[1:] if answer.buffer == 0]
    if tight:
        listed = [keep("justify.quoted", name=operation) for operation in tight]
        yield keep("desk.no_room", line=name, operations=listed)


def _on_arrivals(name: str, line: Line, pace: float) -> Iterator[str]:
    """Castings that come more slowly than the line could take them."""
    arrivals = line.casting.arrivals
    if arrivals is None:
        return
    between, needs = mean_minutes(arrivals.between), 1.0 / pace
    if between > needs:
        yield keep("desk.foundry", line=name, between=between, needs=needs)


def _on_endless_queues(name: str, line: Line, per_hour: Sequence[float]) -> Iterator[str]:
    """Where parts or castings stand without a limit, and more come than what follows can take."""
    arrivals = line.casting.arrivals
    coming = math.inf if arrivals is None else 60.0 / mean_minutes(arrivals.between)
    wait_outside = arrivals is not None and arrivals.when_full == "wait"
    named = list(line.operations.items())
    # No more parts than pallets are ever in the line.
    has_end = [line.pallets is not None or operation.buffer != "unlimited" for _, operation in named]
    starts = [at for at, ends in enumerate(has_end) if not ends or at == 0]
    for start, end in zip(starts, [*starts[1:], len(named)], strict=True):
        # Up to the next such buffer a full one holds up the operation before it, so the slowest sets the pace.
        slowest = min(range(start, end), key=lambda at: per_hour[at])
        is_endless = not has_end[start] or (start == 0 and wait_outside)
        if is_endless and math.inf > coming > _TELLS_APART * per_hour[slowest]:
            yield keep(
                "desk.pile_up", line=name, operation=named[start][0], coming=coming, slowest=named[slowest][0],
                does=per_hour[slowest], why=keep("findings.wait_outside" if has_end[start] else "desk.no_limit"),
            )  # fmt: skip
        coming = min(coming, per_hour[slowest])


def _on_short_lives(rows: SetRows) -> Iterator[str]:
    """Sets that are dull before one part is done."""
    for row in rows:
        if row["parts_per_edge"] < 1.0:
            where = {"line": row["line"], "operation": row["operation"], "cutter": row["cutter"]}
            yield keep("desk.short_life", **where, parts=row["parts_per_edge"])


def _on_spares(works: Works) -> Iterator[str]:
    """Kinds of which every set is mounted, so that a change waits for the crib or for the maker."""
    for kind, cutter in works.cutters.items():
        mounted = sum(
            operation.machines * sisters_of(operation, kind)
            for line in works.lines.values()
            for operation in line.operations.values()
            if kind in kinds_of(operation)
        )
        in_place = cutter.renewal.indexed is not None or cutter.renewal.dressed is not None
        if mounted and cutter.sets <= mounted:
            when = keep("desk.when_used_up" if in_place else "desk.at_every_change")
            yield keep("desk.no_spare", cutter=kind, sets=cutter.sets, mounted=mounted, when=when)


def _on_setters(works: Works, plan: Plan, rows: SetRows, pace: Pace) -> Iterator[str]:
    """Pools of setters that planned changes and changeovers alone keep busy."""
    for pool, people in works.people.items():
        busy = sum(
            row["change_min_per_part"] * row["share_of_parts"] * pace[row["line"]]
            for row in rows
            if works.lines[row["line"]].operations[row["operation"]].setters == pool
        )
        over = sum(
            changing_of(plan, number).minutes * pace[at.line_name]
            for number, at in enumerate(operations_of(works))
            if at.operation.changeover is not None and at.operation.changeover.by == pool
        )
        attending = works.calendar.attending(people)
        present = sum(attending) / len(attending)
        if busy + over > _NEARLY_BUSY * present:
            what = keep("desk.changes_and_over" if over else "desk.changes")
            yield keep("desk.setters", pool=pool, what=what, busy=busy + over, present=present)


def _on_grinders(works: Works, rows: SetRows, pace: Pace) -> Iterator[str]:
    """A crib with more to grind than it can."""
    busy = 0.0
    for row in rows:
        reground = works.cutters[row["cutter"]].renewal.reground
        if reground is not None:
            sets_per_part = row["share_of_parts"] / row["parts_between"]
            busy += mean_minutes(reground.minutes) * pace[row["line"]] * sets_per_part
    if busy > _NEARLY_BUSY * works.crib.grinders:
        yield keep("desk.grinders", busy=busy, grinders=works.crib.grinders)
