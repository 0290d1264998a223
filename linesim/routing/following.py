"""Following every part over the floor, and keeping the account of the errors of one feature.

The follower listens to the SimPy floor and takes no part in it. Whenever a machine begins to cut, it looks at the part,
the edges and their offsets as they are at that instant, and works out by itself what the cut will do, source by source.
When the part is complete at the operation, its account is held against the true errors of the floor: they must agree.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from linesim.chance import Purpose
from linesim.chance.addresses import try_part
from linesim.cutting.error_terms import metal_met_um
from linesim.cutting.life import wear_growth
from linesim.cutting.step import takes
from linesim.errors import RunError
from linesim.floor.additions import Additions, cut_minutes, share_at
from linesim.floor.blame import Terms
from linesim.floor.holding import Held, datum_place, held_of
from linesim.floor.machine import Machine
from linesim.floor.mishaps import disturb
from linesim.floor.part import Part
from linesim.floor.run import Floor
from linesim.floor.stroke import minutes_until_break
from linesim.plan.tables import NONE, Reject
from linesim.plan.tally import State
from linesim.routing.seating import shifts_of_cut
from linesim.routing.sources import Source
from linesim.routing.tagging import Tags, after_cut, as_set, cast_tags, missed_cut, moved

__all__ = ["AS_CAST", "Follower", "Life", "Step"]

_BEFORE_CUTTING = (State.LOADING, State.CUTTING, State.GAUGING, State.CHANGING, State.FIRST_PIECE)
_CLOSE_UM = 1e-6
"""Rounding of sums of parts of an error, µm; anything more is an error of the account."""


@dataclass(frozen=True)
class Step:
    """Where an account is read off: a cut, a recut, a disturbance or a salvage at an operation.

    Attributes
    ----------
    operation : str
        Name of the operation.
    what : str
        The cut, or "disturbed", "salvaged"; recuts stand under their cut.
    """

    operation: str
    what: str


AS_CAST = Step("casting", "as cast")
"""Before the first operation."""


@dataclass
class _Work:
    """What is known of the part that a machine has."""

    part: Part
    stroke: int
    held: Held | None = None
    loads: int = 0
    gauge: int = NONE
    recut_tries: int = 0
    came_from: State = State.LOADING


@dataclass
class Life:
    """The account of one part so far.

    Attributes
    ----------
    tags : list of Tags
        By place of the feature, as it is now.
    steps : dict of Step to list of Tags
        As it was after each step that the part has been through.
    surface : dict of str to tuple of lists
        Roughness and scratch of every place (µm) when the part is passed on, by operation.
    """

    tags: list[Tags]
    steps: dict[Step, list[Tags]] = field(default_factory=dict)
    surface: dict[str, tuple[list[float], list[float]]] = field(default_factory=dict)


class Follower:
    """Keeps the account of a feature for every part of a run.

    Parameters
    ----------
    line, feature : int
        Numbers in the plan.
    """

    def __init__(self, line: int, feature: int) -> None:
        self.line = line
        self.feature = feature
        self.shipped: list[tuple[float, Life]] = []
        """Moment and account of each part that left the line good, in order."""
        self._floor: Floor | None = None
        self._lives: dict[int, Life] = {}
        self._works: dict[int, _Work] = {}
        self._before: dict[int, State] = {}
        self._gauged: dict[int, list[int]] = {}

    def follow(self, floor: Floor) -> None:
        """Say which floor is listened to; before it runs."""
        self._floor = floor

    # heard from the floor

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Work out what the machine is about to do to its part."""
        del now_min
        before, work = self._before.get(machine), self._works.get(machine)
        self._before[machine] = state
        if work is None or work.part.line != self.line:
            return
        if state is State.LOADING:
            work.loads += 1
            if work.loads == 2:
                self._disturbed(self._machine(machine), work)
        elif state is State.GAUGING:
            self._note_gauge(self._machine(machine), work)
        elif state is State.CUTTING and before in _BEFORE_CUTTING:
            # From a change with the part at hand: its set broke, and the cut is made again.
            work.came_from = work.came_from if before is State.CHANGING else before
            self._cuts(self._machine(machine), work, work.came_from)

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Take note of parts that come, go and are done."""
        if part.line != self.line:
            return
        if what == "loaded":
            self._loaded(part, machine)
        elif what == "complete":
            self._held_against(part, self._machine(machine))
            ra = [part.roughness_um[where] for where in self._places]
            scratch = [part.scratch_um[where] for where in self._places]
            self._lives[part.serial].surface[self.floor.plan.names.operations[operation]] = (ra, scratch)
        elif what == "scrapped":
            self._lives.pop(part.serial, None)
        elif what == "turned down":
            self._held_against(part, self._machine(machine))
        elif what == "left" and operation + 1 == int(self.floor.plan.lines.end_operation[self.line]):
            self.shipped.append((now_min, self._lives.pop(part.serial)))
        # From the bench of its first pieces a part goes on while the machine has another at hand.
        at_hand = self._works.get(machine)
        if what in ("scrapped", "turned down", "left") and at_hand is not None and at_hand.part is part:
            del self._works[machine]

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Changes of cutters say nothing that the edges themselves do not."""

    # the account

    @property
    def floor(self) -> Floor:
        """The floor that is listened to."""
        assert self._floor is not None
        return self._floor

    def _machine(self, number: int) -> Machine:
        return self.floor.machines[number]

    @property
    def _places(self) -> range:
        """Where the feature's places stand within a part."""
        row = self.floor.site.rows.features[self.feature]
        return range(row.first_place, row.first_place + row.places)

    def _loaded(self, part: Part, number: int) -> None:
        """A part has come onto a machine."""
        if part.serial not in self._lives:
            lines = self.floor.plan.lines
            count = int(lines.end_operation[self.line] - lines.first_operation[self.line])
            life = Life([cast_tags(part.error_um[where], count) for where in self._places])
            life.steps[AS_CAST] = list(life.tags)
            self._lives[part.serial] = life
        machine = self._machine(number)
        self._works[number] = _Work(part, machine.spec.first_stroke)
        self._gauged[number] = list(machine.gauged)

    def _cuts(self, machine: Machine, work: _Work, before: State) -> None:
        """The machine begins a stroke: what it will do to the feature."""
        is_recut = before in (State.GAUGING, State.FIRST_PIECE)
        if before is State.FIRST_PIECE:
            stroke, only_cut = machine.first_pieces.recut
        elif is_recut:
            row = machine.site.rows.gauges[work.gauge]
            stroke, only_cut = row.recut_stroke, row.recut_cut
        elif work.stroke >= machine.spec.end_stroke:
            return  # an operation given by its minutes
        else:
            stroke, only_cut = work.stroke, NONE
            work.stroke += 1
        if work.held is None:
            stand_in = Part(work.part.serial, work.part.line, 0.0)
            stand_in.scratch_um = list(work.part.scratch_um)
            work.held = machine.trouble.turned(held_of(machine.site, machine.operation, stand_in))
        spec = machine.site.rows.strokes[stroke]
        cuts = [cut for cut in range(spec.first_cut, spec.end_cut) if only_cut in (NONE, cut)]
        # What has been repaired is cut again wherever it goes.
        is_again = is_recut or work.part.rounds > 0
        minutes = cut_minutes(machine.site, work.part, cuts, is_again)
        _, breaking = minutes_until_break(machine.site, machine.mounts, minutes, work.part)
        if breaking is not None:
            work.stroke -= not is_recut
            return
        additions = Additions(machine.site, machine.mounts, work.part)
        for cut in cuts:
            if machine.site.rows.cuts[cut].feature == self.feature:
                self._cut(machine, work, cut, additions, is_again)

    def _cut(self, machine: Machine, work: _Work, cut: int, additions: Additions, is_recut: bool) -> None:
        """One cut of all places of the feature."""
        site, life = machine.site, self._lives[work.part.serial]
        row = site.rows.cuts[cut]
        mount, origin = machine.mounts[row.slot], machine.position + 1
        conditions, feature = site.conditions[cut], site.rows.features[self.feature]
        held = machine.warmth.felt(work.held or Held(), site.env.now)
        for place, tags in enumerate(life.tags):
            error_um = float(tags.sum())
            if is_recut and error_um <= 0.0:
                continue
            share = share_at(mount, row, place, work.part.heat_life)
            growth = wear_growth(share, row.wear_b, row.wear_tau, row.wear_gamma)
            if not takes(conditions, growth, metal_met_um(conditions, error_um, is_recut)):
                life.tags[place] = tags if is_recut else missed_cut(tags, origin, row.depth_mm)
                continue
            at = try_part(work.part.tries, place)
            repeat, stress, _, _ = site.timing.normals(Purpose.CUT, cut, work.part.serial, at)
            offset = mount.offsets.get(cut, 0.0)
            shifts = shifts_of_cut(site, work.part, cut, held, datum_place(site, held.datum, feature, place))
            added = additions.added(cut, place, is_recut)
            additions.note(cut, place, error_um)
            more = (is_recut, work.part.heat_force, added, work.part.fault_um)
            left = after_cut(tags, origin, conditions, share, offset, shifts, (repeat, stress), *more)
            left = as_set(left, origin, mount.aims[cut], mount.setting_um)
            if not is_recut or left.sum() < error_um:
                life.tags[place] = left
        self._write(life, machine, site.plan.names.cuts[cut])

    def _disturbed(self, machine: Machine, work: _Work) -> None:
        """What the operation moves without cutting it."""
        site, life = machine.site, self._lives[work.part.serial]
        stand_in = Part(work.part.serial, work.part.line, 0.0)
        stand_in.error_um = [0.0] * len(work.part.error_um)
        stand_in.terms = [Terms(0.0) for _ in stand_in.error_um]
        disturb(site, machine.operation, machine.position, stand_in)
        moves = [stand_in.error_um[where] for where in self._places]
        if any(moves):
            origin = machine.position + 1
            life.tags = [moved(tags, origin, Source.DISTURBANCE, by) for tags, by in zip(life.tags, moves, strict=True)]
            self._write(life, machine, "disturbed")

    def _note_gauge(self, machine: Machine, work: _Work) -> None:
        """Which gauge is read: the last of those that have counted one part more, else the same again."""
        known = self._gauged[machine.index]
        counted = [at for at, count in enumerate(machine.gauged) if count != known[at]]
        if counted:
            work.gauge = machine.spec.first_gauge + counted[-1]
            self._gauged[machine.index] = list(machine.gauged)

    def _held_against(self, part: Part, machine: Machine) -> None:
        """Hold the account against the floor; a salvage bench has put right what it sent there."""
        life = self._lives[part.serial]
        true = [part.error_um[where] for where in self._places]
        own = [float(tags.sum()) for tags in life.tags]
        if all(abs(one - other) <= _CLOSE_UM * max(1.0, abs(one)) for one, other in zip(true, own, strict=True)):
            return
        salvages = any(
            machine.site.rows.gauges[gauge].feature == self.feature
            and machine.site.rows.gauges[gauge].reject == Reject.SALVAGE
            for gauge in range(machine.spec.first_gauge, machine.spec.end_gauge)
        )
        salvages |= machine.first_pieces.row.tries > 0 and machine.first_pieces.row.bad == Reject.SALVAGE
        if not salvages or any(true):
            where = machine.site.plan.names.operations[machine.operation]
            figures = f"{own[0]:.6f} µm in the account, {true[0]:.6f} µm on the floor"
            raise RunError(f"{where}: the account of part {part.serial} does not agree with the run ({figures})")
        origin = machine.position + 1
        life.tags = [moved(tags, origin, Source.SALVAGE, -float(tags.sum())) for tags in life.tags]
        self._write(life, machine, "salvaged")

    def _write(self, life: Life, machine: Machine, what: str) -> None:
        """Read the account off; a cut made again after the operation has moved the feature comes after that."""
        operation = machine.site.plan.names.operations[machine.operation]
        step = Step(operation, what)
        if what != "salvaged":
            life.steps.pop(Step(operation, "disturbed"), None)
        life.steps[step] = [np.array(tags) for tags in life.tags]
