"""What a person at the machine sees, hears and feels: spindle load, sound, finish. Never the life share itself.

The load follows the cutting force, to which wear adds; castings differ in hardness, so the needle differs from part to
part, and it is read in steps. The finish is held against comparison plates. The scatter of both is common practice, no
source.
"""

from __future__ import annotations

import math
from typing import Any

from linesim.chance import Purpose
from linesim.chance.addresses import sensing_spot
from linesim.cutting.life import wear_growth
from linesim.floor.part import Part
from linesim.floor.run import Floor
from linesim.plan.tally import State
from linesim.training.directory import Directory

__all__ = ["PLATES_UM", "Senses", "nearest_plate", "sound_of"]

PLATES_UM = (0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 6.3, 12.5, 25.0)
"""Ra of the comparison plates: the usual steps of ISO 21920 and its forerunners."""

_LOAD_SCATTER = 0.05
_FINISH_SCATTER = 0.15
_LOAD_STEP = 5
_SOUNDS = (
    (112.0, "even, as with fresh edges"),
    (135.0, "a little lower and rougher than with fresh edges"),
    (165.0, "plainly rougher, the spindle works"),
    (math.inf, "harsh, the spindle labours"),
)


class Senses:
    """Listens to the floor and keeps what the last part at each machine was like.

    Attributes
    ----------
    loads : dict of int to list
        By machine: for each stroke its name and the load against a fresh edge, per cent in steps of 5.
    finishes : dict of int to list
        By machine: for each feature cut there its name, the nearest comparison plate, and whether it cleaned up.
    done : dict of int to int
        Parts completed at each machine during the shift.
    """

    def __init__(self, directory: Directory) -> None:
        self.directory = directory
        self.loads: dict[int, list[tuple[str, int]]] = {}
        self.finishes: dict[int, list[tuple[str, float, bool]]] = {}
        self.done: dict[int, int] = {}
        self.floor: Floor | None = None

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Nothing to see."""

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Nothing to see."""

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Look at a part that is complete."""
        del now_min
        if what != "complete" or self.floor is None:
            return
        self.done[machine] = self.done.get(machine, 0) + 1
        if not self.directory.cuts_of(machine):
            return
        load, finish, _, _ = self.floor.site.timing.normals(Purpose.OTHER, sensing_spot(operation), part.serial)
        self.loads[machine] = self._loads(machine, load)
        self.finishes[machine] = self._finishes(machine, part, finish)

    def _loads(self, machine: int, normal: float) -> list[tuple[str, int]]:
        """Load of each stroke over that with fresh edges; strokes without a force show none."""
        assert self.floor is not None
        site, mounts = self.floor.site, self.floor.machines[machine].mounts
        loads = []
        spec = site.rows.operations[self.directory.operation_of[machine]]
        for stroke in range(spec.first_stroke, spec.end_stroke):
            row = site.rows.strokes[stroke]
            cuts = [site.rows.cuts[cut] for cut in range(row.first_cut, row.end_cut)]
            fresh = sum(cut.cutting_force_n for cut in cuts)
            if fresh <= 0.0:
                continue
            worn = fresh + sum(_worn_n(cut, mounts[cut.slot].life_share) for cut in cuts)
            percent = 100.0 * worn / fresh * math.exp(_LOAD_SCATTER * normal)
            loads.append((self.directory.names.strokes[stroke], _LOAD_STEP * round(percent / _LOAD_STEP)))
        return loads

    def _finishes(self, machine: int, part: Part, normal: float) -> list[tuple[str, float, bool]]:
        """Finish of the features that the machine cuts, the worst place of each."""
        assert self.floor is not None
        site = self.floor.site
        features = dict.fromkeys(site.rows.cuts[cut].feature for cut in self.directory.cuts_of(machine))
        finishes = []
        for number in features:
            row = site.rows.features[number]
            places = slice(row.first_place, row.first_place + row.places)
            felt = max(part.roughness_um[places]) * math.exp(_FINISH_SCATTER * normal)
            finishes.append((self.directory.names.features[number], nearest_plate(felt), all(part.is_clean[places])))
        return finishes


def _worn_n(cut: Any, life_share: float) -> float:
    """What wear adds to the cutting force of a fresh edge, which the spindle turns against."""
    return float(cut.wear_cutting_n) * wear_growth(life_share, cut.wear_b, cut.wear_tau, cut.wear_gamma)


def nearest_plate(roughness_um: float) -> float:
    """The comparison plate that a finish is most like, by ratio.

    >>> nearest_plate(1.0), nearest_plate(2.4)
    (0.8, 3.2)
    """
    return min(PLATES_UM, key=lambda plate: abs(math.log(max(roughness_um, 1e-3) / plate)))


def sound_of(percent: float) -> str:
    """How a stroke sounds at a load against that of fresh edges.

    >>> sound_of(100)
    'even, as with fresh edges'
    """
    return next(words for limit, words in _SOUNDS if percent < limit)
