"""Policies: when each cutter set is changed."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field, model_validator

from linesim.units import Length, Minutes, Number, Share, Small, Whole
from linesim.works.ageing import OverhaulEvery
from linesim.works.base import AlsoTaken, Strict
from linesim.works.durations import Duration
from linesim.works.part_types import Sequence
from linesim.works.setting import Aim, CorrectionChange

__all__ = ["Check", "OnGauge", "OnLoad", "Own", "Policy", "Rule"]


class Check(Strict):
    """The edge is looked at every so many parts and changed when its wear land reads past a figure."""

    alternatives: ClassVar[frozenset[str]] = frozenset({"past", "past_share"})

    every: Whole = Field(ge=1, le=1_000_000)
    """Parts from one look to the next."""
    first: Whole | None = Field(default=None, ge=1, le=10_000_000)
    """Parts after which an edge is looked at first; as many as from one look to the next unless given."""
    past: Length | None = Field(default=None, gt=0)
    """Wear land at which the set is changed, mm."""
    past_share: Number | None = Field(default=None, gt=0, le=5)
    """The same as a share of the set's wear limit."""
    minutes: Duration = Field(default=1.0, validate_default=True)
    """Time of one look."""
    error: Length = Field(default=0.0, ge=0)
    """Standard deviation of the reading, mm."""

    @model_validator(mode="after")
    def _one_of(self) -> Check:
        if (self.past is None) == (self.past_share is None):
            raise ValueError("a check takes either past (a wear land) or past_share (of the wear limit)")
        return self


class OnGauge(Strict):
    """Changed when a gauge reading of what the set makes passes an action limit."""

    size: Small | None = Field(default=None, gt=0)
    """Greatest error of size read, µm per side to either side of the aim."""
    roughness: Small | None = Field(default=None, gt=0)
    """Greatest Ra read, µm."""

    @model_validator(mode="after")
    def _any(self) -> OnGauge:
        if self.size is None and self.roughness is None:
            raise ValueError("an action limit for size, for roughness or for both is needed")
        return self


class OnLoad(Strict):
    """Changed when the spindle's load, read with each part, passes a figure.

    The load grows with the wear of the edge, and with hard castings where heats bear on force; a reading is noisy.
    """

    past: Number = Field(gt=1, le=5)
    """Load at which the set is changed, over that of a sharp edge (1.2: a fifth more)."""
    readings: Whole = Field(default=1, ge=1, le=1000)
    """Parts over which a mean is taken, one lot after another. It does not help against hard castings."""
    growth: Number = Field(default=0.3, gt=0, le=5)
    """By how much the load grows from a sharp edge to the wear limit; 0.2 to 0.5 are usual (from memory)."""
    noise: Share = Field(default=0.03, ge=0, le=1)
    """Standard deviation of a reading over the load; 0.03 is typical (assumed)."""
    per_heat: bool = False
    """The base load is taught anew for each heat of castings, so that these do not show in it."""


class Own(Strict):
    """A rule of the user's own, written in Python and known by its name."""

    name: str
    """Name under which the rule was made known."""
    options: dict[str, Any] = Field(default={})
    """What the rule is given, by name."""


class Rule(Strict):
    """When a set is changed: exactly one of the rules; "run out" stands for only when broken or when the part fails."""

    expected: ClassVar[str] = 'a rule such as {parts: 300} or "run out"'
    parts: Whole | None = Field(default=None, ge=1, le=10_000_000)
    """After so many parts."""
    minutes: Annotated[Minutes, Field(gt=0)] | None = None
    """After so many cutting minutes."""
    life: Number | None = Field(default=None, gt=0, le=100)
    """After so many cutting minutes, given as a share of the set's expected life."""
    check: Check | None = None
    """When a look at the edge finds its wear land past a figure."""
    gauge: OnGauge | None = None
    """When a gauge reading passes an action limit."""
    load: OnLoad | None = None
    """When the spindle's load passes a figure."""
    shift: Whole | None = Field(default=None, ge=1, le=1000)
    """At the start of every shift (1), of every second one (2), ..."""
    run_out: bool | None = None
    """Only when broken or when the part fails."""
    own: Own | None = None
    """When a rule of the user's own says so."""

    @model_validator(mode="after")
    def _one_rule(self) -> Rule:
        named = [name for name in type(self).model_fields if getattr(self, name) is not None]
        if len(named) != 1 or self.run_out is False:
            answer = " and ".join(named) or "none"
            known = ", ".join(name for name in type(self).model_fields if name != "run_out")
            raise ValueError(f"name exactly one of {known}, or write: run out; found {answer}")
        return self


Rule.alternatives = frozenset(Rule.model_fields)


def _from_words(value: Any) -> Any:
    """The words "run out" are a rule."""
    return {"run_out": True} if value == "run out" else value


RuleOrWords = Annotated[Rule, BeforeValidator(_from_words), AlsoTaken({"const": "run out"})]
"""A rule, or the words "run out"."""


class Policy(Strict):
    """One default rule, and exceptions by the name of a cutter set."""

    about: str = ""
    """Remarks, for people."""
    default: RuleOrWords
    """The rule for every set without an exception."""
    exceptions: dict[str, RuleOrWords] = Field(default={})
    """By cutter set, or by operation and cutter set: "Op 40 / finish blade"."""
    group_past: Share | None = Field(default=None, gt=0, le=1)
    """When one set of a machine is changed, others past this share of their interval are changed in the same stop."""
    aims: dict[str, Aim] = Field(default={})
    """Where fresh edges are set, by cutter set, or by operation and cutter set; to the surface intended by default."""
    corrections: dict[str, CorrectionChange] = Field(default={})
    """What gauges do with their readings, by gauge, or by operation and gauge ("Op 40 / bore gauge")."""
    rezero: dict[str, Annotated[Whole, Field(ge=1, le=10_000_000)]] = Field(default={})
    """Parts after which an edge is set anew by a reading as of a first piece; by set, or by operation and set."""

    overhauls: dict[str, OverhaulEvery] = Field(default={})
    """Cutting minutes from one overhaul of a machine to the next, by operation; the operation's own unless given."""
    batches: dict[str, dict[str, Annotated[Whole, Field(ge=1, le=1_000_000)]]] = Field(default={})
    """By line, the batches in which its castings come, by part type and in this order; as its parts say by default."""
    sequences: dict[str, Sequence] = Field(default={})
    """By operation, which of the waiting parts is taken; as the operation says by default."""

    changes: Literal["with the next part", "when due"] = "with the next part"
    """When sets that are due are changed: as the next part comes, or at once as the last one has left, even if none
    waits."""

    def rule_for(self, operation: str, cutter: str) -> Rule:
        """The rule for a set at an operation: its own there, else that of the set, else the default."""
        return self.exceptions.get(f"{operation} / {cutter}", self.exceptions.get(cutter, self.default))
