"""Alternatives of a works as typed copies: other cuts, another order, a gauge less. Nothing is checked anew."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from linesim.works import Works
from linesim.works.durations import Spread
from linesim.works.nodes import Path
from linesim.works.operations import Cut, Gauge, Operation, Stroke
from linesim.works.walks import CutPlace, OperationPlace, cuts_of, operations_of

__all__ = [
    "METAL", "metal_cuts", "moved", "only_cuts", "unsorted", "with_cuts", "with_operation", "with_operations",
    "without_gauge",
]  # fmt: skip

METAL = frozenset({"milling", "boring", "drilling"})
"""Cuts that make a surface of their own, where reaming, honing and grinding follow or finish one."""

_MINUTES_LEFT = 1.0
"""Of an operation whose cuts are all left out."""

Operations = dict[str, Operation]


def with_operations(works: Works, line: str, operations: Operations) -> Works:
    """The works with other operations on one line."""
    routing = works.lines[line].model_copy(update={"operations": operations})
    return works.model_copy(update={"lines": works.lines | {line: routing}})


def with_operation(works: Works, line: str, name: str, **changes: Any) -> Works:
    """The works with entries of one operation changed."""
    operations = works.lines[line].operations
    return with_operations(works, line, operations | {name: operations[name].model_copy(update=changes)})


def metal_cuts(works: Works) -> dict[tuple[str, str], list[CutPlace]]:
    """Cuts that make a surface of their own, in their order, by line and feature."""
    answer: dict[tuple[str, str], list[CutPlace]] = {}
    for at in cuts_of(works):
        if at.cut.process in METAL:
            answer.setdefault((at.at.line_name, at.cut.feature), []).append(at)
    return answer


def unsorted(works: Works) -> Works:
    """The works without tests whose gauges note and correct but turn nothing down: all that was cut is seen.

    Motors are taken to be strong enough for any cut, as it is the surface that is asked about.
    """
    for at in operations_of(works):
        gauges = {
            name: gauge.model_copy(update={"tries": 0, "reject": "pass"}) for name, gauge in at.operation.gauges.items()
        }
        works = with_operation(works, at.line_name, at.name, gauges=gauges, power=None, test=None)
    return works


def with_cuts(works: Works, changed: Mapping[Path, Mapping[str, Any]]) -> Works:
    """The works with entries of some cuts changed, by the path of the cut."""
    return only_cuts(works, lambda at: at.cut.model_copy(update=changed[at.path]) if at.path in changed else at.cut)


def only_cuts(works: Works, keep: Callable[[CutPlace], Cut | None]) -> Works:
    """The works with cuts changed or left out.

    Parameters
    ----------
    works : Works
        Stays as it is.
    keep : callable
        The cut in place of one of the works, or None to leave it out.

    Returns
    -------
    Works
        An operation without cuts has its sets taken off and takes a minute; gauges that would have nothing to read,
        and corrections of a cut that is gone, are left out.
    """
    for line in works.lines:
        done: set[str] = set()
        operations: Operations = {}
        for name, operation in works.lines[line].operations.items():
            strokes = _kept(OperationPlace(line, name, works.lines[line], operation), keep)
            done |= {cut.feature for stroke in strokes.values() for cut in stroke.cuts.values()}
            gauges = {key: gauge for key, gauge in operation.gauges.items() if gauge.feature in done}
            operations[name] = _operation(operation, strokes, gauges)
        works = with_operations(works, line, {name: _sure(each, operations) for name, each in operations.items()})
    return works


def _kept(at: OperationPlace, keep: Callable[[CutPlace], Cut | None]) -> dict[str, Stroke]:
    """Strokes of an operation with the cuts that stay."""
    answer = {}
    for name, stroke in at.operation.strokes.items():
        cuts = {key: keep(CutPlace(at, name, key, cut)) for key, cut in stroke.cuts.items()}
        left = {key: cut for key, cut in cuts.items() if cut is not None}
        if left:
            answer[name] = stroke.model_copy(update={"cuts": left})
    return answer


def _operation(operation: Operation, strokes: dict[str, Stroke], gauges: dict[str, Gauge]) -> Operation:
    if not operation.strokes:
        return operation.model_copy(update={"gauges": gauges})
    minutes = None if strokes else Spread(fixed=_MINUTES_LEFT)
    return operation.model_copy(update={"strokes": strokes, "minutes": minutes, "gauges": gauges})


def _sure(operation: Operation, operations: Operations) -> Operation:
    """The operation without corrections of cuts that are gone."""
    gauges = {}
    for name, gauge in operation.gauges.items():
        aim = gauge.corrects
        of = operation if aim is None or aim.operation is None else operations[aim.operation]
        is_there = aim is None or any(aim.cut in stroke.cuts for stroke in of.strokes.values())
        gauges[name] = gauge if is_there else gauge.model_copy(update={"corrects": None})
    return operation.model_copy(update={"gauges": gauges})


def moved(works: Works, line: str, name: str, behind: str | None) -> Works:
    """The works with an operation behind another one of its line; None puts it first."""
    operations = works.lines[line].operations
    order = [each for each in operations if each != name]
    order.insert(0 if behind is None else order.index(behind) + 1, name)
    return with_operations(works, line, {each: operations[each] for each in order})


def without_gauge(works: Works, line: str, operation: str, gauge: str) -> Works:
    """The works with one gauge less."""
    gauges = works.lines[line].operations[operation].gauges
    return with_operation(works, line, operation, gauges={name: each for name, each in gauges.items() if name != gauge})
