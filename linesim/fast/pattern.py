"""What each run of a plan begins with: one piece of memory that is copied whole.

All arrays that a run writes lie one behind another, the world first, then the tally, and last what need not be copied
as it is written before it is read. A new run is a copy of the first of these bytes, with its own key of chance and the
addresses moved to where the copy lies; the tally is copied out of it when the run ends. The pattern itself is a copy of
a mould, into which what the policy says is put.
"""

from __future__ import annotations

from functools import cached_property
from threading import Lock
from typing import Any

import numpy as np
from cachetools import LRUCache, cached

from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.layout import FIXED, Layout
from linesim.fast.layout_policy import OF_POLICY, WRITTEN, lay_policy, works_key
from linesim.fast.memory import LINE, address_of, records
from linesim.fast.opened import Opened, Spot
from linesim.fast.state import Part, Place, Shape, Sums, Visit
from linesim.fast.tiers import tier_of
from linesim.law import IS_COMPILED
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally

__all__ = ["Mould", "Pattern", "Working", "view_of"]

_WRITTEN_FIRST = ("part_places", "part_shapes", "visits", "trace_rows", "trace_places", "trace_shapes")
_SUMS = tuple(Sums.__annotations__)


class Mould:
    """What the patterns of all policies of a works share: the piece of memory without what a policy says.

    Parameters
    ----------
    plan : Plan
        What is run.
    parts : int
        Parts for which there is room at first.
    trace_rows : int
        Rows of the trace that are kept before they must be fetched; 0 for no trace.
    """

    def __init__(self, plan: Plan, parts: int, trace_rows: int) -> None:
        layout = Layout(plan, parts, trace_rows)
        self.plan, self.n_mounted = layout.plan, layout.n_mounted
        self.tier = tier_of(layout)
        self.fixed = {name: array for name, array in layout.arrays.items() if name in FIXED}
        own = {name: array for name, array in layout.arrays.items() if name not in FIXED}
        names = [name for name in own if name not in _SUMS and name not in _WRITTEN_FIRST]
        ordered = {"world": layout.worlds} | {name: own[name] for name in (*_SUMS, *names, *_WRITTEN_FIRST)}
        self.locations: dict[str, Spot] = {}
        end = 0
        for name, array in ordered.items():
            self.locations[name] = (array.shape, array.dtype, end)
            end += (array.nbytes // LINE + 1) * LINE
        self.size = end
        self.tally = slice(self._at(_SUMS[0]), self._at(names[0]))
        spots = {name: self.locations[name] for name in _SUMS}
        self.sums = {name: (shape, dtype, at - self.tally.start) for name, (shape, dtype, at) in spots.items()}
        self.bytes = np.zeros(self._at(_WRITTEN_FIRST[0]), dtype=np.uint8)
        for name, array in ordered.items():
            if name not in _WRITTEN_FIRST:
                view_of(self.bytes, self.locations[name])[...] = array
        world = view_of(self.bytes, self.locations["world"])
        self.n_words = world.nbytes // 8
        for name in own:
            world[name] = self._at(name)
        self.is_own = np.zeros(1, dtype=world.dtype)
        for name in own:
            self.is_own[name] = 1
        self.is_own = self.is_own.view(np.int64)
        location = {name: offset // 8 for name, (_, offset, *_) in (world.dtype.fields or {}).items()}
        self.now_at, self.key = location["now"], slice(location["seed"], location["replication"] + 1)

    def _at(self, name: str) -> int:
        return self.locations[name][2]

    def tally_in(self, block: AnyArray) -> Tally:
        """The tally whose sums lie in a block of memory."""
        return Opened(block, self.sums)


_MOULDS_AT_HAND = 8
_moulds: LRUCache[Any, Mould] = LRUCache(_MOULDS_AT_HAND)


@cached(_moulds, key=lambda plan, *rest: (*works_key(plan), *rest), lock=Lock())
def _mould(plan: Plan, parts: int, trace_rows: int) -> Mould:
    """The mould of a plan; it holds all that its key stands for."""
    return Mould(plan, parts, trace_rows)


class Pattern(Arrays):
    """The piece of memory from which every run of a plan is copied.

    Parameters
    ----------
    plan, parts, trace_rows
        As for `Mould`.
    """

    def __init__(self, plan: Plan, parts: int, trace_rows: int) -> None:
        self.mould = mould = _mould(plan, parts, trace_rows)
        self.bytes = mould.bytes.copy()
        super().__init__(plan, view_of(self.bytes, mould.locations["world"]))
        own, fixed = mould.locations, mould.fixed
        self.arrays = {name: view_of(self.bytes, own[name]) if name in own else fixed[name] for name in OF_POLICY}
        lay_policy(self)
        self.fixed = fixed | {name: array for name, array in self.arrays.items() if name in FIXED}
        self.tier = tier_of(self, mould.tier, WRITTEN)

    @property
    def kept_bytes(self) -> int:
        """What it takes itself, its runs left out."""
        shared = self.mould.fixed
        own = (array.nbytes for name, array in self.fixed.items() if array is not shared.get(name))
        return int(self.bytes.nbytes + sum(own))


def view_of(memory: AnyArray, location: Spot) -> AnyArray:
    """The array that lies in a piece of memory: of such a shape and type, from such a byte on."""
    shape, dtype, at = location
    return np.ndarray(shape, dtype, memory, at)


class Working:
    """The memory of one run.

    Parameters
    ----------
    pattern : Pattern
        What it begins with.
    seed, replication : int
        Key of all chance.
    """

    def __init__(self, pattern: Pattern, seed: int, replication: int) -> None:
        self.pattern, self.mould = pattern, pattern.mould
        memory = np.empty(self.mould.size + LINE, dtype=np.uint8)
        begins = int(memory.__array_interface__["data"][0])
        spare = -begins % LINE
        self.memory = memory[spare : spare + self.mould.size]
        self.memory[: len(pattern.bytes)] = pattern.bytes
        self.address = begins + spare
        words = np.ndarray((self.mould.n_words,), np.int64, self.memory)
        words += self.mould.is_own * self.address
        words[self.mould.key] = seed, replication
        self._reals = words.view(np.float64)
        if not IS_COMPILED:
            for array in (self.worlds, *self.arrays.values()):
                address_of(array)

    @cached_property
    def worlds(self) -> AnyArray:
        """The world as an array of one."""
        return view_of(self.memory, self.mould.locations["world"])

    @property
    def world(self) -> Any:
        """The world record."""
        return self.worlds[0]

    @property
    def now_min(self) -> float:
        """The moment up to which it has run, minutes from the start."""
        return float(self._reals[self.mould.now_at])

    @cached_property
    def arrays(self) -> dict[str, AnyArray]:
        """All arrays by name."""
        own = {
            name: view_of(self.memory, location) for name, location in self.mould.locations.items() if name != "world"
        }
        return self.pattern.fixed | own

    @property
    def tally(self) -> Tally:
        """What has been counted so far, as it is being counted; machines, people and pools are added at the end."""
        return self.mould.tally_in(self.memory[self.mould.tally])

    def tally_so_far(self) -> Tally:
        """A copy of what has been counted."""
        return self.mould.tally_in(self.memory[self.mould.tally].copy())

    def forget_tally(self) -> None:
        """Count from nothing again."""
        self.memory[self.mould.tally] = self.mould.bytes[self.mould.tally]

    def grow_parts(self, parts: int) -> None:
        """Make room for so many parts; those that are there stay where they are."""
        w = self.world
        before = int(w.n_parts)
        for name, record, each in (
            ("parts", Part, 1),
            ("part_places", Place, int(w.most_places)),
            ("part_shapes", Shape, int(w.most_shapes)),
            ("visits", Visit, int(w.most_operations)),
        ):
            array = records(record, parts * each)
            array[: before * each] = self.arrays[name][: before * each]
            self.arrays[name] = array
            setattr(w, name, address_of(array))
        links = self.arrays["parts"]["next"]
        links[before:parts] = np.arange(before + 1, parts + 1)
        links[parts - 1] = w.first_free
        w.first_free = before
        w.n_free += parts - before
        w.trouble = 0
        w.n_parts = parts
