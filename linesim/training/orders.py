"""What a trainee may order: each order is a group of plain entries, checked before anything comes of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter, ValidationError

from linesim.errors import LinesimError, quoted
from linesim.units import Number, Share, Small, Whole
from linesim.works.base import Strict
from linesim.works.policies import Rule, RuleOrWords

__all__ = [
    "ALL",
    "AnyOrder",
    "Change",
    "Chips",
    "Correct",
    "First",
    "GaugeEvery",
    "GaugeNow",
    "Leave",
    "Look",
    "Offset",
    "Order",
    "RuleOrder",
    "Run",
    "Send",
    "SetUp",
    "TrainingError",
    "Verdict",
    "order_from",
]

ALL = "all"
"""Stands for every machine in hand, or every cutter set of a machine."""


class TrainingError(LinesimError):
    """A trainee, a lesson's player or an instructor asked for something that cannot be."""


class Order(Strict):
    """Something that a trainee orders; what it is called stands in ``do``."""

    do: str

    def plain(self) -> dict[str, Any]:
        """The order as plain values, from which it is read again."""
        return self.model_dump(mode="json", exclude_none=True)


class Run(Order):
    """Let the line run: so many minutes, so many parts at a machine, or on to the next decision."""

    do: Literal["run"] = "run"
    minutes: Number | None = Field(default=None, gt=0, le=100_000)
    """Minutes to run; a decision that comes up stops the clock before."""
    parts: Whole | None = Field(default=None, ge=1, le=100_000)
    """Parts to be begun at the machine."""
    machine: str | None = None
    """The machine whose parts are counted."""


class SetUp(Order):
    """Set the line up in one of the lesson's ways, before the shift begins."""

    do: Literal["set up"] = "set up"
    way: str
    """Name of the way."""


class _AtSet(Order):
    """An order for a cutter set on a machine."""

    machine: str
    """The machine, the operation (all its machines), or "all"."""
    set: str = ALL
    """The cutter set, or "all"."""


class Change(_AtSet):
    """Change a cutter set before the next part: drawn sharp from the crib, indexed or dressed in place."""

    do: Literal["change"] = "change"
    dull: Literal["to the grinder", "given up"] = "to the grinder"
    """What becomes of a set that comes off dull: it is ground again, or a new one is ordered in its place."""


class Leave(_AtSet):
    """Leave a set in for so many more parts, whatever the rule says."""

    do: Literal["leave"] = "leave"
    parts: Whole = Field(ge=1, le=100_000)
    """Parts before the rule is heard again."""


class RuleOrder(_AtSet):
    """From now on a set is changed by this rule in place of the plan's."""

    do: Literal["rule"] = "rule"
    rule: RuleOrWords | Literal["the plan's"]
    """A rule as a policy states it, or "the plan's"."""


class Look(_AtSet):
    """Look at an edge before the next part: it takes minutes, and the wear land is read with an error."""

    do: Literal["look"] = "look"


class Offset(Order):
    """Move the offset of a cut before the next part."""

    do: Literal["offset"] = "offset"
    machine: str
    """The machine, or the operation."""
    cut: str
    """Name of the cut."""
    deeper: Small = Field(ge=-500, le=500)
    """How much deeper the tool is set, µm per side; negative for less deep."""


class Chips(Order):
    """Clean the locating faces before each clamping, with a brush and the spindle at rest, or leave it."""

    do: Literal["chips"] = "chips"
    machine: str
    """The operation."""
    clean: bool
    """Whether they are cleaned."""


class GaugeNow(Order):
    """Gauge the next part although it is not its turn."""

    do: Literal["gauge"] = "gauge"
    gauge: str
    """Name of the gauge."""


class GaugeEvery(Order):
    """From now on gauge one part in so many."""

    do: Literal["gauge every"] = "gauge every"
    gauge: str
    """Name of the gauge."""
    parts: Whole = Field(ge=1, le=100_000)
    """One part in so many."""


class Correct(Order):
    """From now on the operator corrects the offset of the cut by a share of every error that the gauge reads."""

    do: Literal["correct"] = "correct"
    gauge: str
    """Name of the gauge."""
    share: Share = Field(ge=0, le=2)
    """Part of the error read that is put on the offset; 0 leaves the offset alone."""
    dead_band: Small = Field(default=0.0, ge=0)
    """Errors read up to this are left alone, µm per side."""


class First(Order):
    """From now on a setter who comes free goes first to these machines, in this order, and then to the others."""

    do: Literal["first"] = "first"
    people: str
    """The pool of setters."""
    machines: list[str] = Field(max_length=32)
    """Machines or operations; none: first come, first served."""


class Send(Order):
    """Send the setter who is free now to this machine."""

    do: Literal["send"] = "send"
    machine: str
    """One of the machines that wait."""


class Verdict(Order):
    """Pass a doubtful part, or turn it down."""

    do: Literal["verdict"] = "verdict"
    say: Literal["pass", "turn down"]
    """The verdict."""


AnyOrder = Annotated[
    Run
    | SetUp
    | Change
    | Leave
    | RuleOrder
    | Look
    | Offset
    | Chips
    | GaugeNow
    | GaugeEvery
    | Correct
    | First
    | Send
    | Verdict,
    Field(discriminator="do"),
]
"""Any order, known by ``do``."""

_ADAPTER: TypeAdapter[Any] = TypeAdapter(AnyOrder)


def order_from(entries: Mapping[str, Any]) -> Any:
    """Check the entries of an order.

    Parameters
    ----------
    entries : mapping
        ``do`` and what belongs to it.

    Returns
    -------
    Order
        One of the kinds of this module.

    Raises
    ------
    TrainingError
        It is no order; says what was found and what was expected.

    >>> order_from({"do": "leave", "machine": "Op 20", "set": "finish mill", "parts": 10}).parts
    10
    """
    if not isinstance(entries, Mapping):
        raise TrainingError(
            f'{quoted(entries)} was found; an order such as {{"do": "run", "minutes": 30}} was expected'
        )
    try:
        order = _ADAPTER.validate_python(dict(entries))
    except ValidationError as error:
        raise TrainingError(_fault_words(error.errors(include_url=False)[0], entries)) from None
    if isinstance(order, RuleOrder) and isinstance(order.rule, Rule) and order.rule.own is not None:
        raise TrainingError("a rule of one's own in Python cannot be ordered; a rule such as {parts: 60} was expected")
    return order


def _fault_words(fault: Any, entries: Mapping[str, Any]) -> str:
    """The first thing that is wrong with an order, in a sentence."""
    kinds = ", ".join(f'"{name}"' for name in KINDS)
    if fault["type"] in ("union_tag_invalid", "union_tag_not_found"):
        return f"an order that says {quoted(entries.get('do'))} is not known; known are {kinds}"
    where = " ".join(str(step) for step in fault["loc"][1:2])
    if fault["type"] == "missing":
        return f'the order "{entries.get("do")}" needs an entry {quoted(where)}'
    if fault["type"] == "extra_forbidden":
        return f'the order "{entries.get("do")}" knows of no entry {quoted(where)}'
    reason = fault.get("ctx", {}).get("text") or str(fault["msg"]).removeprefix("Value error, ").replace(
        "Input should be", "it must be"
    )
    return f'the order "{entries.get("do")}", entry {quoted(where)}: {quoted(fault["input"])} was found; {reason}'


KINDS: tuple[str, ...] = (
    "run",
    "set up",
    "change",
    "leave",
    "rule",
    "look",
    "offset",
    "chips",
    "gauge",
    "gauge every",
    "correct",
    "first",
    "send",
    "verdict",
)
"""What ``do`` may be."""
