"""The rule of the least stock: terms, depths, and what each choice of cuts lacks."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from linesim.cutting.error_terms import least_metal_um
from linesim.cutting.teeth import torn_layer_um
from linesim.quality.capability import cp, cpk
from linesim.quality.limits import aim_mm, per_side
from linesim.routing.passes import (
    CutPass,
    MovePass,
    PassState,
    after_pass,
    states_after,
)
from linesim.works.features import Feature

__all__ = ["Choice", "LeastStock", "StockRules", "best_of", "choices_of", "least_stock_um"]

_STEP_MM = 0.01


_SKIN_RA_UM = 12.5


_ROUNDS = 12


@dataclass(frozen=True)
class StockRules:
    """What the rule is given; figures that a works replaces by its own.

    Attributes
    ----------
    rz_per_ra : float
        Greatest height of the profile over Ra; 5 is common practice, no source (a profile of arcs has 3.9).
    skin_um : float, µm
        Damaged layer T under a casting's skin; 300 for iron cast in sand, from memory of the Russian handbooks.
    damaged_um : float, µm
        The same after a cut; 0 in iron (Kovan, from memory).
    sigmas : float
        Standard deviations that ρ and ε stand for; 3 is common practice.
    """

    rz_per_ra: float = 5.0
    skin_um: float = 300.0
    damaged_um: float = 0.0
    sigmas: float = 3.0


def least_stock_um(
    rz_um: float, damaged_um: float, form_um: float, set_up_um: float, is_bore: bool, reaches_um: float = 0.0
) -> float:
    """Least stock per side: Rz + T + ρ + ε for a face, Rz + T + √(ρ² + ε²) for a bore.

    Parameters
    ----------
    rz_um, damaged_um : float, µm
        Roughness and damaged layer left by the cut before.
    form_um, set_up_um : float, µm
        ρ, its form and position error; ε, the set-up error of this cut.
    is_bore : bool
        Whether ρ and ε have directions of their own, and add as vectors.
    reaches_um : float, µm
        How deep the cut must reach for other reasons: a scratch, a torn layer, the least metal that the edge can cut;
        counts where it is deeper than Rz + T.

    Returns
    -------
    float, µm per side
        Source: Kovan (from memory), see above.

    >>> least_stock_um(40.0, 50.0, 30.0, 40.0, True), least_stock_um(40.0, 50.0, 30.0, 40.0, False)
    (140.0, 160.0)
    """
    surface = max(rz_um + damaged_um, reaches_um)
    return surface + (math.hypot(form_um, set_up_um) if is_bore else form_um + set_up_um)


@dataclass(frozen=True, eq=False)
class Choice:
    """Some of the cuts with their depths."""

    passes: list[CutPass | MovePass]
    row: dict[str, object]
    lacks: str
    cpk: float


@dataclass(frozen=True, eq=False)
class LeastStock:
    """What all choices for one feature share."""

    feature: Feature
    start: PassState
    rules: StockRules
    total_mm: float
    wanted_cpk: float
    left_mm: float

    def least_mm(self, state: PassState, cut: CutPass) -> tuple[float, dict[str, float]]:
        """Least stock of a cut that finds a state, and its terms in µm."""
        rz = self.rules.rz_per_ra * state.ra_um
        # A blank that comes rough turned has no skin, and is distinguished from a casting by its roughness.
        has_skin = not state.is_cut and state.ra_um >= _SKIN_RA_UM
        damaged = self.rules.skin_um if has_skin else self.rules.damaged_um
        form = max(self.rules.sigmas * state.sd_um - state.mean_um, 0.0)
        set_up = math.hypot(self.rules.sigmas * cut.repeatability_um, cut.bent_um)
        scratch = 0.0
        if state.is_cut and self.feature.scratch is not None and self.feature.scratch.chance_per_move > 0.0:
            scratch = self.feature.scratch.depth * (1.0 + 2.0 * self.feature.scratch.depth_cv)
        # With an edge at the end of its life, which needs the most.
        torn, rubs = torn_layer_um(state.ra_um), least_metal_um(cut.conditions, 1.0)
        least = least_stock_um(rz, damaged, form, set_up, self.feature.kind == "bore", max(scratch, torn, rubs))
        terms = {
            "rz_um": rz, "damaged_um": damaged, "form_um": form, "set_up_um": set_up, "scratch_um": scratch,
            "torn_um": torn, "rubs_um": rubs,
        }  # fmt: skip
        return least / 1000.0, terms

    def table(self, passes: Sequence[CutPass | MovePass]) -> pd.DataFrame:
        """One row per cut: depth, least stock with its terms, state after it, power."""
        rows, state = [], self.start
        for each in passes:
            if isinstance(each, MovePass):
                state = state.moved(each.sigma_um)
                continue
            least, terms = self.least_mm(state, each)
            state = after_pass(state, each)
            rows.append(
                {
                    "operation": each.operation, "cut": each.name, "cutter": each.cutter, "depth_mm": each.depth_mm,
                    "least_mm": least, **terms, "copying_percent": 100.0 * each.figures.copying,
                    "mean_um": state.mean_um, "sd_um": state.sd_um, "ra_um": state.ra_um, "power_kw": each.power_kw,
                    "rating_kw": each.rating_kw,
                }
            )  # fmt: skip
        return pd.DataFrame(rows)

    def choice(self, passes: Sequence[CutPass | MovePass], chosen: Sequence[CutPass]) -> Choice:
        """Some of the cuts, each later one with its least stock, the first with what is left."""
        staying: list[CutPass | MovePass] = [each for each in passes if isinstance(each, MovePass) or each in chosen]
        depths = [cut.depth_mm for cut in chosen]
        for _ in range(_ROUNDS):
            staying, least = self._with_depths(staying, depths)
            rest = [_up(value) for value in least[1:]]
            new = [round(self.total_mm - self.left_mm - sum(rest), 6), *rest]
            if new == depths:
                break
            depths = new if new[0] > 0.0 else [least[0], *rest]
        staying, least = self._with_depths(staying, depths)
        return self._judged(staying, least)

    def _with_depths(
        self, passes: Sequence[CutPass | MovePass], depths: Sequence[float]
    ) -> tuple[list[CutPass | MovePass], list[float]]:
        """The passes at some depths, and the least stock of each cut there."""
        deepened: list[CutPass | MovePass] = []
        left, least, state = list(depths), [], self.start
        for each in passes:
            if isinstance(each, MovePass):
                state = state.moved(each.sigma_um)
                deepened.append(each)
                continue
            cut = each.at_depth(left.pop(0))
            least.append(self.least_mm(state, cut)[0])
            state = after_pass(state, cut)
            deepened.append(cut)
        return deepened, least

    def _judged(self, passes: list[CutPass | MovePass], least: Sequence[float]) -> Choice:
        """Whether a choice meets the drawing, and what it lacks."""
        cuts = [each for each in passes if isinstance(each, CutPass)]
        end = states_after(self.start, passes)[-1]
        size, centred, rough = self._capability(end)
        lacks = []
        if cuts[0].depth_mm < least[0]:
            lacks.append(f"stock: the first cut needs {least[0]:.2f} mm, {max(cuts[0].depth_mm, 0.0):.2f} mm are left")
        heavy = [cut for cut in cuts if cut.rating_kw is not None and cut.power_kw > cut.rating_kw]
        lacks += [f"power: {cut.name} takes {cut.power_kw:.1f} kW of {cut.rating_kw:g} kW" for cut in heavy]
        lacks += [f"size: Cpk {size:.2f}"] if size < self.wanted_cpk else []
        lacks += [f"roughness: Cpk {rough:.2f}"] if rough < self.wanted_cpk else []
        finite = [value for value in (size, rough) if not math.isnan(value)]
        row = {
            "cuts": len(cuts), "which": ", ".join(cut.name for cut in cuts),
            "depths_mm": ", ".join(f"{cut.depth_mm:.2f}" for cut in cuts), "mean_um": end.mean_um,
            "sd_um": end.sd_um, "cp": centred, "cpk": size, "ra_um": end.ra_um, "ra_cpk": rough,
            "lacks": "; ".join(lacks),
        }  # fmt: skip
        return Choice(passes, row, "; ".join(lacks), min(finite, default=math.nan))

    def _capability(self, end: PassState) -> tuple[float, float, float]:
        """Cpk and Cp of the size, Cpk of the roughness; not a number where the drawing asks for nothing."""
        size = centred = rough = math.nan
        if self.feature.size is not None:
            low, high = per_side(self.feature, self.feature.size.limits, aim_mm(self.feature))
            size, centred = cpk(end.mean_um, end.sd_um, low, high), cp(end.sd_um, low, high)
        if self.feature.roughness is not None:
            asked = self.feature.roughness
            smoothest = -math.inf if asked.limits is None else asked.low
            rough = cpk(end.ra_um, end.ra_sd_um, smoothest, asked.high)
        return size, centred, rough


def choices_of(cuts: Sequence[CutPass]) -> list[tuple[CutPass, ...]]:
    """Every choice of the cuts, in the order of the routing."""
    return [chosen for count in range(1, len(cuts) + 1) for chosen in itertools.combinations(cuts, count)]


def best_of(choices: Sequence[Choice], count: int) -> Choice | None:
    """The best choice of so many cuts: one that lacks nothing before one that does, then the higher capability."""
    own = [choice for choice in choices if choice.row["cuts"] == count]
    return max(own, key=lambda choice: (not choice.lacks, choice.cpk), default=None)


def _up(depth_mm: float) -> float:
    """A depth that a setter can set, rounded up."""
    return round(math.ceil(depth_mm / _STEP_MM - 1e-9) * _STEP_MM, 6)
