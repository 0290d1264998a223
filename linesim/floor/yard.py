"""The casting yard, where parts come into a line, and the count of the parts that are in it."""

from __future__ import annotations

from collections import deque
from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose, normal_from_uniform
from linesim.chance.addresses import cast_shape_draw
from linesim.floor.blame import Terms
from linesim.floor.circles import MOST_ARRIVALS, MOST_INSIDE, endless_arrivals, endless_queue
from linesim.floor.foreman import Claim, Turn, hand, queue
from linesim.floor.heats import cast_from_heat
from linesim.floor.mixing import chosen, gives_up, is_for, note_waiting
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE, UNLIMITED

__all__ = ["Yard"]


class _Door:
    """Where castings are turned away, once all machines that come free at the instant have taken theirs."""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard

    def give_out(self) -> bool:
        """Turn away what still finds no room."""
        self.yard.turn_away()
        return False


class Yard:
    """Castings for one line: always to be had, or as they arrive; up to a number, and as pallets come free."""

    def __init__(self, site: Site, line: int) -> None:
        self.site = site
        self.env = site.env
        self.line = line
        lines = site.plan.lines
        self.first_operation = int(lines.first_operation[line])
        self.room = int(site.plan.operations.buffer[self.first_operation])
        self.limit = int(lines.castings[line])
        self.pallets = int(lines.pallets[line])
        self.turns_away = bool(lines.turn_away[line])
        self.arrival_time = int(lines.arrival_time[line])
        self.number = site.foreman.take_on(self, Turn.PARTS)
        self.door = site.foreman.take_on(_Door(self), Turn.DOOR)
        self.standing: deque[Part] = deque()
        self.takers: list[Claim] = []
        self.inside = 0
        self.serial = 0
        self._since = 0.0
        features = range(int(lines.first_feature[line]), int(lines.end_feature[line]))
        self._features = [(feature, site.rows.features[feature]) for feature in features]
        if self.arrival_time != NONE:
            self.env.process(self._arrive())

    def take(self, rank: tuple[int, ...], claim: Claim | None = None) -> Claim:
        """Ask for a casting; the claim's value is the part, unless it is a claim of another kind."""
        claim = claim or Claim(self.env, rank)
        queue(self.takers, claim)
        self.site.foreman.call(self.number)
        return claim

    def take_off(self, part: Part) -> None:
        """A casting is taken off a part of another line; those of one moment stand in order of their numbers."""
        self.serial = part.serial
        piece = self._casting()
        piece.fellow, part.fellow = part, piece
        at = len(self.standing)
        while at and (self.standing[at - 1].came_min, self.standing[at - 1].serial) > (piece.came_min, piece.serial):
            at -= 1
        self.standing.insert(at, piece)
        self.site.foreman.call(self.number)

    def bring_in(self) -> Part:
        """A casting that is in the line as the run begins."""
        return self._casting()

    def part_leaves(self) -> None:
        """A part has left the line, shipped or scrapped; its pallet comes back."""
        self._account()
        self.inside -= 1
        if self.pallets != UNLIMITED:
            self.site.foreman.call(self.number)

    def give_out(self) -> bool:
        """Hand castings to the machines that wait; where that is the rule, the door turns away what finds no room."""
        given = False
        self._account()
        while self.takers and ((part := self._next_part()) is not None or gives_up(self.takers)):
            if part is not None:
                self._count_wait(part)
            hand(self.takers, part)
            given = True
        if self.turns_away and len(self.standing) > self.room:
            self.site.foreman.call(self.door)
        note_waiting(self.takers, bool(self.standing))
        return given

    def _next_part(self) -> Part | None:
        """The casting for the first of those that wait; None if there is none for it."""
        if not self._is_ready():
            return None
        if self.arrival_time == NONE:
            return self._casting()
        at = chosen(self.takers[0], len(self.standing), lambda: self.standing)
        if at is None:
            return None
        part = self.standing[at]
        del self.standing[at]
        return part

    def _is_ready(self) -> bool:
        if self.arrival_time != NONE:
            return bool(self.standing) and self.inside - len(self.standing) < self.pallets
        return self.serial < self.limit and self.inside < self.pallets

    def _arrive(self) -> Generator[Event, object, None]:
        ordinal = at_once = 0
        last_min = self.env.now
        while ordinal < self.limit:
            yield self.env.timeout(self.site.timing.minutes(self.arrival_time, Purpose.ARRIVAL, self.line, ordinal))
            ordinal += 1
            at_once = at_once + 1 if self.env.now == last_min else 1
            last_min = self.env.now
            if at_once > MOST_ARRIVALS:
                raise endless_arrivals(last_min, self.site.plan.names.lines[self.line])
            self.standing.append(self._casting())
            self.site.foreman.call(self.number)

    def _casting(self) -> Part:
        """The next casting, with its own unevenness in every place of every feature."""
        self._account()
        part = Part(self.serial, self.line, self.env.now)
        self.serial += 1
        self.inside += 1
        if self.inside > MOST_INSIDE:
            raise endless_queue(self.env.now, self.site.plan.names.lines[self.line])
        self.site.tally.castings[self.line] += 1
        part.type = self.site.type_of(self.line, part.serial)
        self.site.count_type(self.site.tally.castings_of_type, part, 1)
        cast_from_heat(self.site, part)
        for feature, row in self._features:
            for place in range(row.places):
                size, position, tilt = 0.0, 0.0, 0.0
                if not is_for(row.types, part.type):
                    self._leave_out(part, row)
                    continue
                if row.spread_um > 0.0 or row.carries:
                    size, position, tilt = self._drawn(feature, part.serial, place)
                part.error_um.append(row.spread_um * size if row.spread_um > 0.0 else 0.0)
                part.roughness_um.append(row.cast_roughness_um)
                self._cast_shape(part, feature, row.carries, position, tilt)
        size = len(part.error_um)
        part.terms = [Terms(error_um) for error_um in part.error_um]
        part.scratch_um = [0.0] * size
        part.is_clean = [True] * size
        part.is_machined = [False] * size
        return part

    def _drawn(self, feature: int, serial: int, place: int) -> tuple[float, float, float]:
        """Size, position and tilt of one place as cast, standard normal."""
        timing = self.site.timing
        size = normal_from_uniform(timing.uniform(Purpose.CASTING, feature, serial, place))
        position, tilt, _, _ = timing.normals(Purpose.CASTING, feature, serial, cast_shape_draw(place))
        return size, position, tilt

    def _leave_out(self, part: Part, row: Any) -> None:
        """A place that parts of this type do not have is as it should be, so that it tells nothing."""
        part.error_um.append(0.0)
        part.roughness_um.append(row.roughness_aim_um)
        for values in (part.position_um, part.tilt_um, part.form_um):
            values.append(0.0)

    def _cast_shape(self, part: Part, feature: int, carries: int, position: float, tilt: float) -> None:
        """Position, tilt and form of one place, from two standard normals; nothing where they are not carried."""
        shape = self.site.rows.shapes[feature]
        part.position_um.append(shape.cast_position_um * position if carries else 0.0)
        part.tilt_um.append(shape.cast_tilt_um * tilt if carries else 0.0)
        part.form_um.append(shape.cast_form_um if carries else 0.0)

    def turn_away(self) -> None:
        """Send the last ones elsewhere for which there is no room."""
        while len(self.standing) > self.room:
            self._turn_away(self.standing.pop())

    def _turn_away(self, part: Part) -> None:
        self._account()
        self.inside -= 1
        self.site.tally.turned_away[self.line] += 1
        self.site.tally.castings[part.line] -= 1
        self.site.count_type(self.site.tally.castings_of_type, part, -1)

    def _count_wait(self, part: Part) -> None:
        stood = self.env.now - part.came_min
        tally = self.site.tally
        tally.taken[self.first_operation] += 1
        if stood > 0.0:
            tally.had_to_wait[self.first_operation] += 1
            tally.stood_min[self.first_operation] += stood

    def start_counting(self) -> None:
        """Forget what was counted before now."""
        self._since = self.env.now
        self.site.tally.most_stock[self.first_operation] = len(self.standing)

    def stop_counting(self) -> None:
        """Count up to now."""
        self._account()
        self.site.tally.in_line_at_end[self.line] = self.inside

    def _account(self) -> None:
        now = self.env.now
        if now > self._since:
            passed = now - self._since
            tally = self.site.tally
            tally.in_line_min[self.line] += self.inside * passed
            tally.stock_min[self.first_operation] += len(self.standing) * passed
            tally.most_stock[self.first_operation] = max(tally.most_stock[self.first_operation], len(self.standing))
            self._since = now
