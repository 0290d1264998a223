"""Inputs on what befalls a line and how parts are held: run-out, clamps, setting, warmth, heats, faults, tests."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linesim.handbook.seats import SEATS, USUAL_SEAT
from linesim.plan.levers import setting_error_um
from linesim.study.search.sensitivity.swing import Swing, at_operation, with_cutter, with_line
from linesim.works import Works
from linesim.works.consequences import Consequence
from linesim.works.operations import Operation
from linesim.works.walks import cuts_of, operations_of

__all__ = ["HAPPENINGS"]

_SUREST = 0.95
"""A chance is multiplied up to this much."""


def _mills(works: Works) -> list[str]:
    """Mills whose finish goes by how far their teeth run out."""
    milled = dict.fromkeys(at.cut.cutter for at in cuts_of(works) if at.cut.process == "milling")
    return [
        name
        for name in milled
        if works.cutters[name].nose_radius is not None and works.cutters[name].sharp_roughness is None
    ]


def _run_out(works: Works, name: str, factor: float) -> Works:
    cutter = works.cutters[name]
    run_out_um = SEATS[cutter.seat or USUAL_SEAT].run_out_um if cutter.run_out is None else cutter.run_out
    return with_cutter(works, name, run_out=run_out_um * factor)


def _operations(works: Works, entry: str) -> list[str]:
    """Operations with an entry, by line and name."""
    having = (at for at in operations_of(works) if getattr(at.operation, entry) is not None)
    return [f"{at.line_name} / {at.name}" for at in having]


def _clamping(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        clamping = operation.clamping
        assert clamping is not None
        entry = "force" if clamping.bends is None else "bends"
        return {"clamping": clamping.model_copy(update={entry: getattr(clamping, entry) * factor})}

    return at_operation(works, target, change)


def _heated(works: Works) -> list[str]:
    """Lines whose castings come in heats."""
    return [name for name, line in works.lines.items() if line.casting.heats is not None]


def _heats(works: Works, name: str, factor: float) -> Works:
    casting = works.lines[name].casting
    assert casting.heats is not None
    heats = casting.heats.model_copy(
        update={"life": casting.heats.life * factor, "force": casting.heats.force * factor}
    )
    return with_line(works, name, casting=casting.model_copy(update={"heats": heats}))


def _sandy(works: Works) -> list[str]:
    """Lines whose castings have sand in their skin."""
    return [name for name, line in works.lines.items() if line.casting.sand is not None]


def _sand(works: Works, name: str, factor: float) -> Works:
    casting = works.lines[name].casting
    assert casting.sand is not None
    sand = casting.sand.model_copy(update={"chance": min(1.0, casting.sand.chance * factor)})
    return with_line(works, name, casting=casting.model_copy(update={"sand": sand}))


def _faults(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        fault = operation.turns_bad
        assert fault is not None
        return {"turns_bad": fault.model_copy(update={"chance": min(1.0, fault.chance * factor)})}

    return at_operation(works, target, change)


def _chances(spec: Consequence, factor: float) -> dict[str, float]:
    """Both anchors multiplied, the second one still above the first."""
    twice = min(_SUREST, spec.at_twice * factor)
    return {"at_limit": min(spec.at_limit * factor, 0.9 * twice), "at_twice": twice}


def _tests(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        test = operation.test
        assert test is not None
        return {"test": test.model_copy(update=_chances(test, factor))}

    return at_operation(works, target, change)


def _failing(works: Works) -> list[str]:
    """Lines whose parts can fail in the field."""
    return [name for name, line in works.lines.items() if line.later.field]


def _field(works: Works, name: str, factor: float) -> Works:
    later = works.lines[name].later
    field = {key: each.model_copy(update={"cost": each.cost * factor}) for key, each in later.field.items()}
    return with_line(works, name, later=later.model_copy(update={"field": field}))


def _set_roughly(works: Works) -> list[str]:
    """Cutters that make described cuts and are set with an error."""
    cutting = dict.fromkeys(at.cut.cutter for at in cuts_of(works))
    return [name for name in cutting if setting_error_um(works.cutters[name]) > 0.0]


def _setting(works: Works, name: str, factor: float) -> Works:
    cutter = works.cutters[name]
    setting = cutter.setting.model_copy(update={"error": setting_error_um(cutter) * factor})
    return with_cutter(works, name, setting=setting)


def _warm_up(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        warm_up = operation.warm_up
        assert warm_up is not None
        return {"warm_up": warm_up.model_copy(update={"rise": warm_up.rise * factor})}

    return at_operation(works, target, change)


def _unmeasured(works: Works) -> list[str]:
    """Operations whose fixtures have errors that nobody has measured."""
    having = ((at, at.operation.fixtures) for at in operations_of(works))
    return [f"{at.line_name} / {at.name}" for at, of in having if of is not None and (of.position or of.tilt)]


def _fixtures(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        of = operation.fixtures
        assert of is not None
        return {"fixtures": of.model_copy(update={"position": of.position * factor, "tilt": of.tilt * factor})}

    return at_operation(works, target, change)


HAPPENINGS: Mapping[str, Swing] = {
    "run-out": Swing(_mills, _run_out),
    "clamping": Swing(lambda works: _operations(works, "clamping"), _clamping),
    "setting error": Swing(_set_roughly, _setting),
    "warming": Swing(lambda works: _operations(works, "warm_up"), _warm_up),
    "fixtures": Swing(_unmeasured, _fixtures),
    "heats": Swing(_heated, _heats),
    "sand": Swing(_sandy, _sand),
    "fault chance": Swing(lambda works: _operations(works, "turns_bad"), _faults),
    "rejects at tests": Swing(lambda works: _operations(works, "test"), _tests),
    "field failures": Swing(_failing, _field),
}
"""These kinds of input, in the order of the data file."""
