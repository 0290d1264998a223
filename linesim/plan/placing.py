"""From a works to the tables on how true a part lies: what features carry, what cuts do, how operations hold it."""

from __future__ import annotations

import math
from typing import Any

from linesim.cutting.component import Component
from linesim.cutting.heat import growth_um
from linesim.cutting.locating import (
    bow_um,
    clamp_bend_um,
    lift_in_middle_um,
    shift_by_pad_um,
    spindle_hollow_um,
    tilt_by_pad_um,
)
from linesim.cutting.sizing import HONED_EVENLY
from linesim.cutting.wheel import FORM_SHARE
from linesim.handbook.bodies import body_of, corrects
from linesim.plan.additions import Additions
from linesim.plan.coefficients import coefficients_of
from linesim.plan.columns import Rows
from linesim.plan.place_tables import Fixtures, Holdings, Placings
from linesim.plan.tables import NONE
from linesim.quality.limits import aim_mm, cap_um2, drawing_scale, limits_um
from linesim.works.carried import carried, length_of
from linesim.works.features import Feature
from linesim.works.model import Line, Works
from linesim.works.operations import Cut, Operation

__all__ = ["PlacingTable", "bent_um", "shape_of"]

_ASIDE = frozenset({"position", "run-out"})
"""Kinds of feature whose size is where their axis stands."""


def shape_of(feature: Feature) -> dict[str, float]:
    """Columns of `linesim.plan.place_tables.Shapes` for one feature."""
    cast = feature.as_cast
    return {
        "cast_position_um": cast.position,
        "cast_tilt_um": cast.tilt,
        "cast_form_um": cast.form,
        "position_limit_um": limits_um(feature, Component.POSITION)[1],
        "tilt_limit_um": limits_um(feature, Component.TILT)[1],
        "form_limit_um": limits_um(feature, Component.FORM)[1],
        "position_cap_um2": cap_um2(feature, Component.POSITION),
        "tilt_cap_um2": cap_um2(feature, Component.TILT),
        "form_cap_um2": cap_um2(feature, Component.FORM),
    }


def bent_um(operation: Operation) -> float:
    """How far the clamps of an operation bend the part, µm; 0 where nothing is said of them."""
    clamping = operation.clamping
    if clamping is None:
        return 0.0
    if clamping.bends is not None:
        return clamping.bends
    assert clamping.force is not None
    assert clamping.stiffness is not None
    return clamp_bend_um(clamping.force, clamping.stiffness)


class PlacingTable:
    """Fills the tables of placings, holdings and fixtures, line after line.

    Parameters
    ----------
    works : Works
        The checked scenario.
    """

    def __init__(self, works: Works) -> None:
        self.works = works
        self.placings, self.holdings, self.fixtures = Rows(Placings), Rows(Holdings), Rows(Fixtures)
        self._materials = coefficients_of(works).materials

    def tables(self) -> dict[str, Any]:
        """All tables, by their names in the plan."""
        rows: dict[str, Rows[Any]] = {"placings": self.placings, "holdings": self.holdings, "fixtures": self.fixtures}
        return {name: each.table() for name, each in rows.items()}

    def start_line(self, line: Line, features: dict[str, int]) -> None:
        """Begin at the head of a line; ``features`` gives the numbers of its features."""
        self._line, self._features = line, features
        self._carried = carried(line)
        self._pallet_spot = NONE

    def add_operation(self, operation: Operation) -> None:
        """Enter how an operation holds its parts, and how it warms up."""
        fixtures, warm, number = operation.fixtures, operation.warm_up, len(self.holdings)
        count, spot = 0, number
        if fixtures is not None:
            drawn = (self._line.pallets or 1) if fixtures.count == "pallets" else fixtures.count
            count = len(fixtures.measured) or drawn
            if fixtures.count == "pallets":
                self._pallet_spot = spot = number if self._pallet_spot == NONE else self._pallet_spot
        minutes = self.works.calendar.minutes_per()
        cold_min = {"every day": minutes["day"], "every week": minutes["week"], "at first": math.inf}
        self.holdings.add(
            datum=NONE if operation.locating is None else self._features[operation.locating.on],
            fixtures=count,
            fixture_spot=spot,
            first_fixture=len(self.fixtures) if fixtures is not None and fixtures.measured else NONE,
            position_um=0.0 if fixtures is None else fixtures.position,
            tilt_um=0.0 if fixtures is None else fixtures.tilt,
            rise_um=0.0 if warm is None else warm.rise,
            warm_min=1.0 if warm is None else warm.minutes,
            cool_min=1.0 if warm is None else warm.cools,
            set_warm=1.0 if warm is None else warm.set_warm,
            cold_min=math.inf if warm is None else cold_min[warm.cold],
            swing_k=0.0 if self.works.room is None else self.works.room.swing,
            swing_min=minutes["day"],
        )
        for fixture in [] if fixtures is None else fixtures.measured:
            self.fixtures.add(position_um=fixture.position, tilt_um=fixture.tilt)

    def add_cut(self, operation: Operation, cut: Cut, beside: Additions) -> dict[str, float]:
        """Enter what a cut does to how true its places lie; returns the columns that `Cuts` has of it."""
        feature, process = self._line.features[cut.feature], corrects(cut.process)
        leaves, of_lift, of_datum = cut.leaves, self._of_lift(operation, cut), self._of_datum(operation, cut)
        left_position = process.position if leaves.position is None else leaves.position
        own_position = leaves.own_position
        if own_position is None:
            own_position = cut.repeatability if left_position < 1.0 else 0.0
        own_form = process.own_form_um if leaves.own_form is None else leaves.own_form
        is_bore = feature.kind == "bore"
        clamped_um, hollow_um = bent_um(operation), self._hollow(operation, cut)
        self.placings.add(
            left_position=left_position,
            left_tilt=process.tilt if leaves.tilt is None else leaves.tilt,
            left_form=process.form if leaves.form is None else leaves.form,
            **of_lift,
            held_to_size=0.0 if is_bore else 1.0,
            held_to_position=1.0 if is_bore else 0.0,
            **of_datum,
            own_position_um=own_position if is_bore else 0.0,
            own_form_um=math.hypot(own_form, clamped_um, hollow_um),
            bow_um=self._bow(cut),
            room_um_k=self._room(feature),
            led_form_um=beside.leader_form_um,
            wheel_form_um_min=FORM_SHARE * beside.wheel_radius_um_min,
            honed_share=2.0 * HONED_EVENLY if cut.process == "honing" else math.inf,
            clamped_form_um=clamped_um,
            spindle_form_um=hollow_um,
        )
        holds = (operation.locating, operation.fixtures, operation.warm_up, self.works.room)
        is_moved = any(own.position or own.tilt for own in operation.unlike.values())
        return {
            "lift_to_size": of_lift["lift_to_size"],
            "is_held": int(is_moved or any(entry is not None for entry in holds)),
            "carries": int(cut.feature in self._carried),
        }

    # what follows from geometry

    def _of_lift(self, operation: Operation, cut: Cut) -> dict[str, float]:
        """What a lift of one pad does: to a bore's axis, to the height of a face, to where an axis stands."""
        feature = self._line.features[cut.feature]
        pads_mm = math.inf if operation.locating is None else operation.locating.pads
        aside = shift_by_pad_um(1.0, feature.height, pads_mm)
        turned = tilt_by_pad_um(1.0, length_of(self._line, cut.feature), pads_mm)
        middle = lift_in_middle_um(1.0)
        to_size = {"bore": 0.0, "face": middle, "depth": middle}.get(feature.kind)
        if to_size is None:
            to_size = aside if aside > 0.0 else 1.0
        return {
            "lift_to_size": to_size,
            "lift_to_position": aside if feature.kind == "bore" else 0.0,
            "lift_to_tilt": turned,
            "turned_to_size": aside if feature.kind in _ASIDE else 0.0,
        }

    def _of_datum(self, operation: Operation, cut: Cut) -> dict[str, float]:
        """What the tilt and the form of the datum do."""
        names = ("datum_to_size", "datum_to_position", "datum_to_tilt", "datum_to_form")
        if operation.locating is None:
            return dict.fromkeys(names, 0.0)
        feature = self._line.features[cut.feature]
        datum_mm = length_of(self._line, operation.locating.on) or operation.locating.pads
        aside, turned = feature.height / datum_mm, length_of(self._line, cut.feature) / datum_mm
        is_aside, is_bore = feature.kind in _ASIDE, feature.kind == "bore"
        sprung = min(1.0, turned) ** 2
        return dict(zip(names, (aside * is_aside, aside * is_bore, turned, sprung), strict=True))

    def _hollow(self, operation: Operation, cut: Cut) -> float:
        """Hollow that a mill leaves whose spindle does not stand square to the feed."""
        diameter_mm = self.works.cutters[cut.cutter].diameter
        if cut.process != "milling" or diameter_mm is None or cut.width is None:
            return 0.0
        return spindle_hollow_um(1000.0 * operation.spindle_tilt, diameter_mm, min(cut.width, diameter_mm))

    def _bow(self, cut: Cut) -> float:
        """Bow by the stress that the layer lets go, where a thickness is given."""
        feature = self._line.features[cut.feature]
        if feature.thickness is None or self._line.material is None:
            return 0.0
        body, length_mm = body_of(self._family()), length_of(self._line, cut.feature)
        return bow_um(body.stress_n_mm2, cut.depth, length_mm, feature.thickness, body.modulus_n_mm2)

    def _room(self, feature: Feature) -> float:
        """Size cut away too much for each kelvin too warm: the part shrinks to less than it was cut to."""
        if self.works.room is None or feature.size is None or feature.kind in _ASIDE:
            return 0.0
        grown_um = growth_um(aim_mm(feature), body_of(self._family()).expansion_um_m_k, 1.0)
        return grown_um / drawing_scale(feature)

    def _family(self) -> str:
        return self._materials[str(self._line.material)].family
