"""How one input of a works is changed: for each kind of input, what it can be of, and the works with it multiplied."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from linesim.handbook import Abrasive, machine_stiffness
from linesim.handbook.processes import usual
from linesim.plan.build import make_plan
from linesim.plan.coefficients import coefficients_of
from linesim.study.search.sensitivity.happenings import HAPPENINGS
from linesim.study.search.sensitivity.swing import Swing, at_operation, with_cutter, with_line
from linesim.study.search.sensitivity.targets import (
    breaking_cutters,
    breaking_of,
    chipped_operations,
    dulling_cutters,
    features_that,
    graded_cutters,
    materials_cut,
    priced_cutters,
    roughening_cutters,
    stiff_cuts,
    timed_cutters,
    wear_entry,
)
from linesim.works import Works
from linesim.works.crib import Breaking
from linesim.works.durations import Spread
from linesim.works.features import AsCast, Feature
from linesim.works.operations import Operation
from linesim.works.policies import Rule
from linesim.works.types_of import casting_price_of_mix, has_worth
from linesim.works.walks import cuts_of

__all__ = ["SWINGS", "as_minutes", "mount_lives", "scaled"]

_OWN = " as it may be at "
"""Between a grade and the cutter for which it is another one."""


def scaled(time: Spread, factor: float) -> Spread:
    """A length of time with every minute of it multiplied.

    >>> scaled(Spread(fixed=4.0), 1.5).fixed
    6.0
    """
    name = time.name
    value: Any = getattr(time, name)
    if name == "fixed":
        return Spread(fixed=value * factor)
    if name in ("listed", "in_order"):
        return Spread(**{name: [each * factor for each in value]})
    minutes = {
        entry: getattr(value, entry) * factor
        for entry in ("mean", "scale", "low", "mode", "high")
        if getattr(value, entry, None) is not None
    }
    return Spread(**{name: value.model_copy(update=minutes)})


def as_minutes(works: Works, policy: str) -> Works:
    """The works with one policy whose shares of life are written in cutting minutes.

    The man at the machine keeps to what he was told, whatever the life of the edges truly is.
    """
    rules = works.policies[policy]
    exceptions: dict[str, Rule] = {}
    for name, kind, life_min in mount_lives(works, policy):
        rule = rules.exceptions.get(f"{name} / {kind}", rules.exceptions.get(kind, rules.default))
        minutes = None if rule.life is None else rule.life * life_min
        is_written = minutes is not None and math.isfinite(minutes)
        exceptions.setdefault(f"{name} / {kind}", Rule(minutes=minutes) if is_written else rule)
    default = Rule(run_out=True) if rules.default.life is not None else rules.default
    written = rules.model_copy(update={"default": default, "exceptions": exceptions})
    # What is not known of a life is varied by the study itself, and not drawn besides.
    cutters = {
        name: cutter if cutter.known_within == 1.0 else cutter.model_copy(update={"life": cutter.life_min})
        for name, cutter in works.cutters.items()
    }
    return works.model_copy(update={"policies": {policy: written}, "cutters": cutters})


def mount_lives(works: Works, policy: str) -> list[tuple[str, str, float]]:
    """Operation, kind and expected life of every mounted set, from the plan."""
    plan = make_plan(works, policy)
    answer = []
    for number, name in enumerate(plan.names.operations):
        machine = int(plan.operations.first_machine[number])
        for mount in range(plan.machines.first_mount[machine], plan.machines.end_mount[machine]):
            kind = plan.names.kinds[int(plan.mounts.kind[mount])]
            answer.append((name, kind, float(plan.mounts.expected_life_min[mount])))
    return answer


# --- changes -------------------------------------------------------------------------------------------------------


def _grade(works: Works, cutter: str, figure: str, factor: float, least: float = 0.0) -> Works:
    """A grade of its own for one cutter, with one figure multiplied."""
    entry = wear_entry(works, cutter)
    assert entry is not None
    part = "abrasives" if isinstance(entry, Abrasive) else "grades"
    known: dict[str, dict[str, Any]] = getattr(works.handbook, part)
    was = str(works.cutters[cutter].grade)
    name = was if _OWN in was else f"{was}{_OWN}{cutter}"
    value = max(least, getattr(entry, figure) * factor)
    figures = {**(known[was] if _OWN in was else {"based_on": was}), figure: value}
    handbook = works.handbook.model_copy(update={part: known | {name: figures}})
    return with_cutter(works.model_copy(update={"handbook": handbook}), cutter, grade=name)


def _life(works: Works, cutter: str, factor: float) -> Works:
    own = works.cutters[cutter].life_min
    if own is not None:
        return with_cutter(works, cutter, life=works.cutters[cutter].with_life(own * factor))
    figure = "life_min" if isinstance(wear_entry(works, cutter), Abrasive) else "ref_life_min"
    return _grade(works, cutter, figure, factor)


def _life_scatter(works: Works, cutter: str, factor: float) -> Works:
    own, entry = works.cutters[cutter].life_cv, wear_entry(works, cutter)
    cv = own if own is not None else (entry.life_cv if entry is not None else 0.0)
    return with_cutter(works, cutter, life_cv=cv * factor)


def _break_scale(works: Works, cutter: str, factor: float) -> Works:
    law = breaking_of(works, cutter)
    return with_cutter(works, cutter, breaking=Breaking(shape=law.shape, scale=law.scale * factor))


def _change(works: Works, cutter: str, factor: float) -> Works:
    of = works.cutters[cutter]
    replaced = None if of.replace is None else scaled(of.replace, factor)
    return with_cutter(works, cutter, change=scaled(of.change, factor), replace=replaced)


def _stiffness(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        strokes, own = {}, operation.stiffness
        for stroke_name, stroke in operation.strokes.items():
            cuts = {}
            for name, cut in stroke.cuts.items():
                given = cut.stiffness if cut.stiffness is not None else own
                value = machine_stiffness()[usual(cut.process).machine].value if given is None else given
                cuts[name] = cut.model_copy(update={"stiffness": value * factor})
            strokes[stroke_name] = stroke.model_copy(update={"cuts": cuts})
        return {"strokes": strokes}

    return at_operation(works, target, change)


def _chips(works: Works, target: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        chips = operation.chips
        assert chips is not None
        chances = {name: min(1.0, getattr(chips, name) * factor) for name in ("chance", "chance_when_cleaned")}
        return {"chips": chips.model_copy(update=chances)}

    return at_operation(works, target, change)


def _feature(works: Works, target: str, change: Callable[[Feature], dict[str, Any]]) -> Works:
    line, name = target.split(" / ", 1)
    features = works.lines[line].features
    return with_line(works, line, features=features | {name: features[name].model_copy(update=change(features[name]))})


def _spread(works: Works, target: str, factor: float) -> Works:
    return _feature(works, target, lambda of: {"as_cast": of.as_cast.model_copy(update=_uneven(of.as_cast, factor))})


def _uneven(cast: AsCast, factor: float) -> dict[str, float]:
    """Unevenness, core shift, tilt and form of a casting, multiplied."""
    return {name: getattr(cast, name) * factor for name in ("spread", "position", "tilt", "form")}


def _asks(feature: Feature) -> dict[str, Any]:
    """What the drawing asks of a feature, if missing it costs something."""
    names = ("size", "roughness", "scratch", "position", "squareness", "parallelism", "form")
    asked = {name: getattr(feature, name) for name in names}
    return {name: of for name, of in asked.items() if of is not None and _losses(of)}


def _losses(asked: Any) -> dict[str, float]:
    """Losses at the limits that cost something, by entry."""
    losses = {name: getattr(asked, name, None) for name in ("loss_at_limit", "loss_at_low_limit")}
    return {name: loss for name, loss in losses.items() if loss}


def _loss(works: Works, target: str, factor: float) -> Works:
    return _feature(
        works,
        target,
        lambda feature: {
            name: of.model_copy(update={entry: loss * factor for entry, loss in _losses(of).items()})
            for name, of in _asks(feature).items()
        },
    )


def _stress(works: Works, material: str, factor: float) -> Works:
    """The material's figure, and that of the cuts that have their own."""
    base = coefficients_of(works).materials[material].stress_um_mm * factor
    known = works.handbook.materials
    materials = known | {material: {**known.get(material, {}), "stress_um_mm": base}}
    works = works.model_copy(update={"handbook": works.handbook.model_copy(update={"materials": materials})})
    for at in [at for at in cuts_of(works) if at.at.line.material == material and at.cut.stress_release is not None]:
        works = _own_stress(works, f"{at.at.line_name} / {at.at.name}", at.stroke, at.name, factor)
    return works


def _own_stress(works: Works, target: str, stroke: str, cut: str, factor: float) -> Works:
    def change(operation: Operation) -> dict[str, Any]:
        of = operation.strokes[stroke]
        value = float(of.cuts[cut].stress_release or 0.0) * factor
        cuts = of.cuts | {cut: of.cuts[cut].model_copy(update={"stress_release": value})}
        return {"strokes": operation.strokes | {stroke: of.model_copy(update={"cuts": cuts})}}

    return at_operation(works, target, change)


def _casting(works: Works, line: str, factor: float) -> Works:
    casting = works.lines[line].casting
    parts = {
        name: kind
        if kind.casting_price is None
        else kind.model_copy(update={"casting_price": kind.casting_price * factor})
        for name, kind in works.lines[line].parts.items()
    }
    return with_line(works, line, casting=casting.model_copy(update={"price": casting.price * factor}), parts=parts)


def _worth(works: Works, name: str, factor: float) -> Works:
    line = works.lines[name]
    parts = {
        each: kind if kind.worth is None else kind.model_copy(update={"worth": kind.worth * factor})
        for each, kind in line.parts.items()
    }
    return with_line(works, name, worth=line.worth * factor, parts=parts)


SWINGS: Mapping[str, Swing] = {
    "life": Swing(dulling_cutters, _life),
    "life scatter": Swing(dulling_cutters, _life_scatter),
    "wear curve": Swing(graded_cutters, lambda works, name, factor: _grade(works, name, "wear_gamma", factor, 1.0)),
    "roughness growth": Swing(
        roughening_cutters, lambda works, name, factor: _grade(works, name, "roughness_growth", factor)
    ),
    "force growth": Swing(
        graded_cutters, lambda works, name, factor: _grade(works, name, "wear_pressure_n_mm2", factor)
    ),
    "breaking": Swing(breaking_cutters, _break_scale),
    "price": Swing(
        priced_cutters, lambda works, name, factor: with_cutter(works, name, price=works.cutters[name].price * factor)
    ),
    "change minutes": Swing(timed_cutters, _change),
    "stiffness": Swing(stiff_cuts, _stiffness),
    "chip chance": Swing(chipped_operations, _chips),
    "casting spread": Swing(
        lambda works: features_that(works, lambda of: any(_uneven(of.as_cast, 1.0).values())), _spread
    ),
    "stress release": Swing(materials_cut, _stress),
    "loss": Swing(lambda works: features_that(works, lambda of: bool(_asks(of))), _loss),
    "worth": Swing(lambda works: [name for name, line in works.lines.items() if has_worth(line)], _worth),
    "casting price": Swing(
        lambda works: [name for name, line in works.lines.items() if casting_price_of_mix(line) > 0.0], _casting
    ),
    **HAPPENINGS,
}
"""Every kind of input of the data file."""
