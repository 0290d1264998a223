"""What adds to a cut beside its edge, its setting and what it finds: a leading blade, a wheel, a size of its own."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim.cutting.sizing import reamed_um
from linesim.cutting.wheel import FORM_SHARE, wheel_wear_um
from linesim.handbook import Abrasive, Grade
from linesim.plan.cut_setting import Complain, CutSetting, own_or_usual
from linesim.quality.limits import aim_mm

__all__ = ["Additions", "additions_of"]


@dataclass(frozen=True)
class Additions:
    """Figures of what is added to the error of a cut; none of it unless given. Units and names as in the plan."""

    leader: str | None = None
    """The cut whose blade leads on the same bar, in the same stroke."""
    follow_share: float = 0.0
    follow_um_n: float = 0.0
    leader_form_um: float = 0.0
    """Form that the leader's unsteady force prints, with sharp edges."""
    one_stroke_share: float = 0.0
    """Share of what the leader finds that both leave in one stroke; in strokes of their own the factors multiply."""
    own_um: float = 0.0
    wheel_um_min: float = 0.0
    wheel_radius_um_min: float = 0.0
    """Wear of the wheel itself for each minute of grinding."""
    infeed_um_min: float = 0.0
    spark_out_min: float = 0.0
    spark_out_constant_min: float = 0.0
    honing_um_min: float = 0.0
    glazed_roughness_um: float = 0.0
    settling_share: float = 1.0
    heat_um: float = 0.0
    """What is left on as the part was cut warm."""

    @property
    def has_any(self) -> bool:
        """Whether anything is added to the error."""
        wheel = self.wheel_radius_um_min > 0.0 or self.wheel_um_min > 0.0 or self.spark_out_constant_min > 0.0
        return self.leader is not None or self.own_um != 0.0 or self.heat_um != 0.0 or wheel


def additions_of(
    setting: CutSetting, wear: Grade | Abrasive, pass_min: float, sharp_ra_um: float, complain: Complain
) -> Additions:
    """What one cut by itself adds; blades that follow are seen to by `linesim.plan.blades`.

    Parameters
    ----------
    setting : CutSetting
        The cut with its operation, feature and cutter.
    wear : Grade or Abrasive
        How its cutter wears.
    pass_min : float
        Minutes of one pass.
    sharp_ra_um : float
        Ra of the sharp or freshly dressed cutter.
    complain : callable
        Called with what is wrong, entry by entry.
    """
    cut, cutter = setting.cut, setting.cutter
    if cutter.ground_to is not None and cut.process == "reaming":
        return Additions(own_um=_reamed(setting, complain))
    if not isinstance(wear, Abrasive):
        return Additions()
    removal = own_or_usual(cut.removal, wear.removal_um_min)
    spark_out = cut.spark_out if cut.spark_out > 0.0 else wear.spark_out_min
    if cut.stops == "at size":
        return Additions(honing_um_min=removal, spark_out_min=spark_out)
    if cutter.wheel is None or cut.process != "grinding":
        return Additions()
    wear_um = _wheel_wear_um(setting, complain)
    shows = 0.5 * FORM_SHARE if setting.feature.kind == "run-out" else 1.0
    return Additions(
        wheel_um_min=own_or_usual(cutter.wheel.wear_to_size, shows) * wear_um / pass_min,
        wheel_radius_um_min=wear_um / pass_min,
        infeed_um_min=0.0 if setting.feature.kind == "run-out" else removal,
        spark_out_min=spark_out,
        spark_out_constant_min=cutter.wheel.spark_out_constant,
        glazed_roughness_um=own_or_usual(cutter.wheel.glazed_roughness, sharp_ra_um * (1.0 + wear.roughness_growth)),
        settling_share=cutter.wheel.settles,
    )


def _wheel_wear_um(setting: CutSetting, complain: Complain) -> float:
    """Wear of the wheel's radius at one place, µm."""
    wheel, diameter_mm = setting.cutter.wheel, setting.cutter.diameter
    assert wheel is not None
    around = None if setting.feature.diameter is None else math.pi * setting.feature.diameter
    track_mm = wheel.track if wheel.track is not None else around
    if diameter_mm is None or track_mm is None:
        lacks = "a diameter" if diameter_mm is None else "wheel.track, the length ground at one place,"
        complain("cutter", f'"{setting.cut.cutter}" needs {lacks} to work out the wear of the wheel')
        return 0.0
    # Over the width ground, which cancels out.
    return wheel_wear_um(track_mm * setting.cut.depth, wheel.g_ratio, diameter_mm, 1.0)


def _reamed(setting: CutSetting, complain: Complain) -> float:
    """What the reamer leaves on, against the diameter that this cut should leave."""
    feature, cutter = setting.feature, setting.cutter
    if feature.kind != "bore" or feature.size is None:
        complain("cutter", f'"{setting.cut.cutter}" is ground to a diameter; a bore with a size was expected')
        return 0.0
    depths_mm = {
        (operation_name, stroke_name, name): cut.depth
        for operation_name, operation in setting.line.operations.items()
        for stroke_name, stroke in operation.strokes.items()
        for name, cut in stroke.cuts.items()
        if cut.feature == setting.cut.feature
    }
    after = list(depths_mm).index(setting.key) + 1
    meant_mm = aim_mm(feature) - 2.0 * sum(list(depths_mm.values())[after:])
    return reamed_um(float(cutter.ground_to or 0.0), cutter.oversize, meant_mm)
