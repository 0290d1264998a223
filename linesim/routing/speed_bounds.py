"""A cut as it stands, its bounds and its prices, for the search of its economic speed and feed."""

from __future__ import annotations

import math

from linesim.cutting.economics import Conditions, SpeedBounds
from linesim.cutting.surface import theoretical_ra_um
from linesim.errors import StudyError
from linesim.plan.coefficients import Coefficients
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey, cut_figures
from linesim.quality.limits import loss_factor_roughness
from linesim.routing.edges import change_minutes, edge_cost
from linesim.works import Works
from linesim.works.operations import Cut, Operation

__all__ = ["conditions_of", "edges_of_stroke", "rough_loss", "worth_per_min"]


def conditions_of(
    works: Works, key: CutKey, cut: Cut, operation: Operation, figures: CutFigures, allowed: tuple[float, float]
) -> tuple[Conditions, SpeedBounds]:
    """The cut as it stands, and its bounds."""
    line = works.lines[key[0]]
    cutter = works.cutters[cut.cutter]
    coefficients = Coefficients(works)
    grade = coefficients.grade(str(cutter.grade), str(line.material)) if cutter.grade else None
    if cut.speed is None or cut.feed is None or grade is None or cut.minutes is not None:
        text = (
            "a speed, a feed and a cutter grade with Taylor's exponents were expected, and minutes worked out from them"
        )
        raise StudyError(f'the cut "{key[3]}" cannot be judged; {text}')
    mc = coefficients.materials[str(line.material)].mc
    base = Conditions(cut.speed, cut.feed, figures.cut_min, figures.life_min, figures.power_kw, grade.n, grade.p, mc)
    fastest = math.inf
    if operation.max_rpm is not None and figures.spindle_rpm:
        fastest = cut.speed * operation.max_rpm / figures.spindle_rpm
    others = sum(value.power_kw for other, value in cut_figures(works).items() if other[:3] == key[:3] and other != key)
    rating = math.inf if operation.power is None else operation.power - others
    low, high = allowed
    bounds = SpeedBounds(
        low * cut.speed, high * cut.speed, low * cut.feed, high * cut.feed, fastest, _rough_feed(works, key, figures),
        rating,
    )  # fmt: skip
    return base, bounds


def edges_of_stroke(works: Works, key: CutKey) -> tuple[float, float]:
    """Money and minutes of change for each edge of the cut, those of the other blades of its stroke added.

    The blades of one stroke turn on one spindle, so their speed and feed go up and down together; an edge that lasts
    half as long as that of the cut counts twice.
    """
    operation = works.lines[key[0]].operations[key[1]]
    answer = {other: value for other, value in cut_figures(works).items() if other[:3] == key[:3]}
    money = minutes = 0.0
    for other, value in answer.items():
        cutter = operation.strokes[key[2]].cuts[other[3]].cutter
        ratio = answer[key].life_min / value.life_min * value.cut_min / answer[key].cut_min
        money += ratio * edge_cost(works, operation, cutter, value.wear_limit_mm)
        minutes += ratio * change_minutes(works, operation, cutter)
    return money, minutes


def rough_loss(works: Works, key: CutKey, figures: CutFigures) -> tuple[float, float, float]:
    """Quality loss of the finish per part at the feed as it stands, that feed, and the loss at the process's floor.

    Where a surface can be too smooth, the loss does not grow with the feed throughout, and only the limit bounds it.
    """
    line, name, stroke, cut_name = key
    cut = works.lines[line].operations[name].strokes[stroke].cuts[cut_name]
    feed = float(cut.feed or 1.0)
    if not _is_last(works, key) or works.cutters[cut.cutter].nose_radius is None:
        return 0.0, feed, 0.0
    feature = works.lines[line].features[cut.feature]
    is_two_sided = feature.roughness is not None and feature.roughness.limits is not None
    factor = 0.0 if is_two_sided else loss_factor_roughness(feature) * feature.places
    worn = 1.0 + figures.roughness_growth / 2.0
    return factor * (worn * figures.sharp_roughness_um) ** 2, feed, factor * figures.roughness_floor_um**2


def _is_last(works: Works, key: CutKey) -> bool:
    """Whether a cut is the last one of its feature."""
    operations = works.lines[key[0]].operations

    def feature(other: CutKey) -> str:
        return operations[other[1]].strokes[other[2]].cuts[other[3]].feature

    return [other for other in cut_figures(works) if other[0] == key[0] and feature(other) == feature(key)][-1] == key


def _rough_feed(works: Works, key: CutKey, figures: CutFigures) -> float:
    """Feed at which the last cut of a feature just gives the finish asked for with a worn edge; else no bound."""
    line, name, stroke, cut_name = key
    cut = works.lines[line].operations[name].strokes[stroke].cuts[cut_name]
    limit = works.lines[line].features[cut.feature].roughness
    nose = works.cutters[cut.cutter].nose_radius
    if (
        limit is None
        or nose is None
        or not _is_last(works, key)
        or works.cutters[cut.cutter].sharp_roughness is not None
    ):
        return math.inf
    sharpest = limit.high / (1.0 + figures.roughness_growth)
    ratio = figures.sharp_roughness_um / theoretical_ra_um(float(cut.feed or 0.0), nose)
    # Above the floor of the process Ra goes with the square of the feed; below it feed is free.
    if sharpest < figures.roughness_floor_um:
        return float(cut.feed or 0.0)
    return float(cut.feed or 0.0) * math.sqrt(sharpest / (ratio * theoretical_ra_um(float(cut.feed or 0.0), nose)))


def worth_per_min(works: Works, line: str, per_hour: float, operation: Operation) -> float:
    """What a minute of one machine of the constraint is worth: worth less casting of the parts it would have made."""
    part = works.lines[line]
    return max(part.worth - part.casting.price, 0.0) * per_hour / 60.0 / operation.machines
