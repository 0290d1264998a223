"""How stiff machine, fixture, work and bar are at a cut."""

from __future__ import annotations

from linesim.cutting.bar import between_bearings_um_n, cantilever_um_n
from linesim.cutting.form import bar_stiffness_n_um, line_bar_stiffness_n_um, series_stiffness_n_um
from linesim.handbook import machine_stiffness
from linesim.handbook.processes import usual
from linesim.plan.cut_setting import CutSetting
from linesim.works.operations import Bar

__all__ = ["bar_compliance_um_n", "machine_stiffness_of", "stiffness_of"]


def machine_stiffness_of(setting: CutSetting) -> tuple[float, tuple[str, ...]]:
    """Stiffness at the cut without a bar, N/µm, and what was assumed for it."""
    own = setting.cut.stiffness if setting.cut.stiffness is not None else setting.operation.stiffness
    if own is not None:
        return own, ()
    machine = usual(setting.cut.process).machine
    own = machine_stiffness()[machine].value
    return own, (f"stiffness {own:g} N/µm, typical of a {machine}",)


def stiffness_of(setting: CutSetting) -> tuple[float, tuple[str, ...]]:
    """Stiffness at the cut, N/µm, a bar in series with the machine; and what was assumed for it."""
    own, assumed = machine_stiffness_of(setting)
    bar = setting.cut.bar
    return (own if bar is None else series_stiffness_n_um(own, _bar_stiffness(bar))), assumed


def _bar_stiffness(bar: Bar) -> float:
    """Stiffness of a bar at its blade, N/µm."""
    if bar.held == "one end":
        return bar_stiffness_n_um(bar.diameter, bar.station_mm, bar.modulus)
    if bar.station is None:
        return line_bar_stiffness_n_um(bar.diameter, bar.overhang, bar.modulus, False)
    return 1.0 / between_bearings_um_n(bar.station, bar.station, bar.overhang, bar.diameter, bar.modulus)


def bar_compliance_um_n(bar: Bar, one_mm: float, other_mm: float, machine_n_um: float) -> float:
    """What one newton at one station of a bar moves the other station, the machine's give in series, µm/N."""
    if bar.held == "one end":
        near, far = min(one_mm, other_mm), max(one_mm, other_mm)
        return cantilever_um_n(near, far, bar.diameter, bar.modulus, machine_n_um)
    return between_bearings_um_n(one_mm, other_mm, bar.overhang, bar.diameter, bar.modulus) + 1.0 / machine_n_um
