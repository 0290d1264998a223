"""A mounted cutter set: how far its edge has gone, what is known of it, and when it will break."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from linesim.chance import Purpose, normal_from_uniform
from linesim.cutting.breaking import share_when_hit
from linesim.cutting.knowing import kind_life_factor
from linesim.cutting.life import edge_break_share, edge_life_factor, finish_factor, wear_land_mm
from linesim.cutting.rubbing import charged_min
from linesim.cutting.setting import in_steps, setting_um
from linesim.floor.crib import CutterSet
from linesim.floor.part import Part
from linesim.floor.rules import ChangeRule, Edge
from linesim.floor.timing import Timing
from linesim.plan.tables import NONE, Kinds
from linesim.plan.type_tables import ALL_TYPES

__all__ = ["Mount", "UsedSet"]


class UsedSet(NamedTuple):
    """A set that is used up and waits in the magazine."""

    cutter_set: CutterSet
    wear_land_mm: float
    is_lost: bool
    is_broken: bool
    ordinal: int


class Mount:
    """One slot on a machine where a cutter set sits.

    Attributes
    ----------
    life_share : float
        Life share w of the edge: 0 sharp, 1 at the life criterion, more is dull.
    life_factor : float
        What the edge's life is multiplied by, mean 1 (less for a reground one where the scenario says so).
    break_share : float
        Life share at which the edge breaks; infinite if never.
    finish_factor : float
        What its roughness is multiplied by, as the teeth of this mounted cutter happen to stand; mean 1.
    edge : Edge
        What is known of it at the machine.
    is_given_up : bool
        When it comes off it is not ground again; a new one is ordered.
    aims : dict of int to float
        How much deeper than intended a fresh edge is meant to stand, by each cut that it makes, µm.
    setting_um : float
        How much deeper than meant the mounted edge was set; the same for all of its cuts.
    first_tries, first_left : int
        First pieces that are gauged at most after its change, and how many of them are left.
    rezero_parts : int
        Parts after which the edge is set anew; 0 for never.
    is_rezeroed : bool
        Whether it has been.
    awaited : int
        Serial number of its first piece that is gauged while the machine runs on, or ``NONE``.
    answered_min : float
        When the answer came; infinite until then.
    answer : dict of int to float
        By cut, what it puts on the offset, µm.
    preset : dict of int to float
        By how much deeper still the next edge is put in, by cut, µm; usually none.
    types : int
        Part types that it cuts here, a bit for each.
    look_as : tuple of float or None
        Minutes of a look and error of its reading in mm, in place of those of the set's rule in the plan.
    sharp : list of CutterSet
        Its sisters in the magazine that have not been used, in the order in which they take over.
    is_broken : bool
        It has broken, unseen.
    is_seen : bool
        Somebody or something has told of it.
    broken_parts : int
        Parts cut with it since.
    used : list of UsedSet
        Those that wait to be renewed.
    """

    def __init__(self, index: int, kind: Any, rule: ChangeRule, edge: Edge, timing: Timing) -> None:
        self.index = index
        self.types = ALL_TYPES
        self.kind: Kinds = kind
        self.rule = rule
        self.edge = edge
        self.timing = timing
        self.ordinal = -1
        self.cutter_set: CutterSet | None = None
        self.life_share = 0.0
        self.life_factor = 1.0
        self.break_share = math.inf
        self.finish_factor = 1.0
        self.offsets: dict[int, float] = {}
        self.aims: dict[int, float] = {}
        self.setting_um = 0.0
        self.first_tries = self.first_left = self.rezero_parts = 0
        self.is_rezeroed = False
        self._await_none()
        self.preset: dict[int, float] = {}
        self.is_given_up = False
        self.look_as: tuple[float, float] | None = None
        self.sharp: list[CutterSet] = []
        self.used: list[UsedSet] = []
        self.is_broken = self.is_seen = False
        self.broken_parts = 0

    def put_in(self, cutter_set: CutterSet, now_min: float) -> None:
        """A sharp edge begins its life here."""
        self.cutter_set = cutter_set
        self.ordinal += 1
        self.life_share = 0.0
        first, second, third, fourth = self.timing.uniforms(Purpose.EDGE, self.index, self.ordinal)
        self.life_factor = edge_life_factor(float(self.kind.life_cv), first)
        if cutter_set.is_reground:
            self.life_factor *= float(self.kind.reground_life)
        if self.kind.known_sigma > 0.0:
            luck, _, _, _ = self.timing.uniforms(Purpose.KIND_LIFE, cutter_set.kind, 0)
            self.life_factor *= kind_life_factor(float(self.kind.known_sigma), luck)
        self.break_share = edge_break_share(float(self.kind.break_shape), float(self.kind.break_scale), second)
        self.finish_factor = finish_factor(float(self.kind.mounted_sigma), third)
        self.edge.put_in(now_min)
        self.is_given_up = False
        # What the gauge had taught about the old edge no longer holds; the sharp one is set anew.
        kind = self.kind
        self.setting_um = setting_um(kind.setting_error_um, kind.setting_bias_um, normal_from_uniform(fourth))  # type: ignore[arg-type]
        self.offsets.clear()
        for cut, aim_um in self.aims.items():
            self.offsets[cut] = aim_um + self.setting_um + self.preset.get(cut, 0.0)
        self.preset.clear()
        self.first_left = self.first_tries
        self.is_rezeroed = False
        self._await_none()
        self.is_broken = self.is_seen = False
        self.broken_parts = 0

    def take_off(self, is_broken: bool) -> UsedSet:
        """What is known of the set at work as it goes."""
        assert self.cutter_set is not None, "a machine never runs without a mounted set"
        is_broken = is_broken or self.is_broken
        is_lost = is_broken or self.is_given_up
        return UsedSet(self.cutter_set, self.wear_land_mm, is_lost, is_broken, self.ordinal)

    def take_over(self, is_broken: bool, now_min: float) -> None:
        """The next sister takes the place of the set at work, which waits in the magazine."""
        self.used.append(self.take_off(is_broken))
        self.put_in(self.sharp.pop(0), now_min)

    def _await_none(self) -> None:
        self.awaited, self.answered_min = NONE, math.inf
        self.answer: dict[int, float] = {}

    @property
    def wants_first(self) -> bool:
        """Whether the next part is a first piece of it."""
        return self.first_left > 0 and self.awaited == NONE

    def settable_um(self, by_um: float) -> float:
        """What can be put on an offset of its cuts of what is meant to be, µm: whole steps."""
        return in_steps(by_um, float(self.kind.setting_step_um))

    def dial_in(self, now_min: float) -> None:
        """Set what was read of its first piece, if the answer has come before now."""
        if self.answered_min >= now_min:
            return
        for cut, off_um in self.answer.items():
            self.offsets[cut] += off_um
        self.first_left = self.first_left - 1 if any(self.answer.values()) else 0
        self._await_none()

    def note_rezero(self) -> None:
        """After so many parts the edge is set anew, by a reading as of a first piece."""
        if 0 < self.rezero_parts <= self.edge.parts and not self.is_rezeroed and self.awaited == NONE:
            self.first_left = self.first_tries
            self.is_rezeroed = True

    def aim_now_um(self, cut: Any) -> float:
        """How much deeper than intended it is meant to stand where it is set now, µm."""
        return float(cut.rezero_aim_um if self.is_rezeroed else cut.aim_um)

    def minutes_to_break(self, life_min: float) -> float:
        """Cutting minutes until the edge breaks, at a cut in which an average edge lasts ``life_min``."""
        if math.isinf(self.break_share) or math.isinf(life_min):
            return math.inf
        return (self.break_share - self.life_share) * (life_min * self.life_factor)

    def will_break(self, cut_min: float, life_min: float) -> None:
        """It breaks after so many minutes more, if it would not have broken before."""
        self.break_share = min(self.break_share, self.life_share + cut_min / (life_min * self.life_factor))

    def chip(self, land_mm: float) -> None:
        """Its wear land is wider by so much at once."""
        kind = self.kind
        curve = (float(kind.wear_limit_mm), float(kind.wear_b), float(kind.wear_tau), float(kind.wear_gamma))
        self.life_share = share_when_hit(self.life_share, land_mm, *curve)

    def count_part(self, part: Part) -> None:
        """One more part is done with it, if it cuts parts of this type at all."""
        if self.types >> part.type & 1:
            self.edge.parts += 1
            self.edge.parts_since_look += 1

    def break_unseen(self) -> None:
        """It breaks and goes on: what is left of it wears no more and cannot break again."""
        self.life_share = self.break_share
        self.break_share = self.life_factor = math.inf
        self.is_broken = True

    def wear(self, cut_min: float, life_min: float, rubbed: int = 0, places: int = 1) -> None:
        """So many minutes are cut with it; where it rubbed at some of the places they count three times."""
        self.edge.cut_min += cut_min
        if not math.isinf(life_min):
            self.life_share += charged_min(cut_min, rubbed, places) / (life_min * self.life_factor)

    @property
    def wear_land_mm(self) -> float:
        """Wear land VB of the edge as it is now, mm."""
        kind = self.kind
        return wear_land_mm(self.life_share, kind.wear_limit_mm, kind.wear_b, kind.wear_tau, kind.wear_gamma)  # type: ignore[arg-type]

    @property
    def wheel_worn_mm(self) -> float:
        """By how much the radius of a wheel has worn since it was dressed, mm."""
        return float(self.kind.wheel_mm_min) * self.edge.cut_min
