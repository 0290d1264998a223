"""A cut as it stands, its bounds and its prices, for the search of its economic speed and feed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.cutting.economics import Conditions, SpeedBounds
from linesim.errors import StudyError
from linesim.handbook import Grade, Material
from linesim.plan.coefficients import coefficients_of
from linesim.plan.cut_setting import CutSetting, unheard
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey, cut_figures, cut_settings
from linesim.plan.finish import finish_of
from linesim.quality.limits import loss_factor_roughness
from linesim.routing.edges import change_minutes, edge_cost
from linesim.works import Works
from linesim.works.operations import Cut, Operation
from linesim.works.types_of import margin_of_mix

__all__ = ["FinishAt", "FinishLoss", "conditions_of", "edges_of_stroke", "finish_at", "finish_loss", "worth_per_min"]

_HALVINGS = 40
"""Of the range of feeds, to a millionth of a millionth of it."""


def conditions_of(
    works: Works, key: CutKey, cut: Cut, operation: Operation, figures: CutFigures, allowed: tuple[float, float]
) -> tuple[Conditions, SpeedBounds]:
    """The cut as it stands, and its bounds."""
    line = works.lines[key[0]]
    cutter = works.cutters[cut.cutter]
    coefficients = coefficients_of(works)
    grade = coefficients.grade(str(cutter.grade), str(line.material)) if cutter.grade else None
    if cut.speed is None or cut.feed is None or grade is None or cut.minutes is not None:
        text = (
            "a speed, a feed and a cutter grade with Taylor's exponents were expected, and minutes worked out from them"
        )
        raise StudyError(f'the cut "{key[3]}" cannot be judged; {text}')
    mc = coefficients.materials[str(line.material)].mc
    base = Conditions(
        cut.speed, cut.feed, figures.cut_min, figures.life_min, figures.power_kw, grade.n, grade.p, mc,
        worn_kw=_worn_kw(figures, cut.speed, operation.efficiency),
    )  # fmt: skip
    fastest = math.inf
    if operation.max_rpm is not None and figures.spindle_rpm:
        fastest = cut.speed * operation.max_rpm / figures.spindle_rpm
    others = sum(
        value.power_kw + _worn_kw(value, _speed(works, other), operation.efficiency)
        for other, value in cut_figures(works).items()
        if other[:3] == key[:3] and other != key
    )
    rating = math.inf if operation.power is None else operation.power - others
    low, high = allowed
    bounds = SpeedBounds(
        low * cut.speed, high * cut.speed, low * cut.feed, high * cut.feed, fastest,
        _rough_feed(works, key, figures, allowed), rating,
    )  # fmt: skip
    return base, bounds


def _speed(works: Works, key: CutKey) -> float:
    line, name, stroke, cut = key
    return works.lines[line].operations[name].strokes[stroke].cuts[cut].speed or 0.0


def _worn_kw(figures: CutFigures, speed_m_min: float, efficiency: float) -> float:
    """What an edge at the end of its life adds to the power at the motor: F v."""
    return figures.wear_cutting_n * speed_m_min / (60_000.0 * efficiency)


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


@dataclass(frozen=True)
class FinishAt:
    """Ra of a sharp edge at a feed, µm from mm: by the teeth, the nose and the material, as `linesim.plan.finish` says.

    It crosses to other processes together with the answer of a study.
    """

    setting: CutSetting
    material: Material
    grade: Grade

    def __call__(self, feed_mm: float) -> float:
        """Ra, µm; infinite where the feed is wider than the nose."""
        nose_mm = self.setting.cutter.nose_radius
        if nose_mm is not None and feed_mm > 2.0 * nose_mm:
            return math.inf
        return finish_of(self.setting.at_feed(feed_mm), self.material, self.grade, unheard).sharp_um


def finish_at(works: Works, key: CutKey) -> FinishAt:
    """How the Ra of a cut goes with its feed.

    Parameters
    ----------
    works : Works
        The checked scenario.
    key : tuple of str
        A cut with a grade of the handbook.
    """
    coefficients, setting = coefficients_of(works), cut_settings(works)[key]
    material = str(setting.line.material)
    grade = coefficients.grade(str(setting.cutter.grade), material)
    assert grade is not None
    return FinishAt(setting, coefficients.materials[material], grade)


@dataclass(frozen=True)
class FinishLoss:
    """Quality loss of the finish per part, money, at a feed in mm, with an edge half worn."""

    finish: FinishAt
    factor: float
    """Money per µm² and part; 0 where no loss of the finish is charged."""
    worn: float
    """Ra of an edge half worn over that of a sharp one."""

    def __call__(self, feed_mm: float) -> float:
        """The loss, money."""
        return 0.0 if self.factor == 0.0 else self.factor * (self.worn * self.finish(feed_mm)) ** 2


def finish_loss(works: Works, key: CutKey, figures: CutFigures) -> FinishLoss:
    """Quality loss of the finish of a cut by its feed; 0 where none is charged.

    Where a surface can be too smooth, the loss does not grow with the feed throughout, and only the limit bounds it.
    """
    line, name, stroke, cut_name = key
    cut = works.lines[line].operations[name].strokes[stroke].cuts[cut_name]
    feature = works.lines[line].features[cut.feature]
    is_two_sided = feature.roughness is not None and feature.roughness.limits is not None
    is_charged = _is_last(works, key) and works.cutters[cut.cutter].nose_radius is not None and not is_two_sided
    factor = loss_factor_roughness(feature) * feature.places if is_charged else 0.0
    return FinishLoss(finish_at(works, key), factor, 1.0 + figures.roughness_growth / 2.0)


def _is_last(works: Works, key: CutKey) -> bool:
    """Whether a cut is the last one of its feature."""
    operations = works.lines[key[0]].operations

    def feature(other: CutKey) -> str:
        return operations[other[1]].strokes[other[2]].cuts[other[3]].feature

    return [other for other in cut_figures(works) if other[0] == key[0] and feature(other) == feature(key)][-1] == key


def _rough_feed(works: Works, key: CutKey, figures: CutFigures, allowed: tuple[float, float]) -> float:
    """Feed at which the last cut of a feature just gives the finish asked for with a worn edge; else no bound.

    The finest that is allowed where none gives it.
    """
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
    ra_um, most_um = finish_at(works, key), limit.high / (1.0 + figures.roughness_growth)
    finest, coarsest = (share * float(cut.feed or 0.0) for share in allowed)
    if ra_um(coarsest) <= most_um:
        return math.inf
    if ra_um(finest) >= most_um:
        return finest
    for _ in range(_HALVINGS):
        middle = 0.5 * (finest + coarsest)
        finest, coarsest = (middle, coarsest) if ra_um(middle) <= most_um else (finest, middle)
    return finest


def worth_per_min(works: Works, line: str, per_hour: float, operation: Operation) -> float:
    """What a minute of one machine of the constraint is worth: worth less casting of the parts it would have made."""
    return margin_of_mix(works.lines[line]) * per_hour / 60.0 / operation.machines
