"""What stands on a tool-change card, as records; lengths in mm and µm, which a page shows in its reader's units."""

from __future__ import annotations

import hashlib
import math
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any, NamedTuple

import pandas as pd

from linesim.desk.dressing import DressingStroke
from linesim.result.plain import plain_table

__all__ = ["CardSet", "CardsOf", "CounterStop", "FirstPart", "GaugeLine", "Offset", "ToolCard"]


class CounterStop(NamedTuple):
    """One reading of the counter at which the setter comes, if every edge was fresh when it stood at 0."""

    reading: int
    """Parts that the machine has made."""
    change: tuple[str, ...]
    """Sets that are changed."""
    look: tuple[str, ...]
    """Sets whose edges are looked at."""


@dataclass(frozen=True)
class CardSet:
    """One cutter set on a card.

    Attributes
    ----------
    cutter, about : str
        Name, and the scenario's remarks.
    cuts : tuple of str
        The cuts that it makes here.
    when, before : str
        When it is changed, as the end of a sentence that begins with "changed"; and when it was under the previous
        policy, empty if that says the same.
    count : int or None
        Parts on its counter at which it is changed; None if the counter does not tell.
    is_about : bool
        The count is a mean: its rule goes by cutting minutes, which differ from part to part.
    look_every : int or None
        Parts from one look at the edge to the next; None if there are no looks.
    look_first : int or None
        Parts after which a fresh edge is looked at first; None if there are no looks.
    look_past_mm : float
        Wear land read at which a look has it changed; NaN if there are no looks.
    wear_limit_mm : float
        Wear land at which the edge counts as dull.
    renewal : str
        What is done in a change.
    dressing_um : float
        Radius that a dressing takes beyond what has worn, µm; NaN where nothing is dressed.
    stroke : DressingStroke or None
        How the diamond is fed; None where the scenario does not say.
    change_min : float
        Mean minutes of one change, with getting at the spindle.
    aims : tuple of (str, float)
        By cut, µm per side by which a fresh edge is set deeper than the surface intended; only those that are not 0.
    rezero : int
        Parts after which the edge is set anew by a reading; 0 for never.
    changes : float
        Expected changes in a shift on each machine, all of them planned.
    at_hand : int
        Sharp sets to have at hand for a shift, for all machines of the operation.
    in_magazine : int
        Cutters of the kind in the magazine of each machine; 0 without a magazine.
    """

    cutter: str
    about: str
    cuts: tuple[str, ...]
    when: str
    before: str
    count: int | None
    is_about: bool
    look_every: int | None
    look_first: int | None
    look_past_mm: float
    wear_limit_mm: float
    renewal: str
    dressing_um: float
    stroke: DressingStroke | None
    change_min: float
    aims: tuple[tuple[str, float], ...]
    rezero: int
    changes: float
    at_hand: int
    in_magazine: int


@dataclass(frozen=True)
class Offset:
    """What a gauge does with an error that it reads.

    Attributes
    ----------
    cut : str
        Whose offset it sets.
    share : float
        Part of the error that is put on the offset; 0 leaves it alone.
    dead_band_um : float
        Errors up to this are left alone, µm per side.
    """

    cut: str
    share: float
    dead_band_um: float


@dataclass(frozen=True)
class GaugeLine:
    """One gauge on a card.

    Attributes
    ----------
    name, feature : str
        Of the scenario.
    every : int
        One part in so many is read.
    where : str
        "machine" or "measuring room".
    limits_mm : tuple of two float, or None
        Limits of size at the gauge, within its guard band; None if it does not read size.
    most_um : tuple of (str, float)
        What else is read, and the greatest figure allowed, µm.
    offset : Offset or None
        What follows for an offset.
    tries : int
        Recuts of a part that has metal left on.
    reject : str
        "scrap", "salvage" or "pass".
    """

    name: str
    feature: str
    every: int
    where: str
    limits_mm: tuple[float, float] | None
    most_um: tuple[tuple[str, float], ...]
    offset: Offset | None
    tries: int
    reject: str


@dataclass(frozen=True)
class FirstPart:
    """What is done with the first part after a change.

    Attributes
    ----------
    after : tuple of str
        Sets after whose change; all of them if empty.
    by : str
        The pool of people who gauge it; empty if the setter does.
    accept_um : float
        Errors up to this leave the offset alone, µm per side.
    tries : int
        Pieces at most.
    stands : bool
        The machine stands until the reading is there.
    """

    after: tuple[str, ...]
    by: str
    accept_um: float
    tries: int
    stands: bool


@dataclass(frozen=True)
class ToolCard:
    """The card of one operation.

    Attributes
    ----------
    works, line, operation, about : str
        Where it hangs.
    machines : tuple of str
        The machines that it holds for.
    policy, previous : str
        Which says when, and the one that it replaces; the latter may be empty.
    parts_per_shift : float
        Parts that one machine makes in a shift at the pace of the line's constraint.
    sets : tuple of CardSet
        In the order of the machine's cutters.
    stops : tuple of CounterStop
        Through one shift; empty where no counter tells.
    group_past : float or None
        Share of its count past which a set is changed in the stop of another; None: each in its own.
    gauges : tuple of GaugeLine
        Behind the operation.
    first_part : FirstPart or None
        After a change.
    cautions : tuple of str
        Keys of the cautions that bear on it.
    """

    works: str
    line: str
    operation: str
    about: str
    machines: tuple[str, ...]
    policy: str
    previous: str
    parts_per_shift: float
    sets: tuple[CardSet, ...]
    stops: tuple[CounterStop, ...]
    group_past: float | None
    gauges: tuple[GaugeLine, ...]
    first_part: FirstPart | None
    cautions: tuple[str, ...]

    @property
    def hangs_at(self) -> str:
        """Line and operation, as approvals have them."""
        return f"{self.line} / {self.operation}"

    @cached_property
    def number(self) -> str:
        """A number that is another one as soon as anything that the card asks for is another.

        Names of policies, what was done before and remarks do not bear on it.
        """
        asked = [
            (each.cutter, each.cuts, each.when, each.count, each.look_every, each.aims, each.rezero, each.renewal)
            for each in self.sets
        ]
        figures = [(each.look_past_mm, each.wear_limit_mm, each.dressing_um) for each in self.sets]
        shown = [f"{figure:.6g}" for row in figures for figure in row]
        # A card without a diamond keeps the number that it had before there were any.
        shown += [f"{figure:.6g}" for each in self.sets for figure in each.stroke or ()]
        rest = (self.line, self.operation, self.machines, self.group_past, self.gauges, self.first_part)
        digits = hashlib.sha256(repr((asked, shown, rest)).encode()).hexdigest()[:8].upper()
        return f"{digits[:4]}-{digits[4:]}"


@dataclass(frozen=True)
class CardsOf:
    """All cards of a works under one policy."""

    works: str
    policy: str
    previous: str
    cards: tuple[ToolCard, ...]

    @property
    def numbers(self) -> dict[str, str]:
        """Number of each card, by where it hangs."""
        return {card.hangs_at: card.number for card in self.cards}

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The sets and the stops of all cards, one row each."""
        sets = [
            {"card": card.number, "line": card.line, "operation": card.operation, **_set_columns(each)}
            for card in self.cards
            for each in card.sets
        ]
        stops = [
            {"card": card.number, "operation": card.operation, "reading": stop.reading}
            | {"change": ", ".join(stop.change), "look": ", ".join(stop.look)}
            for card in self.cards
            for stop in card.stops
        ]
        return {"sets": pd.DataFrame(sets), "stops": pd.DataFrame(stops)}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""
        head = {"works": self.works, "policy": self.policy, "previous": self.previous or None}
        return {**head, **{name: plain_table(table) for name, table in self.tables.items()}}


_STROKE = ("dressing_stroke_um", "dressing_lead_mm", "dressing_mm_min", "dressing_rpm")
"""Columns of a `DressingStroke`."""


def _set_columns(each: CardSet) -> dict[str, Any]:
    """A set as one row."""
    row = asdict(each) | dict(zip(_STROKE, each.stroke or (math.nan,) * len(_STROKE), strict=True))
    del row["stroke"]
    return row | {"cuts": ", ".join(each.cuts), "aims": ", ".join(f"{cut}: {um:g} um" for cut, um in each.aims)}


def finite_or_none(value: float) -> int | None:
    """A count of parts, or None for one that is never reached."""
    return int(value) if math.isfinite(value) else None
