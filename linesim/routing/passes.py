"""The passes of a feature worked out on paper: mean and spread of the error and the roughness after each of its cuts.

The model's equation is linear in the error found, so mean and variance follow from those before the cut and from the
wear at which the edge meets the part. Over a change interval the life share is uniform up to where the set is changed,
and the edge's life scatters; both are averaged over by quadrature. Where a gauge resets a cut, mean and drift are taken
to be set out down to the gauge's dead band, or to what rounds to no step, within which the error is taken as uniform
(an approximation). Recuts, salvage, chips and cuts that find no metal are left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from scipy import special

from linesim.chance import lognormal_sigma
from linesim.cutting.conditions import CutConditions
from linesim.cutting.error_terms import ErrorMoments, moments_after_cut
from linesim.cutting.life import wear_growth
from linesim.cutting.step import worn_ra_of
from linesim.cutting.teeth import torn_share_left
from linesim.desk import desk_figures
from linesim.plan.coefficients import coefficients_of
from linesim.plan.cuts import CutFigures, figures_at_depth
from linesim.plan.figures import cut_figures, cut_settings
from linesim.plan.levers import setting_error_um
from linesim.plan.placing import bent_um
from linesim.plan.tables import Floats
from linesim.routing.pass_additions import by_itself_um, led
from linesim.routing.pass_settings import aims_um, left_alone_of
from linesim.works import Works

__all__ = ["CutPass", "MovePass", "PassState", "after_pass", "passes_of", "state_as_cast", "states_after"]


_SHARES = (np.arange(24) + 0.5) / 24.0
_CHANCES = (np.arange(12) + 0.5) / 12.0


@dataclass(frozen=True)
class MovePass:
    """Something between two cuts that moves the feature: an operation that disturbs it.

    Attributes
    ----------
    operation : str
        Which.
    sigma_um : float, µm per side
        Standard deviation.
    """

    operation: str
    sigma_um: float


@dataclass(frozen=True)
class CutPass:
    """One cut of a feature.

    Attributes
    ----------
    operation, stroke, name, cutter, process : str
        Which cut, and with what.
    depth_mm : float
        Depth that it is set to.
    figures : CutFigures
        As worked out for this depth.
    figured : callable
        Works the figures out for another depth.
    repeatability_um : float
        Standard deviation of the machine's return.
    roughness_cv : float
        Scatter of Ra from cut to cut.
    change_share : float
        Life share at which an average edge is changed.
    rating_kw : float or None
        Of the machine.
    dead_band_um : float or None
        What the gauge that resets the cut leaves alone, µm per side; None if none does.
    bent_um : float
        How far the clamps bend the part where it is cut.
    deeper_um, setting_error_um : float
        How much deeper than intended fresh edges stand in the mean, and how that scatters from change to change.
    """

    operation: str
    stroke: str
    name: str
    cutter: str
    process: str
    depth_mm: float
    figures: CutFigures
    figured: Callable[[float], CutFigures]
    repeatability_um: float
    roughness_cv: float
    change_share: float
    rating_kw: float | None
    dead_band_um: float | None = None
    bent_um: float = 0.0
    deeper_um: float = 0.0
    setting_error_um: float = 0.0

    def at_depth(self, depth_mm: float) -> CutPass:
        """The same cut at another depth; an edge changed after as many parts has gone further if it lasts less long."""
        # Who leads it on one bar is known from the whole stroke.
        figures = replace(self.figured(depth_mm), additions=self.figures.additions)
        share = self.change_share * self.figures.life_min / figures.life_min if self.change_share else 0.0
        return replace(self, depth_mm=depth_mm, figures=figures, change_share=share)

    @property
    def conditions(self) -> CutConditions:
        """What the law of the cut needs to know, at this depth."""
        of = self.figures
        return CutConditions(
            self.depth_mm, of.radial_force_n, of.cutting_stiffness_n_um, of.stiffness_n_um, of.wear_force_n,
            of.wear_limit_mm, of.wear_b, of.wear_tau, of.wear_gamma, of.tan_clearance, self.repeatability_um,
            of.stress_um, of.sharp_roughness_um, of.roughness_growth, of.roughness_power,
            lognormal_sigma(self.roughness_cv), of.roughness_floor_um, of.additions.glazed_roughness_um,
            of.additions.settling_share, of.wear_slope_n_um, of.roughness_past, of.least_metal_um,
            of.least_metal_rise_um,
        )  # fmt: skip

    @property
    def power_kw(self) -> float:
        """Power at the motor with a sharp edge."""
        return self.figures.power_kw


@dataclass(frozen=True)
class PassState:
    """A feature between two cuts.

    Attributes
    ----------
    mean_um, sd_um : float, µm per side
        Of the error.
    ra_um, ra_sd_um : float, µm
        Of the roughness.
    is_cut : bool
        Whether anything has been cut.
    before : tuple of PassState, CutPass, optional
        The last cut and what it found.
    """

    mean_um: float
    sd_um: float
    ra_um: float
    ra_sd_um: float
    is_cut: bool = False
    before: tuple[PassState, CutPass] | None = field(default=None, compare=False, repr=False)
    """The last cut and what it found."""

    def moved(self, sigma_um: float) -> PassState:
        """With something added that has no mean."""
        return replace(self, sd_um=math.hypot(self.sd_um, sigma_um))


def state_as_cast(works: Works, line: str, feature: str) -> PassState:
    """The feature as the foundry delivers it."""
    cast = works.lines[line].features[feature].as_cast
    return PassState(0.0, cast.spread, cast.roughness, 0.0)


def passes_of(works: Works, line: str, feature: str, policy: str | None = None) -> list[CutPass | MovePass]:
    """Everything that happens to a feature, in the order of the routing.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line, feature : str
        Whose passes.
    policy : str, optional
        Under which the sets are changed; today's practice unless given.

    Returns
    -------
    list of CutPass or MovePass

    Raises
    ------
    ScenarioError
        A cut cannot be made as described.
    """
    figures, settings, coefficients = cut_figures(works), cut_settings(works), coefficients_of(works)
    shares = {
        (row["line"], row["operation"], row["cutter"]): float(row["parts_between"]) / float(row["parts_per_edge"])
        for row in desk_figures(works, policy).sets.to_dict(orient="records")
    }
    left_alone, aims = left_alone_of(works, line), aims_um(works, policy)
    passes: list[CutPass | MovePass] = []
    for name, operation in works.lines[line].operations.items():
        for stroke_name, stroke in operation.strokes.items():
            for cut_name, cut in stroke.cuts.items():
                if cut.feature != feature:
                    continue
                share = shares[line, name, cut.cutter]
                key = (line, name, stroke_name, cut_name)
                at_depth = partial(figures_at_depth, settings[key], coefficients)
                cutter = works.cutters[cut.cutter]
                passes.append(
                    CutPass(
                        name, stroke_name, cut_name, cut.cutter, cut.process, cut.depth, figures[key], at_depth,
                        cut.repeatability, cut.roughness_cv, share if math.isfinite(share) else 0.0, operation.power,
                        left_alone.get((name, cut_name)), bent_um(operation),
                        aims.get((line, name, stroke_name, cut_name), 0.0) + cutter.setting.bias,
                        setting_error_um(cutter),
                    )
                )  # fmt: skip
        if operation.disturbs.get(feature, 0.0) > 0.0:
            passes.append(MovePass(name, operation.disturbs[feature]))
    return passes


def after_pass(state: PassState, cut: CutPass) -> PassState:
    """Mean and spread after one cut that cleans up.

    Parameters
    ----------
    state : PassState
        Before the cut.
    cut : CutPass
        With its depth.

    Returns
    -------
    PassState

    Notes
    -----
    The error by `linesim.cutting.error_terms.moments_after_cut`; of a torn layer, what stays where the mean stands.
    """
    conditions, growths = cut.conditions, _growths(cut)
    before = ErrorMoments(state.mean_um, state.sd_um**2)
    if cut.dead_band_um is None:
        after = moments_after_cut(before, conditions, growths, added_um=by_itself_um(cut.figures, growths))
        after = ErrorMoments(after.mean_um - cut.deeper_um, after.variance_um2 + cut.setting_error_um**2)
    else:
        after = moments_after_cut(before._replace(mean_um=0.0), conditions, growths, 0.0, cut.dead_band_um)
    if state.before is not None and _leads(state.before[1], cut):
        met, leader = state.before
        meets, is_held = ErrorMoments(met.mean_um, met.sd_um**2), cut.dead_band_um is not None
        after = led(after, meets, cut.figures.additions, leader.conditions, _growths(leader), is_held)
    rough = np.array([worn_ra_of(conditions, growth) for growth in growths.tolist()])
    torn_um = torn_share_left(max(1000.0 * cut.depth_mm + state.mean_um, 1e-9), state.ra_um) * state.ra_um
    rough_mean = max(float(rough.mean()), conditions.roughness_floor_um, torn_um)
    # From part to part, and from one mounted cutter to the next.
    cv2 = (1.0 + cut.roughness_cv**2) * math.exp(cut.figures.mounted_sigma**2) - 1.0
    rough_sd = math.sqrt(float(rough.var()) * (1.0 + cv2) + rough_mean**2 * cv2)
    return PassState(after.mean_um, math.sqrt(after.variance_um2), rough_mean, rough_sd, True, (state, cut))


def _leads(one: CutPass, other: CutPass) -> bool:
    """Whether a cut is the leader of another on one bar."""
    same_stroke = (one.operation, one.stroke) == (other.operation, other.stroke)
    return same_stroke and other.figures.additions.leader == one.name


def states_after(start: PassState, passes: Sequence[CutPass | MovePass]) -> list[PassState]:
    """The state after each of the passes."""
    states, state = [], start
    for each in passes:
        state = after_pass(state, each) if isinstance(each, CutPass) else state.moved(each.sigma_um)
        states.append(state)
    return states


def _growths(cut: CutPass) -> Floats:
    """Wear growth g at the life shares that parts meet: uniform up to the change, over the scatter of lives."""
    of = cut.figures
    sigma = math.sqrt(math.log1p(of.life_cv**2))
    factors = np.exp(sigma * special.ndtri(_CHANCES) - sigma * sigma / 2.0) if sigma else np.ones(1)
    shares = np.outer(cut.change_share * _SHARES, 1.0 / factors).ravel()
    values = [wear_growth(float(share), of.wear_b, of.wear_tau, of.wear_gamma) for share in shares]
    return np.array(values, dtype=np.float64)
