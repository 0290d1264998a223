"""How many sets, grinders and setters: what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Self

import pandas as pd

from linesim.errors import StudyError
from linesim.study.search.intervals.best_figures import written
from linesim.study.statistics.intervals import Difference
from linesim.words import KeptText, keep
from linesim.works import Works
from linesim.works.staffing import People

__all__ = ["CirculationFigures", "Holding", "Item", "Step", "counted_words"]


@dataclass(frozen=True)
class Holding:
    """What it costs to have things, whether they are used or not; assumptions, to be replaced by the works' own.

    Attributes
    ----------
    set_share : float
        Write-off and interest of a cutter set in circulation, as a share of its price for each year.
    grinder_rate : float or None, money/h
        One more tool grinder with its hand for each worked hour; the crib's rate unless given.
    idle_share : float
        Share of the wage that one more setter costs while idle: 1 if he is there for this works alone, 0 if others
        have work for him. Only for pools that are paid by the time used; attendance is in the ledger already.
    """

    set_share: float = 0.25
    grinder_rate: float | None = None
    idle_share: float = 1.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.set_share <= 10.0:
            raise StudyError(f"a holding share of {self.set_share:g} per year cannot be; 0 to 10 was expected")
        if self.grinder_rate is not None and self.grinder_rate < 0.0:
            raise StudyError(f"a grinder's rate of {self.grinder_rate:g} cannot be; 0 or more was expected")
        if not 0.0 <= self.idle_share <= 1.0:
            raise StudyError(f"an idle share of {self.idle_share:g} cannot be; a share from 0 to 1 was expected")


@dataclass(frozen=True)
class Item:
    """Something of which there may be more or fewer.

    Attributes
    ----------
    kind : {"set", "grinder", "setter", "place", "pallet", "carrier"}
        What it is; "setter" stands for people of any pool, "place" for one in the magazine of each machine of an
        operation, with the set that fills it.
    name : str
        Cutter, pool of people, operation and cutter, or line; empty for the grinders.
    now, least : int
        How many the scenario has, and how many there must be.
    hourly : float, money/h
        What one more costs for each worked hour.
    shift : int or None
        The shift of the day, from 0, in which so many people attend; None where as many do in all of them.
    at : tuple of str
        Line, operation and cutter of a place; line of pallets; line and operation of carriers; else empty.
    """

    kind: str
    name: str
    now: int
    least: int
    hourly: float
    shift: int | None = None
    at: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """Its name, with the shift as people count it.

        >>> Item("setter", "setters", 1, 0, 0.0, 2).label
        'setters, shift 3'
        """
        return self.name if self.shift is None else keep("sets.in_shift", name=self.name, shift=self.shift + 1)

    def attendance(self, people: People, count: int) -> dict[str, Any]:
        """What a pool says of its attendance with so many of this item.

        >>> Item("setter", "setters", 1, 0, 0.0, 1).attendance(People(by_shift=[2, 1]), 0)
        {'by_shift': [2, 0]}
        """
        if self.shift is None:
            return {"count": count}
        by_shift = list(people.by_shift)
        by_shift[self.shift] = count
        return {"by_shift": by_shift}

    @property
    def words(self) -> str:
        """As a person says it, of several."""
        return self.counted(2)

    def counted(self, count: int) -> KeptText:
        """As a person says it, of so many.

        >>> Item("set", "reamer", 3, 1, 0.0).counted(1)
        'set of reamer'
        """
        return counted_words(self.kind, self.label, count)


def counted_words(kind: str, label: str, count: int = 2) -> KeptText:
    """What is counted, as a person says it of so many.

    >>> counted_words("place", "Op 10 / drill")
    'magazine places for Op 10 / drill'
    """
    return keep(f"counted.{kind}", count=count, of=label)


@dataclass(frozen=True)
class Step:
    """One more or one fewer of an item than in the best combination.

    Attributes
    ----------
    item : Item
        Of what.
    change : int
        1 or -1.
    gain : Difference
        What that gains, all costs counted, in the unit of the goal; less than 0 is a loss. Paired.
    """

    item: Item
    change: int
    gain: Difference


@dataclass(frozen=True, eq=False, repr=False)
class CirculationFigures:
    """The cheapest combination of sets, grinders and setters, as far as the search has come.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which it was run.
    holding : Holding
        What having things costs.
    items : tuple of Item
        What may be changed.
    counts : tuple of int
        The best combination so far, item by item.
    unit : str
        Of gains.
    confidence, seed : float, int
        Of each interval; key of all chance.
    steps : tuple of Step
        One more and one fewer of each item.
    verdict : Difference or None
        Gain over the scenario's own combination, in fresh replications; None before.
    fresh : int
        Replications of the verdict.
    runs : int
        Runs done.
    is_settled : bool
        Whether no further change was a gain beyond doubt.
    """

    works: Works
    policy: str
    holding: Holding
    items: tuple[Item, ...]
    counts: tuple[int, ...]
    unit: str
    confidence: float
    seed: int
    steps: tuple[Step, ...] = ()
    verdict: Difference | None = None
    fresh: int = 0
    runs: int = 0
    is_settled: bool = False

    def but(self, **changes: Any) -> Self:
        """The same with some attributes changed."""
        return replace(self, **changes)

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per item: now, best, hourly cost of one more, gain of one more and of one fewer with half widths."""
        answer = {(step.item, step.change): step.gain for step in self.steps}
        rows = []
        for item, best in zip(self.items, self.counts, strict=True):
            row: dict[str, Any] = {"kind": item.kind, "name": item.label, "now": item.now, "best": best}
            row |= {"least": item.least, "hourly_cost": item.hourly}
            for change, head in ((1, "one_more"), (-1, "one_fewer")):
                gain = answer.get((item, change))
                row |= {
                    f"{head}_gain": None if gain is None else gain.mean,
                    f"{head}_half_width": None if gain is None else gain.half_width,
                    f"{head}_is_told": None if gain is None else gain.is_apart,
                }
            rows.append(row)
        return pd.DataFrame(rows)

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"numbers": self.table}

    @property
    def changes(self) -> Mapping[str, Any]:
        """The best combination as a scenario that extends this one would say it; empty if nothing changes."""
        changes: dict[str, Any] = {}
        for item, best in zip(self.items, self.counts, strict=True):
            if best == item.now:
                continue
            if item.kind == "set":
                changes.setdefault("cutters", {})[item.name] = {"sets": best}
            elif item.kind == "grinder":
                changes["crib"] = {"grinders": best}
            elif item.kind == "pallet":
                changes.setdefault("lines", {}).setdefault(item.name, {})["pallets"] = best
            elif item.kind == "carrier":
                lines = changes.setdefault("lines", {}).setdefault(item.at[0], {})
                operation = lines.setdefault("operations", {}).setdefault(item.at[1], {})
                operation["move"] = {"carriers": best}
            elif item.kind == "place":
                self._fill(changes, item, best)
            else:
                pools = changes.setdefault("people", {})
                people = self.works.people[item.name].model_copy(update=pools.get(item.name, {}))
                pools[item.name] = item.attendance(people, best)
        return changes

    def _fill(self, changes: dict[str, Any], item: Item, best: int) -> None:
        """Say a number of places in magazines, with the pockets and the sets that they take."""
        line, name, kind = item.at
        operation, more = self.works.lines[line].operations[name], best - item.now
        operations = changes.setdefault("lines", {}).setdefault(line, {}).setdefault("operations", {})
        magazine = operations.setdefault(name, {}).setdefault("magazine", {})
        magazine.setdefault("sisters", {})[kind] = best
        if operation.magazine is not None and operation.magazine.pockets is not None and more > 0:
            magazine["pockets"] = magazine.get("pockets", operation.magazine.pockets) + more
        sets = changes.setdefault("cutters", {}).setdefault(kind, {"sets": self.works.cutters[kind].sets})
        sets["sets"] += operation.machines * more

    def overlay_yaml(self, extends: str) -> str:
        """A scenario that extends the original with the best combination.

        Parameters
        ----------
        extends : str
            Path of the original, relative to the folder in which the overlay will stand.
        """
        name = f"{self.works.name}, best numbers"[:200]
        return written({"linesim": 1, "extends": extends, "name": name, **self.changes})
