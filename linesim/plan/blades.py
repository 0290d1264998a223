"""Blades on one bar in one stroke: what the blade that leads does to the one that follows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from linesim.cutting.bar import TANGENTIAL_ADDED, UNSTEADY, UNSTEADY_IN_SKIN, tandem_shares, unsteady_um
from linesim.plan.cut_setting import CutSetting
from linesim.plan.cuts import CutFigures
from linesim.plan.stiffness import bar_compliance_um_n, machine_stiffness_of

__all__ = ["with_leaders"]


def with_leaders(settings: Mapping[str, CutSetting], figures: dict[str, CutFigures]) -> dict[str, CutFigures]:
    """The figures of the cuts of a stroke, each blade that follows another on its bar with what the leader does to it.

    Parameters
    ----------
    settings : dict of CutSetting
        The cuts of the stroke in their order.
    figures : dict of CutFigures
        Of each by itself.

    Returns
    -------
    dict of CutFigures
    """
    before: dict[str, str] = {}
    joined = dict(figures)
    for name, setting in settings.items():
        leader = before.get(setting.cut.feature)
        before[setting.cut.feature] = name
        if leader is None or leader not in figures or name not in figures:
            continue
        bar, ahead = setting.cut.bar, settings[leader].cut.bar
        if bar is not None and ahead is not None and bar.is_same(ahead):
            joined[name] = _following(leader, settings[leader], figures[leader], setting, figures[name])
    return joined


def _following(
    leader: str, ahead: CutSetting, leading: CutFigures, setting: CutSetting, figures: CutFigures
) -> CutFigures:
    """One blade behind another."""
    bar, machine_n_um = setting.cut.bar, machine_stiffness_of(setting)[0]
    assert bar is not None
    assert ahead.cut.bar is not None
    stations = ahead.cut.bar.station_mm, bar.station_mm
    first, between, second = (
        bar_compliance_um_n(bar, one, other, machine_n_um)
        for one, other in ((stations[0], stations[0]), stations, (stations[1], stations[1]))
    )
    cosine, sine = math.cos(math.radians(bar.angle)), math.sin(math.radians(bar.angle))
    k_a, k_b = leading.cutting_stiffness_n_um, figures.cutting_stiffness_n_um
    tangential_n = leading.cutting_force_n / ahead.cutter.teeth
    across = cosine + (sine * tangential_n / (1000.0 * ahead.cut.depth * k_a) if k_a > 0.0 else 0.0)
    together = tandem_shares(k_a, k_b, across, first, between, second, cosine)[1]
    unsteady = UNSTEADY_IN_SKIN if ahead.in_skin else UNSTEADY
    force_n = abs(cosine * leading.radial_force_n + sine * tangential_n)
    additions = replace(
        figures.additions,
        leader=leader,
        follow_share=together - leading.copying * figures.copying,
        follow_um_n=between * (cosine + sine * TANGENTIAL_ADDED),
        leader_form_um=unsteady_um(between, unsteady, force_n),
        one_stroke_share=together,
    )
    where = "" if bar.station is not None else ", both at the end of it" if bar.held == "one end" else ", in the middle"
    on_bar = f'on one bar behind "{leader}"{where}, at {bar.angle:g}° round it'
    return replace(figures, additions=additions, assumed=(*figures.assumed, on_bar))
