"""Following every part over the floor, and keeping the account of one component of a feature.

The follower listens to the SimPy floor and takes no part in it. Whenever a machine begins to cut, it looks at the part,
the edges and their offsets as they are at that instant, and works out by itself what the cut will do, source by source.
When the part is complete at the operation, its account is held against the true values of the floor: they must agree.
The size is always followed, as it decides which cuts find metal.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from linesim.chance import Purpose
from linesim.chance.addresses import try_draw
from linesim.cutting.component import Component
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
from linesim.routing.lives import AS_CAST, DISTURBED, SALVAGED, Life, Step, are_close, origins_of
from linesim.routing.seating import met_by, shifts_of_cut
from linesim.routing.shape_tags import followed_um, shape_after, tagged
from linesim.routing.sources import Source
from linesim.routing.tagging import Tags, after_cut, as_set, cast_tags, missed_cut, moved

__all__ = ["Follower"]

_BEFORE_CUTTING = (State.LOADING, State.CUTTING, State.GAUGING, State.CHANGING, State.FIRST_PIECE)


@dataclass
class _Work:
    """What is known of the part that a machine has."""

    part: Part
    stroke: int
    held: Held | None = None
    fault_tilt_um: float = 0.0
    is_done: bool = False
    gauge: int = NONE
    recut_tries: int = 0
    came_from: State = State.LOADING
    found_um: list[float] = field(default_factory=list)
    """True errors of the places as the next cut of the stroke finds them, free of the rounding of a sum of parts."""


class Follower:
    """Keeps the account of a feature for every part of a run.

    Parameters
    ----------
    line, feature : int
        Numbers in the plan.
    of : Component
        Size, position, tilt or form.
    """

    def __init__(self, line: int, feature: int, of: Component = Component.SIZE) -> None:
        self.line = line
        self.feature = feature
        self.of = of
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
        origins = origins_of(floor.plan, self.line, self.feature)
        self._origins = {step: number for number, step in enumerate(origins)}

    # heard from the floor

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Work out what the machine is about to do to its part."""
        del now_min
        before, work = self._before.get(machine), self._works.get(machine)
        if state is not State.WAITING_FOR_OPERATOR:  # whoever comes begins what is seen next, or takes it up again
            self._before[machine] = state
        if work is None or work.part.line != self.line:
            return
        if state is State.LOADING and not work.is_done and len(work.part.done_min) > self._machine(machine).position:
            work.is_done = True
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
        elif what in ("turned down", "sorted"):
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
            later, values = len(self._origins) - 1, part.values_um(self.of)
            cast = [cast_tags(tagged(self.of, values[where]), later) for where in self._places]
            sizes = [cast_tags(part.error_um[where], later) for where in self._places]
            life = Life(sizes, [] if self.of is Component.SIZE else cast)
            life.read_off(AS_CAST)
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
            held = held_of(machine.site, machine.index, stand_in)
            work.held = machine.trouble.turned(held)
            work.fault_tilt_um = work.held.tilt_um - held.tilt_um
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
        work.found_um = [work.part.error_um[where] for where in self._places]
        for cut in cuts:
            if machine.site.rows.cuts[cut].feature == self.feature:
                self._cut(machine, work, cut, additions, is_again)

    def _cut(self, machine: Machine, work: _Work, cut: int, additions: Additions, is_recut: bool) -> None:
        """One cut of all places of the feature."""
        site, life = machine.site, self._lives[work.part.serial]
        row = site.rows.cuts[cut]
        mount, step = machine.mounts[row.slot], self._step(machine, site.plan.names.cuts[cut])
        origin = self._origins[step]
        conditions, feature = site.conditions[cut], site.rows.features[self.feature]
        held = machine.warmth.felt(work.held or Held(), site.env.now)
        for place, tags in enumerate(life.tags):
            error_um = work.found_um[place]
            if is_recut and error_um <= 0.0:
                continue
            share = share_at(mount, row, place, work.part.heat_life)
            growth = wear_growth(share, row.wear_b, row.wear_tau, row.wear_gamma)
            if mount.is_broken or not takes(conditions, growth, metal_met_um(conditions, error_um, is_recut)):
                if not is_recut:
                    life.tags[place] = missed_cut(tags, origin, row.depth_mm)
                    work.found_um[place] = metal_met_um(conditions, error_um, False)
                continue
            at = try_draw(work.part.tries, place)
            repeat, stress, _, _ = site.timing.normals(Purpose.CUT, cut, work.part.serial, at)
            offset = mount.offsets.get(cut, 0.0)
            datum = datum_place(site, held.datum, feature, place)
            shifts = shifts_of_cut(site, work.part, cut, held, datum, work.fault_tilt_um)
            added = additions.added(cut, place, is_recut)
            additions.note(cut, place, error_um)
            more = (is_recut, work.part.heat_force, added, work.part.fault_um)
            left = after_cut(tags, origin, conditions, share, offset, shifts, (repeat, stress), *more)
            left = as_set(left, origin, mount.aims[cut], mount.setting_um)
            left_um = float(left.sum())
            if not is_recut or left_um < error_um:
                life.tags[place], work.found_um[place] = left, left_um
            if life.shape and not is_recut:
                met = met_by(site, work.part, cut, place, held, datum, growth, added)
                taken_um = metal_met_um(conditions, error_um, False) - left_um
                met = met._replace(taken_um=taken_um, fault_tilt_um=work.fault_tilt_um)
                life.shape[place] = shape_after(self.of, life.shape[place], origin, met)
        self._write(life, step)

    def _disturbed(self, machine: Machine, work: _Work) -> None:
        """What the operation moves without cutting it."""
        site, life = machine.site, self._lives[work.part.serial]
        stand_in = Part(work.part.serial, work.part.line, 0.0)
        stand_in.error_um = [0.0] * len(work.part.error_um)
        stand_in.terms = [Terms(0.0) for _ in stand_in.error_um]
        disturb(site, machine.operation, machine.position, stand_in)
        moves = [stand_in.error_um[where] for where in self._places]
        if any(moves):
            step = self._step(machine, DISTURBED)
            pairs = zip(life.tags, moves, strict=True)
            life.tags = [moved(tags, self._origins[step], Source.DISTURBANCE, by) for tags, by in pairs]
            self._write(life, step)

    def _note_gauge(self, machine: Machine, work: _Work) -> None:
        """Which gauge is read: the last of those that have counted one part more, else the same again."""
        known = self._gauged[machine.index]
        counted = [at for at, count in enumerate(machine.gauged) if count != known[at]]
        if counted:
            work.gauge = machine.spec.first_gauge + counted[-1]
            self._gauged[machine.index] = list(machine.gauged)

    def _held_against(self, part: Part, machine: Machine) -> None:
        """Hold the accounts against the floor; a salvage bench has put right what it sent there."""
        life = self._lives[part.serial]
        life.tags = self._agreed(part, machine, Component.SIZE, life.tags)
        if life.shape:
            life.shape = self._agreed(part, machine, self.of, life.shape)

    def _agreed(self, part: Part, machine: Machine, of: Component, accounts: list[Tags]) -> list[Tags]:
        """One component's accounts, with what a salvage bench did to them."""
        values = part.values_um(of)
        true, own = [values[where] for where in self._places], [followed_um(of, tags) for tags in accounts]
        if are_close(true, own):
            return accounts
        limit_um = machine.site.rows.shapes[self.feature].form_limit_um
        mended = [min(value, limit_um) if of is Component.FORM else 0.0 for value in own]
        if not self._salvages(machine) or not are_close(true, mended):
            where = machine.site.plan.names.operations[machine.operation]
            figures = f"{own[0]:.6f} µm in the account, {true[0]:.6f} µm on the floor"
            what = f"the account of the {of.words} of part {part.serial}"
            raise RunError(f"{where}: {what} does not agree with the run ({figures})")
        step = self._step(machine, SALVAGED)
        pairs = zip(accounts, mended, strict=True)
        origin = self._origins[step]
        changed = [moved(tags, origin, Source.SALVAGE, tagged(of, to) - float(tags.sum())) for tags, to in pairs]
        if of is self.of:
            life = self._lives[part.serial]
            life.ask_again(changed)
            self._write(life, step)
        return changed

    def _salvages(self, machine: Machine) -> bool:
        """Whether a machine has a bench that puts the feature right."""
        gauges = machine.site.rows.gauges[machine.spec.first_gauge : machine.spec.end_gauge]
        by_gauge = any(row.feature == self.feature and row.reject == Reject.SALVAGE for row in gauges)
        first = machine.first_pieces.row
        return by_gauge or (first.tries > 0 and first.bad == Reject.SALVAGE)

    def _step(self, machine: Machine, what: str) -> Step:
        return Step(machine.site.plan.names.operations[machine.operation], what)

    def _write(self, life: Life, step: Step) -> None:
        """Read the account off; a cut made again after the operation has moved the feature comes after that."""
        if step.what != SALVAGED:
            life.steps.pop(Step(step.operation, DISTURBED), None)
        life.read_off(step)
