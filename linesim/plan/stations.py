"""The part of the plan that stands on the floor: operations, machines, mounted cutters, strokes and cuts."""

from __future__ import annotations

import math
from typing import Any

from linesim.plan.addition_columns import addition_columns
from linesim.plan.columns import Rows
from linesim.plan.cuts import USUAL_WEAR_LIMIT_MM, CutFigures
from linesim.plan.figures import CutKey
from linesim.plan.first_pieces import add_first_piece, setting_columns, tries_after
from linesim.plan.gauges import GaugeTable
from linesim.plan.magazine_tables import Magazines
from linesim.plan.magazines import add_magazine, sisters_of
from linesim.plan.mishaps import fault_columns, probe_columns, sand_columns
from linesim.plan.mixing import kind_mask, mask_of, stroke_mask
from linesim.plan.placing import PlacingTable
from linesim.plan.room_tables import Rooms
from linesim.plan.rooms import add_room
from linesim.plan.rules import RuleTable
from linesim.plan.shape_tables import Batches, Moves, add_batch, add_move, handled_for_each
from linesim.plan.staffing import Attending, add_attending
from linesim.plan.tables import NONE, UNLIMITED, Cuts, Disturbances, FirstPieces, Machines, Mounts, Operations, Strokes
from linesim.plan.times import TimeTable
from linesim.plan.unlike import Upkeeps, machine_names, own_columns, upkeep_columns
from linesim.works.checks_first_piece import last_cuts
from linesim.works.model import Line, Works
from linesim.works.operations import Cut, Operation
from linesim.works.types_of import cut_types

__all__ = ["Stations", "kinds_of"]


def kinds_of(operation: Operation) -> list[str]:
    """Kinds of cutter set that each machine of an operation mounts, in the order of their first use."""
    named = [cut.cutter for stroke in operation.strokes.values() for cut in stroke.cuts.values()]
    return list(dict.fromkeys([*operation.sets, *named]))


class Stations:
    """Fills the tables of operations, machines, mounts, strokes, cuts, gauges and disturbances.

    Parameters
    ----------
    works : Works
        The checked scenario.
    figures : dict
        Figures of every cut.
    times, rules
        Tables shared with the rest of the plan.
    """

    def __init__(self, works: Works, figures: dict[CutKey, CutFigures], times: TimeTable, rules: RuleTable) -> None:
        self.works = works
        self.figures = figures
        self.times = times
        self.rules = rules
        self.gauges = GaugeTable(times)
        self.placing = PlacingTable(works)
        self.operations, self.machines, self.mounts = Rows(Operations), Rows(Machines), Rows(Mounts)
        self.first_pieces, self.batches, self.moves = Rows(FirstPieces), Rows(Batches), Rows(Moves)
        self.rooms, self.magazines, self.attending = Rows(Rooms), Rows(Magazines), Rows(Attending)
        self.upkeeps = Rows(Upkeeps)
        self.strokes, self.cuts, self.disturbances = Rows(Strokes), Rows(Cuts), Rows(Disturbances)
        self.kind_of_slot: list[int] = []
        self.operation_names: list[str] = []
        self.machine_names: list[str] = []
        self.stroke_names: list[str] = []
        self.cut_names: list[str] = []
        self._kind_number = {name: number for number, name in enumerate(works.cutters)}
        self._pool_number = {name: number for number, name in enumerate(works.people)}

    def add_line(self, name: str, number: int, line: Line, features: dict[str, int]) -> None:
        """Enter all operations of a line; ``features`` gives the numbers of its features."""
        self.gauges.start_line(line, features, len(self.operations))
        self.placing.start_line(line, features)
        for position, (operation_name, operation) in enumerate(line.operations.items()):
            # The one nearest the end is served first; among lines, the one that stands first in the file.
            rank = (len(line.operations) - 1 - position) * len(self.works.lines) + number
            self.placing.add_operation(operation)
            self._add_operation(name, number, operation_name, operation, features, rank)
            add_first_piece(self.first_pieces, operation, self._pool_number, self.times)
            add_batch(self.batches, operation, self.times)
            add_move(self.moves, operation, self.times)
            add_magazine(self.magazines, operation, self.times)
            add_room(self.rooms, operation, position, self._pool_number, self.times)
            add_attending(self.attending, operation, self._pool_number)

    def shape_tables(self) -> dict[str, Any]:
        """Tables of the plan on the shape of the line, on measuring rooms, magazines, and on who attends machines."""
        tables: dict[str, Rows[Any]] = {
            "batches": self.batches,
            "moves": self.moves,
            "rooms": self.rooms,
            "magazines": self.magazines,
            "attending": self.attending,
            "upkeeps": self.upkeeps,
        }
        return {name: rows.table() for name, rows in tables.items()}

    def _add_operation(
        self, line_name: str, line: int, name: str, operation: Operation, features: dict[str, int], rank: int
    ) -> None:
        kinds = kinds_of(operation)
        first_stroke, first_slot, first_machine = len(self.strokes), len(self.kind_of_slot), len(self.machines)
        self.kind_of_slot += [self._kind_number[kind] for kind in kinds]
        slots = {kind: slot for slot, kind in enumerate(kinds)}
        first_cut = len(self.cuts)
        for stroke_name in operation.strokes:
            self._add_stroke(line_name, name, operation, stroke_name, slots, features)
        self._add_machines(line_name, name, operation, kinds)
        first_disturbance, first_gauge = len(self.disturbances), len(self.gauges.rows)
        for feature, sigma_um in operation.disturbs.items():
            self.disturbances.add(feature=features[feature], sigma_um=sigma_um)
        self.gauges.add_operation(name, operation, slots, first_stroke, first_cut)
        self.operation_names.append(name)
        times = self.times
        self.operations.add(
            line=line,
            first_machine=first_machine,
            end_machine=len(self.machines),
            buffer=UNLIMITED if operation.buffer == "unlimited" else operation.buffer,
            cycle_time=NONE if operation.minutes is None else times.add_always(operation.minutes),
            load_time=times.add(operation.load) if handled_for_each(operation) else NONE,
            unload_time=times.add(operation.unload) if handled_for_each(operation) else NONE,
            access_time=times.add(operation.access),
            setters=self._pool(operation.setters),
            fitters=self._pool(operation.fitters),
            first_stroke=first_stroke,
            end_stroke=len(self.strokes),
            first_kind=first_slot,
            end_kind=len(self.kind_of_slot),
            **self._mishaps(operation, features),
            first_gauge=first_gauge,
            end_gauge=len(self.gauges.rows),
            first_disturbance=first_disturbance,
            end_disturbance=len(self.disturbances),
            rank=rank,
            test=NONE,
            prefers=int(operation.next_machine == "first named"),
            **fault_columns(operation, times),
            **probe_columns(operation, times),
        )

    def _pool(self, name: str | None) -> int:
        return NONE if name is None else self._pool_number[name]

    def _mishaps(self, operation: Operation, features: dict[str, int]) -> dict[str, Any]:
        """Columns on what befalls parts by chance, and on chips."""
        chances = {"scrap_chance": operation.scrap_chance, "recut_chance": operation.recut_chance}
        return chances | self._chips(operation, features)

    def _chips(self, operation: Operation, features: dict[str, int]) -> dict[str, Any]:
        """Columns on chips: the chance and the minutes as they are with or without cleaning."""
        chips = operation.chips
        if chips is None:
            figures = dict.fromkeys(("thickness_um", "thickness_cv", "scratch_um", "scratch_cv"), 0.0)
            return {"chip_feature": NONE, "chip_chance": 0.0, "chip_clean_time": NONE} | {
                f"chip_{name}": value for name, value in figures.items()
            }
        return {
            "chip_feature": features[chips.located_on],
            "chip_chance": chips.chance_when_cleaned if chips.clean else chips.chance,
            "chip_clean_time": self.times.add(chips.clean_minutes) if chips.clean else NONE,
            "chip_thickness_um": chips.thickness,
            "chip_thickness_cv": chips.thickness_cv,
            "chip_scratch_um": chips.scratch,
            "chip_scratch_cv": chips.scratch_cv,
        }

    # --- machines and what is mounted on them ----------------------------------------------------------------------

    def _add_machines(self, line_name: str, name: str, operation: Operation, kinds: list[str]) -> None:
        expected = self._expected_lives(line_name, name, operation)
        self.machine_names += machine_names(name, operation)
        for number in range(operation.machines):
            machine = len(self.machines)
            for kind in kinds:
                cutter = self.works.cutters[kind]
                life_min = expected.get(kind, cutter.life_min if cutter.life_min is not None else math.inf)
                limit_mm = self._wear_limit(line_name, name, operation, kind)
                self.mounts.add(
                    machine=machine,
                    kind=self._kind_number[kind],
                    rule=self.rules.number(name, kind, life_min, limit_mm),
                    expected_life_min=life_min,
                    first_tries=tries_after(operation, kind),
                    rezero_parts=0,
                    types=kind_mask(self.works.lines[line_name], operation, kind),
                    sisters=sisters_of(operation, kind),
                )
            self.machines.add(
                operation=len(self.operations),
                number=number + 1,
                first_mount=len(self.mounts) - len(kinds),
                end_mount=len(self.mounts),
                **own_columns(operation, number),
            )
            self.upkeeps.add(**upkeep_columns(operation, number, self.times, self._pool_number))

    def _figures(self, line_name: str, name: str, operation: Operation) -> list[tuple[Cut, CutFigures]]:
        return [
            (cut, self.figures[line_name, name, stroke_name, cut_name])
            for stroke_name, stroke in operation.strokes.items()
            for cut_name, cut in stroke.cuts.items()
        ]

    def _expected_lives(self, line_name: str, name: str, operation: Operation) -> dict[str, float]:
        """Cutting minutes that an average edge of each kind lasts, over all cuts that it makes here."""
        minutes: dict[str, float] = {}
        shares: dict[str, float] = {}
        for cut, figures in self._figures(line_name, name, operation):
            minutes[cut.cutter] = minutes.get(cut.cutter, 0.0) + figures.cut_min
            shares[cut.cutter] = shares.get(cut.cutter, 0.0) + figures.cut_min / figures.life_min
        return {kind: minutes[kind] / shares[kind] for kind in minutes}

    def _wear_limit(self, line_name: str, name: str, operation: Operation, kind: str) -> float:
        """Wear land at which a kind counts as dull here, mm."""
        own = self.works.cutters[kind].wear_limit
        if own is not None:
            return own
        limits = [
            figures.wear_limit_mm for cut, figures in self._figures(line_name, name, operation) if cut.cutter == kind
        ]
        return limits[0] if limits else USUAL_WEAR_LIMIT_MM

    # --- strokes and cuts --------------------------------------------------------------------------------------------

    def _add_stroke(
        self,
        line_name: str,
        name: str,
        operation: Operation,
        stroke_name: str,
        slots: dict[str, int],
        features: dict[str, int],
    ) -> None:
        line, stroke = self.works.lines[line_name], operation.strokes[stroke_name]
        first_cut, cuts = len(self.cuts), stroke.cuts
        of_stroke = {each: self.figures[line_name, name, stroke_name, each] for each in cuts}
        for cut_name, cut in cuts.items():
            is_last, added = last_cuts(operation)[cut.feature] is cut, of_stroke[cut_name].additions
            beside = addition_columns(of_stroke, cut_name, first_cut) | self.placing.add_cut(operation, cut, added)
            beside |= setting_columns(is_last) | {"types": mask_of(line, cut_types(line, operation, stroke, cut_name))}
            beside |= sand_columns(line, self.works.cutters[cut.cutter], cut, of_stroke[cut_name])
            self._add_cut(cut, of_stroke[cut_name], slots[cut.cutter], features[cut.feature], beside)
            self.cut_names.append(cut_name)
        self.strokes.add(
            cut_min=max(figures.cut_min for figures in of_stroke.values()),
            first_cut=first_cut,
            end_cut=len(self.cuts),
            stops_at_size=int(any(figures.additions.honing_um_min > 0.0 for figures in of_stroke.values())),
            types=stroke_mask(line, operation, stroke),
            meets_sand=int(line.casting.sand is not None and any(figures.in_skin for figures in of_stroke.values())),
            has_only=int(len({cut_types(line, operation, stroke, cut) for cut in cuts}) > 1),
        )
        self.stroke_names.append(stroke_name)

    def _add_cut(self, cut: Cut, figures: CutFigures, slot: int, feature: int, beside: dict[str, Any]) -> None:
        self.cuts.add(
            feature=feature,
            slot=slot,
            passes=figures.passes,
            at_once=cut.at_once,
            pass_min=figures.pass_min,
            cut_min=figures.cut_min,
            life_min=figures.life_min,
            depth_mm=cut.depth,
            radial_force_n=figures.radial_force_n,
            cutting_stiffness_n_um=figures.cutting_stiffness_n_um,
            stiffness_n_um=figures.stiffness_n_um,
            wear_force_n=figures.wear_force_n,
            wear_limit_mm=figures.wear_limit_mm,
            wear_b=figures.wear_b,
            wear_tau=figures.wear_tau,
            wear_gamma=figures.wear_gamma,
            tan_clearance=figures.tan_clearance,
            repeatability_um=cut.repeatability,
            stress_um=figures.stress_um,
            sharp_roughness_um=figures.sharp_roughness_um,
            roughness_growth=figures.roughness_growth,
            roughness_power=figures.roughness_power,
            roughness_sigma=math.sqrt(math.log(1.0 + cut.roughness_cv**2)),
            roughness_floor_um=figures.roughness_floor_um,
            **beside,
            wear_slope_n_um=figures.wear_slope_n_um,
            roughness_past=figures.roughness_past,
            least_metal_um=figures.least_metal_um,
            least_metal_rise_um=figures.least_metal_rise_um,
            cutting_force_n=figures.cutting_force_n,
            wear_cutting_n=figures.wear_cutting_n,
            operation=len(self.operations),
        )
