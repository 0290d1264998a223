"""What most plans do without: for those there are kernels in which it is left out, quicker to compile and to run.

`COMMON` leaves out what few lines have: part types, batches, ways, lines that meet, measuring rooms, magazines, people
with shifts and those who attend machines, probes, a state to begin from. `SMALL` leaves out besides what a line needs
to show position, tilt and form, heats and warmth, first pieces, faults, tests and repairs, and tells nobody what
happens. A piece that is added to the engine and not named here is in all kernels; it is only slower.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

import numpy as np

from linesim.fast import drawers as _drawers
from linesim.fast.arrays import Arrays
from linesim.fast.memory import dtype_of, table_dtype, teach
from linesim.fast.state import Line, Machine, Mount, Pool, World
from linesim.folding import Tier
from linesim.plan import shape_tables, tables
from linesim.plan.tables import NONE

__all__ = ["COMMON", "SMALL", "WHOLE", "tier_of"]

WHOLE = "whole"
"""Name of what leaves out nothing."""

Table = Mapping[type, Mapping[str, int]]

_RARE: Table = {
    World: {"has_rare": 0, "begins": 0, "is_eager": 0, "n_rosters": 0, "presetters": NONE},
    Line: {"has_types": 0, "fellows": 0, "join": NONE, "delivery": NONE},
    Machine: {
        "batch": 0, "is_mixed": 0, "forks": 0, "picks": 0, "has_magazine": 0, "has_probes": 0, "has_unseen": 0,
        "room_ways": 0, "asks": 0, "runs_on": 0, "attends": 0, "is_asked": 0, "is_probing": 0, "keeper": NONE,
    },
    Mount: {"n_sisters": 0, "n_used": 0, "is_broken": 0, "is_seen": 0},
    Pool: {"fills": 0, "roster": NONE, "sequence": 0},
    tables.Strokes: {"types": NONE, "has_only": 0},
    tables.Cuts: {"types": NONE},
    tables.Features: {"types": NONE},
    tables.Gauges: {"types": NONE, "in_room": 0, "in_spindle": 0},
    tables.Kinds: {"preset_time": NONE},
    shape_tables.Batches: {"most": 0},
    shape_tables.Moves: {"way": 0},
}  # fmt: skip
"""Fields by which pieces are used that few lines have, and what they are where these are not used."""

_MORE: Table = {
    World: {"has_more": 0, "is_held": 0, "most_shapes": 0, "is_traced": 0},
    Line: {"has_faults": 0, "heat_castings": 0, "heat_min": 0, "first_failure": 0, "end_failure": 0},
    Machine: {"has_firsts": 0, "test": NONE, "is_bad": 0, "is_found": 0},
    tables.Operations: {"fault_chance": 0},
    tables.Strokes: {"stops_at_size": 0, "meets_sand": 0},
    tables.Cuts: {
        "is_held": 0, "carries": 0, "aim_um": 0, "glazed_roughness_um": 0, "wheel_um_min": 0, "spark_out_min": 0,
        "honing_um_min": 0, "own_um": 0,
    },
    tables.Features: {"carries": 0, "roughness_aim_um": 0, "roughness_low_um": 0},
    tables.Gauges: {"reads_shape": 0, "master_every": 0, "drift_um_h": 0, "wanders_um": 0, "roughness_low_um": 0},
    tables.Kinds: {"setting_step_um": 0},
}  # fmt: skip
"""Fields by which pieces are used besides that simple lines do not have."""


def _layout(kind: type) -> np.dtype[Any]:
    return table_dtype(kind) if kind.__module__.startswith("linesim.plan") else dtype_of(kind)


def _tier(name: str, *parts: Table) -> Tier:
    values: dict[np.dtype[Any], dict[str, int]] = {}
    for part in parts:
        for kind, fields in part.items():
            values.setdefault(_layout(kind), {}).update(fields)
    tier = Tier(name, values)
    assert _drawers.__all__
    teach(tier)
    return tier


COMMON = _tier("common", _RARE)
SMALL = _tier("small", _RARE, _MORE)
_NAMES = (SMALL.name, COMMON.name, WHOLE)


def _laid(layout: Arrays) -> dict[str, Any]:
    """All records of a run; of a table without rows there is one record, which says nothing."""
    laid = {"world": layout.worlds}
    for name, array in layout.arrays.items():
        table: Any = getattr(layout.plan, name, None)
        is_table = array.dtype.names is not None and getattr(table, "_fields", None) == array.dtype.names
        laid[name] = array[: len(table[0])] if is_table else array
    return laid


def tier_of(layout: Arrays, least: str = SMALL.name, among: Collection[str] | None = None) -> str:
    """The smallest tier that holds for the records of a run, and note in its world what is used.

    Parameters
    ----------
    layout : Arrays
        As the run begins.
    least : str
        The smallest tier that comes into question.
    among : collection of str, optional
        The fields that may forbid it, where all others are known to allow it; other arrays need not be there.

    Returns
    -------
    str
        Its name; `WHOLE` if none holds.
    """
    world, laid = layout.world, _laid(layout)
    world.has_rare = world.has_more = 0
    tiers = (SMALL, COMMON)[_NAMES.index(least) :]
    smallest = next((tier.name for tier in tiers if tier.holds(laid, among)), WHOLE)
    world.has_rare, world.has_more = int(smallest == WHOLE), int(smallest != SMALL.name)
    return smallest
