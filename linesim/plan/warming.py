"""The heat of cuts: what a part that they have warmed is off its size when it has cooled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from linesim.cutting.heat import growth_um, kelvin_of_cut
from linesim.handbook.bodies import Body, body_of
from linesim.plan.coefficients import Coefficients
from linesim.plan.cut_setting import CutSetting
from linesim.plan.cuts import CutFigures
from linesim.quality.limits import aim_mm, drawing_scale

__all__ = ["with_heat"]

Key = tuple[str, str, str, str]
"""Line, operation, stroke and cut."""


def with_heat(
    settings: Mapping[Key, CutSetting], figures: Mapping[Key, CutFigures], coefficients: Coefficients
) -> dict[Key, CutFigures]:
    """The figures of all cuts, with what the heat of the cuts adds where the mass of the casting is known.

    A cut is made on a part that it has warmed itself, as have the cuts before it at the same operation; by the next
    operation the part has cooled. The whole of its own heat counts, as it is warmest where the cut ends.

    Parameters
    ----------
    settings : dict of CutSetting
        In the order of the routing.
    figures : dict of CutFigures
        Of the same cuts, without those that cannot be made.
    coefficients : Coefficients
        The handbook with the shop's own figures.

    Returns
    -------
    dict of CutFigures
    """
    warm_k: dict[tuple[str, str], float] = {}
    heated = dict(figures)
    for key, setting in settings.items():
        if setting.line.casting.mass is None or key not in figures:
            continue
        body = body_of(coefficients.materials[str(setting.line.material)].family)
        own_k = _own_kelvin(setting, figures[key], body, setting.line.casting.mass)
        warm_k[key[:2]] = warm_k.get(key[:2], 0.0) + own_k
        if warm_k[key[:2]] > 0.0:
            heated[key] = _heated(setting, figures[key], body, warm_k[key[:2]])
    return heated


def _own_kelvin(setting: CutSetting, figures: CutFigures, body: Body, mass_kg: float) -> float:
    """By how much one cut of all places warms the part; 0 where only its minutes are known."""
    cut = setting.cut
    if cut.speed is None or cut.length is None or figures.feed_rate_mm_min <= 0.0:
        return 0.0
    work_j = figures.cutting_force_n * cut.speed * cut.length / figures.feed_rate_mm_min * setting.feature.places
    return kelvin_of_cut(work_j, body.heat_share, mass_kg, body.specific_heat_j_kg_k)


def _heated(setting: CutSetting, figures: CutFigures, body: Body, kelvin: float) -> CutFigures:
    """One cut on a part that is so much too warm: it shrinks to less than it was cut to."""
    feature = setting.feature
    if feature.size is None or feature.kind in ("position", "run-out"):
        return figures
    grown_um = growth_um(aim_mm(feature), body.expansion_um_m_k, kelvin)
    if grown_um == 0.0:
        return figures
    assumed = f"{body.heat_share:.0%} of the heat of cuts into the part: {kelvin:.2g} K, {grown_um:.2g} µm of its size"
    additions = replace(figures.additions, heat_um=-grown_um / drawing_scale(feature))
    return replace(figures, additions=additions, assumed=(*figures.assumed, assumed))
