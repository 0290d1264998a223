"""A kind of input, and typed copies of a works with one cutter, line or operation changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from linesim.works import Works
from linesim.works.crib import Cutter
from linesim.works.operations import Operation
from linesim.works.rejecting import with_losses_as_rejected

__all__ = ["Swing", "at_operation", "with_cutter", "with_line"]


class Swing(NamedTuple):
    """One kind of input.

    Attributes
    ----------
    targets : callable
        Names of what it can be of, in a works.
    apply : callable
        The works with the input of one target multiplied by a factor.
    """

    targets: Callable[[Works], list[str]]
    apply: Callable[[Works, str, float], Works]


def with_cutter(works: Works, name: str, **changes: Any) -> Works:
    """The works with entries of one cutter changed."""
    cutters: dict[str, Cutter] = works.cutters | {name: works.cutters[name].model_copy(update=changes)}
    return works.model_copy(update={"cutters": cutters})


def with_line(works: Works, name: str, **changes: Any) -> Works:
    """The works with entries of one line changed."""
    lines = works.lines | {name: works.lines[name].model_copy(update=changes)}
    return with_losses_as_rejected(works.model_copy(update={"lines": lines}))


def at_operation(works: Works, target: str, change: Callable[[Operation], dict[str, Any]]) -> Works:
    """The works with entries of one operation changed; the target is "line / operation"."""
    line, name = target.split(" / ", 1)
    operations = works.lines[line].operations
    changed = operations[name].model_copy(update=change(operations[name]))
    return with_line(works, line, operations=operations | {name: changed})
