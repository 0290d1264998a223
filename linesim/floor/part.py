"""A part on its way through the line."""

from __future__ import annotations

from linesim.cutting.component import Component
from linesim.floor.blame import Terms
from linesim.floor.sent import Sent

__all__ = ["Part"]


class Part:
    """One casting on its way to a finished part.

    Attributes
    ----------
    serial : int
        Serial number of the casting within its line, from 0.
    line : int
        Index of the line.
    error_um, roughness_um, scratch_um, is_clean, is_machined : list, one entry per place of every feature
        Metal left on beyond the intended surface (µm per side), Ra (µm), depth of the deepest scratch (µm), whether
        the last cut found metal all over, whether any cut has been made.
    position_um, tilt_um, form_um : list, one entry per place of every feature
        How far its axis is off, how far it is tilted over its length, both signed, and its form (µm); all 0 where the
        line does not carry them.
    machines : list of int
        The machine that did each operation, in routing order.
    done_min : list of float
        When the cutting was done at each operation, minutes from the start of the run.
    spent_min : list of float
        Machine minutes that each operation has put into the part so far, those of cutting again left out.
    came_min : float
        When it came into the line (arrived, or was taken by the first machine), minutes.
    is_first_pass : bool
        Neither recut nor salvaged so far.
    tries : int
        How often the cut at hand has been made again.
    heat_life, heat_force : float
        What the heat that it was cast from multiplies edge life and cutting force by.
    position : int
        Where in the routing it is.
    rounds, repairs : int
        How often it has been repaired, in all and for the test that it failed last.
    failed_test, blamed : int
        That test, and the term that it was charged to.
    put_right : int
        One bit for each cause that a repair has put right.
    terms : list of Terms, one entry per place of every feature
        Largest terms of its error to either side, and who is to blame for them.
    recalled : int
        One bit for each operation of the line whose measuring room has it swept back to be sorted.
    in_room : Sent
        What the measuring room has to know of it.
    faults : list of int
        By operation so far: the spell in which its machine was bad, counted from 1; 0 if it was good.
    type : int
        Its part type among those of its line.
    fellow : Part or None
        What was taken off it, or what it was taken off, until they are joined again.
    is_apart, is_lost : bool
        Whether something was taken off it; and whether its fellow has become scrap.
    """

    __slots__ = (
        "blamed",
        "came_min",
        "done_min",
        "error_um",
        "failed_test",
        "fault_um",
        "faults",
        "fellow",
        "form_um",
        "heat_force",
        "heat_life",
        "in_room",
        "is_apart",
        "is_clean",
        "is_first_pass",
        "is_lost",
        "is_machined",
        "line",
        "machines",
        "position",
        "position_um",
        "put_right",
        "recalled",
        "repairs",
        "roughness_um",
        "rounds",
        "scratch_um",
        "serial",
        "spent_min",
        "terms",
        "tilt_um",
        "tries",
        "type",
    )

    def __init__(self, serial: int, line: int, came_min: float) -> None:
        self.serial = serial
        self.line = line
        self.came_min = came_min
        self.error_um: list[float] = []
        self.roughness_um: list[float] = []
        self.scratch_um: list[float] = []
        self.position_um: list[float] = []
        self.tilt_um: list[float] = []
        self.form_um: list[float] = []
        self.is_clean: list[bool] = []
        self.is_machined: list[bool] = []
        self.machines: list[int] = []
        self.done_min: list[float] = []
        self.spent_min: list[float] = []
        self.is_first_pass = True
        self.tries = 0
        self.terms: list[Terms] = []
        self.faults: list[int] = []
        self.fault_um = 0.0
        self.heat_life = 1.0
        self.heat_force = 1.0
        self.position = 0
        self.rounds = self.repairs = self.put_right = 0
        self.failed_test = self.blamed = -1
        self.type = 0
        self.fellow: Part | None = None
        self.is_apart = self.is_lost = False
        self.recalled = 0
        self.in_room = Sent()

    def values_um(self, of: Component) -> list[float]:
        """True values of a component, one for each place of every feature: what a gauge reads and a drawing limits."""
        lists = (
            self.error_um, self.roughness_um, self.scratch_um, self.position_um, self.tilt_um, self.form_um,
        )  # fmt: skip
        return lists[of]

    def comes_to(self, position: int, machine: int) -> None:
        """Note the machine that takes the part in hand; a repaired part comes to operations again."""
        self.position = position
        while len(self.machines) < position:
            # Its type passes this operation by.
            self._note(-1)
            self.done_min.append(0.0)
        if position == len(self.machines):
            self._note(machine)
        else:
            self.machines[position] = machine
            self.faults[position] = 0
            del self.done_min[position:]
            self.done_min += [0.0] * (position - len(self.done_min))

    def _note(self, machine: int) -> None:
        """Note the machine of the next operation in the routing; -1 for none."""
        self.machines.append(machine)
        self.spent_min.append(0.0)
        self.faults.append(0)
