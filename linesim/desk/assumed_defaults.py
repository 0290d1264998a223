"""What a works leans on beside its cuts: defaults of entries that it names without giving every figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from linesim.cutting.locating import BOW_CV
from linesim.cutting.sizing import HONED_EVENLY
from linesim.desk.assumed_words import Assumed, of_entry
from linesim.handbook.bodies import body_of
from linesim.plan.coefficients import coefficients_of
from linesim.works.base import Strict
from linesim.works.carried import carried
from linesim.works.consequences import Consequence, Test
from linesim.works.crib import Cutter
from linesim.works.model import Line, Works
from linesim.works.operations import Operation

__all__ = ["DEFAULTS", "assumed_defaults"]


class _Default(NamedTuple):
    """What the default of an entry means, and how far it goes."""

    figure: str
    unit: str
    strength: str
    source: str


_COMMON = "Common practice, no source"
_ANCHOR = "No published anchors are known; they are the shop's own"

DEFAULTS: dict[str, dict[str, _Default]] = {
    "Reground": {
        "past_limit": _Default("metal ground away for each mm of land past the wear limit, c_x,", "mm", "assumption",
                               "Chips and cracks go deeper than the land, 0 to 2; no source for the figure"),
    },
    "Wheel": {
        "g_ratio": _Default("metal ground over wheel lost, G,", "", "assumption", "20 to 80 for conventional wheels"),
        "settles": _Default("life share by which a wheel has glazed by 63 %", "", "assumption", _COMMON),
        "spark_out_constant": _Default("time constant of sparking out", "min", "assumption", "One second; " + _COMMON),
        "energy": _Default("specific energy of the freshly dressed wheel", "J/mm³", "assumption", "10 to 40 in iron"),
        "pass_depth": _Default("depth of a grinding pass", "mm", "assumption", _COMMON),
        "work_speed": _Default("speed of the ground work", "m/min", "assumption", _COMMON),
    },
    "Chips": {
        "thickness": _Default("mean thickness of a chip under the part", "µm", "assumption",
                              "50 to 100 within what shops see; no measured data were found"),
        "thickness_cv": _Default("scatter of the thickness of such a chip", "", "assumption", _COMMON),
        "scratch": _Default("mean depth of the scratch of a chip", "µm", "assumption", _COMMON),
        "scratch_cv": _Default("scatter of the depth of such a scratch", "", "assumption", _COMMON),
    },
    "Sand": {
        "land": _Default("wear land that a hit of sand adds", "mm", "assumption", "No measured data were found"),
        "breaks": _Default("share of hits of sand that break an edge", "", "assumption", "No measured data were found"),
    },
    "WarmUp": {
        "minutes": _Default("time constant of warming up", "min", "memory", "20 to 90 min for spindles"),
        "cools": _Default("time constant of cooling down", "min", "memory", "As warming up, and slower"),
    },
    "Consequence": {
        "at_limit": _Default("chance of a failure with all at their limits", "", "assumption", _ANCHOR),
        "at_twice": _Default("chance of a failure with all at twice their limits", "", "assumption", _ANCHOR),
    },
    "Repair": {
        "succeeds": _Default("chance that one repair puts the cause right", "", "assumption", _COMMON),
    },
}  # fmt: skip
"""By part of a scenario: its entries whose default is a typical figure."""


def assumed_defaults(works: Works) -> Iterator[Assumed]:
    """Defaults that stand in for figures of entries that the works names.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Yields
    ------
    Assumed
        As often as it is used.
    """
    for name, cutter in works.cutters.items():
        yield from _of_cutter(name, cutter)
    materials = coefficients_of(works).materials
    for line in works.lines.values():
        for name, operation in line.operations.items():
            yield from _of_operation(name, operation)
        for name, failure in line.later.field.items():
            yield from _of_consequence(name, failure)
        yield from _of_honing(line)
        if line.casting.sand is not None:
            yield from _defaults(line.casting.sand, "skin of the casting", "Sand")
        if works.room is not None and line.material is not None:
            family = materials[line.material].family
            also = frozenset({"expansion_um_m_k"})
            yield from of_entry(body_of(family), ["expansion_um_m_k"], f"part of {line.material}", also)
        for name, feature in line.features.items():
            if feature.thickness is not None and line.material is not None:
                yield Assumed("scatter of the stress let go", f"{BOW_CV:g}", name, "assumption", _COMMON)


def _defaults(entry: Strict, used_for: str, part: str) -> Iterator[Assumed]:
    """Typical figures of an entry that were left at their default."""
    for name, of in DEFAULTS[part].items():
        if name not in entry.model_fields_set:
            value = getattr(entry, name)
            text = " to ".join(f"{each:.4g}" for each in (value if isinstance(value, tuple) else (value,)))
            yield Assumed(of.figure, f"{text} {of.unit}".strip(), used_for, of.strength, of.source)


def _of_cutter(name: str, cutter: Cutter) -> Iterator[Assumed]:
    if cutter.renewal.reground is not None:
        yield from _defaults(cutter.renewal.reground, name, "Reground")
    if cutter.wheel is not None:
        yield from _defaults(cutter.wheel, name, "Wheel")
    if cutter.ground_to is not None and "oversize" not in cutter.model_fields_set:
        source = "5 to 15 µm of diameter, no source for the figure"
        yield Assumed(
            "hole of a reamer larger than it is ground by", f"{cutter.oversize:g} µm", name, "assumption", source
        )


def _of_operation(name: str, operation: Operation) -> Iterator[Assumed]:
    chips = operation.chips
    if chips is not None and (chips.chance_when_cleaned if chips.clean else chips.chance) > 0.0:
        yield from _defaults(chips, name, "Chips")
    if operation.warm_up is not None:
        yield from _defaults(operation.warm_up, name, "WarmUp")
    if operation.test is not None:
        yield from _of_consequence(name, operation.test)


def _of_consequence(name: str, spec: Consequence) -> Iterator[Assumed]:
    if spec.weights:
        yield from _defaults(spec, name, "Consequence")
    if isinstance(spec, Test) and spec.repair is not None:
        yield from _defaults(spec.repair, name, "Repair")


def _of_honing(line: Line) -> Iterator[Assumed]:
    """How much sooner a stone takes the high places, where form is followed."""
    followed = carried(line)
    for operation in line.operations.values():
        for stroke in operation.strokes.values():
            for name, cut in stroke.cuts.items():
                if cut.process == "honing" and cut.feature in followed:
                    words = "share of what a stone takes that comes off the high places first, eta,"
                    yield Assumed(
                        words, f"{HONED_EVENLY:g}", name, "assumption", "0.3 to 0.8; no source for the figure"
                    )
