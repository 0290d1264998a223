"""What every kind of change rule has to answer, and what it is given to answer from."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from typing import Any, ClassVar, NamedTuple, Protocol

from linesim.works.durations import Spread
from linesim.works.scalars import plain_scalar

__all__ = ["NEVER_READ", "AtDesk", "EdgeSeen", "Figures", "Interval", "RuleFigures", "RuleKind"]

NEVER_READ = -math.inf
"""A wear land that nobody has read, where there can be no None."""


class Figures(NamedTuple):
    """What the engines need to know of a rule for one mounted set."""

    way: int
    """A member of `linesim.rules.kinds.RuleWay`."""
    interval: float = math.inf
    """Parts, cutting minutes, parts between looks, or shifts, as the rule counts."""
    first_look: float = math.inf
    """Parts after which an edge is looked at first."""
    limit_mm: float = math.inf
    """Wear land read at which the set is due."""
    size_um: float = math.inf
    """Action limit for the size read, µm per side."""
    roughness_um: float = math.inf
    """Action limit for the Ra read."""
    load_past: float = math.inf
    """Load of the spindle at which the set is due, over that of a sharp edge."""
    load_readings: float = 1.0
    load_growth: float = 0.0
    load_noise: float = 0.0
    load_per_heat: float = 0.0
    """Parts of a mean; how the load grows and scatters; whether its base is taught for each heat."""


class RuleFigures(Protocol):
    """`Figures`, or the same fields in a record of the compiled engine."""

    @property
    def interval(self) -> float: ...  # noqa: D102 - as in `Figures`
    @property
    def first_look(self) -> float: ...  # noqa: D102
    @property
    def limit_mm(self) -> float: ...  # noqa: D102
    @property
    def size_um(self) -> float: ...  # noqa: D102
    @property
    def roughness_um(self) -> float: ...  # noqa: D102
    @property
    def load_past(self) -> float: ...  # noqa: D102


class EdgeSeen(Protocol):
    """What a rule sees of a mounted edge: `floor.rules.Edge`, or the same fields in a record of the compiled engine.

    A reading that was never taken is None for the one; for the other the wear land is `NEVER_READ`, and size and
    roughness are 0.
    """

    @property
    def parts(self) -> int: ...  # noqa: D102 - as in `Edge`
    @property
    def cut_min(self) -> float: ...  # noqa: D102
    @property
    def mounted_min(self) -> float: ...  # noqa: D102
    @property
    def parts_since_look(self) -> int: ...  # noqa: D102
    @property
    def wear_read_mm(self) -> float | None: ...  # noqa: D102
    @property
    def size_read_um(self) -> float | None: ...  # noqa: D102
    @property
    def roughness_read_um(self) -> float | None: ...  # noqa: D102
    @property
    def was_rejected(self) -> bool | int: ...  # noqa: D102
    @property
    def load_read(self) -> float: ...  # noqa: D102


class Interval(NamedTuple):
    """Parts from one change to the next with an average edge, as worked out at the desk."""

    parts: float
    """Infinite if the set is never changed."""
    words: str
    """How it was worked out."""
    look_min_per_part: float = 0.0


class AtDesk(Protocol):
    """One mounted set with an average edge, as the desk knows it."""

    @property
    def minutes_per_part(self) -> float:
        """Cutting minutes that one part takes of the set; 0 if it cuts nothing."""

    @property
    def cycle_min(self) -> float:
        """Minutes that one part takes at the operation."""

    @property
    def shift_min(self) -> float:
        """Length of a shift."""

    @property
    def look_min(self) -> float:
        """Mean minutes of one look at the edge."""

    @property
    def full_life(self) -> Interval:
        """Change at the edge's full life."""

    def parts_to_wear(self, limit_mm: float) -> float:
        """Parts until the wear land stands at a figure, mm; infinite if it never does."""


class RuleKind(ABC):
    """All that a kind of rule is. Each has a class in `linesim.rules.kinds`, named in its table ``KINDS``.

    `wants_look`, `is_due` and `share` are plain functions of numbers, which the floor calls as they are and the
    compiled engine compiles: what they may say is what numba understands. A kind with ``is_compiled`` False is
    asked on the floor alone, and the compiled engine refuses its plans.
    """

    entry: ClassVar[str]
    """Its field in `linesim.works.policies.Rule`."""
    way: ClassVar[int]
    """Its number, a member of `linesim.rules.kinds.RuleWay`; two entries that come to the same rule share one."""
    label: ClassVar[str] = ""
    """What the trial form calls it; empty where the form does not offer it."""
    looks: ClassVar[bool] = False
    """It has edges looked at."""
    waits_for_reject: ClassVar[bool] = False
    """Nothing but a part turned down makes a set due, so that one that spoils no part stays in for ever. The compiled
    engine brings the news of a reject in time to those alone that wait for it."""
    is_compiled: ClassVar[bool] = True
    counts: ClassVar[bool] = False
    """A counter of parts tells when a set is due: exactly, or about where it counts minutes."""

    @abstractmethod
    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """Figures for a mounted set.

        Parameters
        ----------
        value : Any
            What the scenario says in the entry.
        expected_life_min : float, min
            Cutting minutes that an average edge of the set lasts; infinite if it does not dull.
        wear_limit_mm : float, mm
            Wear land at which it counts as dull.
        """

    @abstractmethod
    def words(self, value: Any) -> str:
        """When sets are changed, in the plural, as the end of a sentence that begins with "changed"."""

    def policy_words(self, value: Any) -> str:
        """What a policy with this as its rule for all sets does, as the subject of a sentence."""
        return f"changing the cutters {self.words(value)}"

    def look(self, value: Any) -> tuple[Spread, float] | None:
        """Time of one look at the edge and standard deviation of its reading, mm; None if there are no looks."""
        del value
        return None

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """Parts from one change to the next; the full life where the rule sets no interval."""
        del figures
        return Interval(desk.full_life.parts, f"{desk.full_life.words}: its rule sets no interval")

    # --- the trial form ----------------------------------------------------------------------------------------------

    needs_text: ClassVar[bool] = True
    """The form's interval must be filled in."""

    def written(self, value: Any) -> str | None:
        """The entry as the form's interval; None if the form cannot say it."""
        return f"{value:g}"

    def entered(self, text: str, old: Any) -> Any:
        """The entry that an interval of the form stands for, as a file would say it.

        Parameters
        ----------
        text : str
            As it was typed, checked when the policy is.
        old : Any
            The entry as it stood, as a file would say it; None if the rule was of another kind.
        """
        del old
        return plain_scalar(text)

    # --- for the engines, both alike ---------------------------------------------------------------------------------

    @staticmethod
    def wants_look(rule: RuleFigures, edge: EdgeSeen) -> bool:
        """Whether the edge is to be looked at now."""
        return False

    @staticmethod
    @abstractmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Whether the set is to be changed before the next part."""

    @staticmethod
    def share(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> float:
        """How much of the interval is used up, for changing sets in one stop; 0 where the rule has none."""
        return 0.0
