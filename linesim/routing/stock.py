"""The stock plan: how much to leave for each cut, and the least number of cuts that meets the drawing.

The least stock of a cut, per side, must take off what the cut before it has left behind: for a face
Z = (Rz + T) + ρ + ε, for a bore 2 Z = 2 (Rz + T + √(ρ² + ε²)), with Rz and T the roughness and the damaged layer, ρ
the form and position error, and ε the set-up error of the cut at hand. Source: V. M. Kovan, *Raschet pripuskov na
obrabotku v mashinostroenii* (Mashgiz 1953), and the Russian handbooks after it (from memory); that T is left out in iron
once the skin is off is from the same books, from memory.

Here ρ is a number of standard deviations of the error that the cut finds, worked out on paper (see `paper`), less its
mean where metal is left on. A scratch deeper than Rz + T takes their place.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from linesim.errors import StudyError
from linesim.quality.capability import cp, cpk
from linesim.quality.limits import aim_mm, per_side
from linesim.routing.history import place_of
from linesim.routing.paper import (
    PaperCut,
    PaperMove,
    PaperState,
    after_pass,
    passes_of,
    state_as_cast,
    states_after,
)
from linesim.study import run
from linesim.works import Works, changed
from linesim.works.features import Feature

__all__ = ["StockPlan", "StockRules", "check_stock_plan", "least_stock_um", "stock_plan", "stock_warnings"]

_STEP_MM = 0.01
_SKIN_RA_UM = 12.5
_ROUNDS = 12
_MOST_CUTS = 10


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
    thinnest_mm : float
        Least depth that an edge cuts rather than rubs, not for stones and wheels; 0.05 is common practice, no source.
    """

    rz_per_ra: float = 5.0
    skin_um: float = 300.0
    damaged_um: float = 0.0
    sigmas: float = 3.0
    thinnest_mm: float = 0.05


@dataclass(frozen=True, eq=False)
class StockPlan:
    """What to leave for each cut.

    Attributes
    ----------
    works : Works
        The scenario.
    line, feature : str
        Whose stock.
    wanted_cpk : float
        Capability asked of size and roughness.
    rules : StockRules
        What was reckoned with.
    stock_mm : float
        Metal per side to be taken off in all.
    as_it_stands : pandas.DataFrame
        The routing's own cuts: depth, least stock with its terms, state after, power.
    choices : pandas.DataFrame
        The best choice for each number of cuts: which, capability, what it lacks.
    plan : pandas.DataFrame
        The cuts of the choice with the fewest cuts that meets the drawing, with their depths; empty if none does.
    warnings : tuple of str
        Where the routing as it stands breaks the rule.
    """

    works: Works
    line: str
    feature: str
    wanted_cpk: float
    rules: StockRules
    stock_mm: float
    as_it_stands: pd.DataFrame
    choices: pd.DataFrame
    plan: pd.DataFrame
    warnings: tuple[str, ...]

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"as_it_stands": self.as_it_stands, "choices": self.choices, "plan": self.plan}

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        if self.plan.empty:
            return (
                f"No choice of the routing's cuts brings {self.feature} to a Cpk of {self.wanted_cpk:g} on paper; "
                "the table says what each lacks.",
            )
        names = ", ".join(f"{row['cut']} {row['depth_mm']:.2f} mm" for row in self.plan.to_dict(orient="records"))
        count = len(self.plan)
        return (
            f"{count} cut{'s' if count > 1 else ''} of the routing's {len(self.as_it_stands)} are enough for "
            f"{self.feature} at a Cpk of {self.wanted_cpk:g}, on paper: {names}.",
        )


def least_stock_um(
    rz_um: float, damaged_um: float, form_um: float, set_up_um: float, is_bore: bool, scratch_um: float = 0.0
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
    scratch_um : float, µm
        Depth of a scratch that must come out; counts where it is deeper than Rz + T.

    Returns
    -------
    float, µm per side
        Source: Kovan (from memory), see above.

    >>> least_stock_um(40.0, 50.0, 30.0, 40.0, True), least_stock_um(40.0, 50.0, 30.0, 40.0, False)
    (140.0, 160.0)
    """
    surface = max(rz_um + damaged_um, scratch_um)
    return surface + (math.hypot(form_um, set_up_um) if is_bore else form_um + set_up_um)


def stock_plan(
    works: Works,
    feature: str,
    line: str | None = None,
    policy: str | None = None,
    wanted_cpk: float = 4.0 / 3.0,
    rules: StockRules | None = None,
) -> StockPlan:
    """How much to leave for each cut, and the least number of cuts that meets the drawing.

    Parameters
    ----------
    works : Works
        The checked scenario; its cuts of the feature are those that may be chosen from.
    feature : str
        A feature with a size or a roughness.
    line : str, optional
        Its line; the first that has such a feature unless given.
    policy : str, optional
        Under which the sets are changed; at their full life unless given.
    wanted_cpk : float
        Capability asked of size and roughness, above 0.
    rules : StockRules, optional
        What the rule is given.

    Returns
    -------
    StockPlan
        On paper; see `check_stock_plan` for a simulation of it.

    Raises
    ------
    StudyError
        The feature is not known, or nothing cuts it.
    """
    place = place_of(works, feature, line)
    given = rules or StockRules()
    passes = passes_of(works, place, feature, policy)
    cuts = [each for each in passes if isinstance(each, PaperCut)]
    if not cuts:
        raise StudyError(f'nothing cuts "{feature}"; a feature with cuts was expected')
    if len(cuts) > _MOST_CUTS:
        raise StudyError(f'"{feature}" has {len(cuts)} cuts; a choice is made of {_MOST_CUTS} at most')
    spec = works.lines[place].features[feature]
    total = spec.as_cast.stock if spec.as_cast.stock is not None else sum(cut.depth_mm for cut in cuts)
    start = state_as_cast(works, place, feature)
    reckoned = _Reckoning(spec, start, given, float(total), wanted_cpk, float(total) - sum(c.depth_mm for c in cuts))
    found = [reckoned.choice(passes, chosen) for chosen in _choices(cuts)]
    best = [_best(found, count) for count in range(1, len(cuts) + 1)]
    enough = next((choice for choice in best if choice is not None and not choice.lacks), None)
    return StockPlan(
        works, place, feature, wanted_cpk, given, float(total),
        reckoned.table(passes),
        pd.DataFrame([choice.row for choice in best if choice is not None]),
        pd.DataFrame() if enough is None else reckoned.table(enough.passes),
        stock_warnings(works, place, feature, policy, given),
    )  # fmt: skip


def stock_warnings(
    works: Works, line: str, feature: str, policy: str | None = None, rules: StockRules | None = None
) -> tuple[str, ...]:
    """Cuts of a feature that leave less stock than the rule asks for, one sentence each.

    Parameters
    ----------
    works, line, feature, policy, rules
        As for `stock_plan`.
    """
    passes = passes_of(works, line, feature, policy)
    spec = works.lines[line].features[feature]
    reckoned = _Reckoning(spec, state_as_cast(works, line, feature), rules or StockRules(), 0.0, 1.0, 0.0)
    told = []
    for row in reckoned.table(passes).to_dict(orient="records"):
        if row["depth_mm"] < row["least_mm"]:
            told.append(
                f"{row['operation']}, {row['cut']}: takes {row['depth_mm']:.3f} mm per side, and the rule asks for "
                f"{row['least_mm']:.3f} mm to clean up what it finds."
            )
    return tuple(told)


def check_stock_plan(found: StockPlan, policy: str, seed: int, replications: int, engine: str = "fast") -> pd.DataFrame:
    """Simulate a stock plan: the scenario with its cuts left out and its depths set, against the figures on paper.

    Parameters
    ----------
    found : StockPlan
        With a plan.
    policy : str
        Under which the sets are changed.
    seed : int
        Key of all chance.
    replications : int
        Runs, 1 or more.
    engine : {"fast", "simpy"}
        Which engine runs it.

    Returns
    -------
    pandas.DataFrame
        One row per replication: simulated mean and sd of the error (µm per side), Cpk, share not cleaned up.

    Raises
    ------
    ScenarioError
        The scenario does not work without the cuts left out (a gauge corrects one of them, say).
    """
    works = changed(found.works, _changes(found), "stock plan")
    rows = []
    for replication in range(replications):
        table = run(works, policy, seed, replication, engine=engine).characteristics
        own = table[
            (table["line"] == found.line) & (table["feature"] == found.feature) & (table["characteristic"] == "size")
        ].iloc[0]
        rows.append(
            {
                "replication": replication,
                "sd_um": 1000.0 * float(own["sd"]) / _size_scale(works.lines[found.line].features[found.feature]),
                "cpk": float(own["cpk"]),
                "share_not_cleaned_up": float(own["share_not_cleaned_up"]),
            }
        )
    return pd.DataFrame(rows)


@dataclass(frozen=True, eq=False)
class _Choice:
    """Some of the cuts with their depths."""

    passes: list[PaperCut | PaperMove]
    row: dict[str, object]
    lacks: str
    cpk: float


@dataclass(frozen=True, eq=False)
class _Reckoning:
    """What all choices for one feature share."""

    feature: Feature
    start: PaperState
    rules: StockRules
    total_mm: float
    wanted_cpk: float
    left_mm: float

    def least_mm(self, state: PaperState, cut: PaperCut) -> tuple[float, dict[str, float]]:
        """Least stock of a cut that finds a state, and its terms in µm."""
        rz = self.rules.rz_per_ra * state.ra_um
        # A blank that comes rough turned has no skin, and is told from a casting by its roughness.
        has_skin = not state.is_cut and state.ra_um >= _SKIN_RA_UM
        damaged = self.rules.skin_um if has_skin else self.rules.damaged_um
        form = max(self.rules.sigmas * state.sd_um - state.mean_um, 0.0)
        set_up = self.rules.sigmas * cut.repeatability_um
        scratch = 0.0
        if state.is_cut and self.feature.scratch is not None and self.feature.scratch.chance_per_move > 0.0:
            scratch = self.feature.scratch.depth * (1.0 + 2.0 * self.feature.scratch.depth_cv)
        least = least_stock_um(rz, damaged, form, set_up, self.feature.kind == "bore", scratch)
        terms = {"rz_um": rz, "damaged_um": damaged, "form_um": form, "set_up_um": set_up, "scratch_um": scratch}
        thinnest = 0.0 if cut.process in ("honing", "grinding") else self.rules.thinnest_mm
        return max(least / 1000.0, thinnest), terms

    def table(self, passes: Sequence[PaperCut | PaperMove]) -> pd.DataFrame:
        """One row per cut: depth, least stock with its terms, state after it, power."""
        rows, state = [], self.start
        for each in passes:
            if isinstance(each, PaperMove):
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

    def choice(self, passes: Sequence[PaperCut | PaperMove], chosen: Sequence[PaperCut]) -> _Choice:
        """Some of the cuts, each later one with its least stock, the first with what is left."""
        kept: list[PaperCut | PaperMove] = [each for each in passes if isinstance(each, PaperMove) or each in chosen]
        depths = [cut.depth_mm for cut in chosen]
        for _ in range(_ROUNDS):
            kept, least = self._with_depths(kept, depths)
            rest = [_up(value) for value in least[1:]]
            new = [round(self.total_mm - self.left_mm - sum(rest), 6), *rest]
            if new == depths:
                break
            depths = new if new[0] > 0.0 else [least[0], *rest]
        kept, least = self._with_depths(kept, depths)
        return self._judged(kept, least)

    def _with_depths(
        self, passes: Sequence[PaperCut | PaperMove], depths: Sequence[float]
    ) -> tuple[list[PaperCut | PaperMove], list[float]]:
        """The passes at some depths, and the least stock of each cut there."""
        found: list[PaperCut | PaperMove] = []
        left, least, state = list(depths), [], self.start
        for each in passes:
            if isinstance(each, PaperMove):
                state = state.moved(each.sigma_um)
                found.append(each)
                continue
            cut = each.at_depth(left.pop(0))
            least.append(self.least_mm(state, cut)[0])
            state = after_pass(state, cut)
            found.append(cut)
        return found, least

    def _judged(self, passes: list[PaperCut | PaperMove], least: Sequence[float]) -> _Choice:
        """Whether a choice meets the drawing, and what it lacks."""
        cuts = [each for each in passes if isinstance(each, PaperCut)]
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
        return _Choice(passes, row, "; ".join(lacks), min(finite, default=math.nan))

    def _capability(self, end: PaperState) -> tuple[float, float, float]:
        """Cpk and Cp of the size, Cpk of the roughness; not a number where the drawing asks for nothing."""
        size = centred = rough = math.nan
        if self.feature.size is not None:
            low, high = per_side(self.feature, self.feature.size.limits, aim_mm(self.feature))
            size, centred = cpk(end.mean_um, end.sd_um, low, high), cp(end.sd_um, low, high)
        if self.feature.roughness is not None:
            rough = cpk(end.ra_um, end.ra_sd_um, -math.inf, self.feature.roughness.limit)
        return size, centred, rough


def _choices(cuts: Sequence[PaperCut]) -> list[tuple[PaperCut, ...]]:
    """Every choice of the cuts, in the order of the routing."""
    return [chosen for count in range(1, len(cuts) + 1) for chosen in itertools.combinations(cuts, count)]


def _best(found: Sequence[_Choice], count: int) -> _Choice | None:
    """The best choice of so many cuts: one that lacks nothing before one that does, then the higher capability."""
    own = [choice for choice in found if choice.row["cuts"] == count]
    return max(own, key=lambda choice: (not choice.lacks, choice.cpk), default=None)


def _changes(found: StockPlan) -> dict[str, object]:
    """The plan as changes of the scenario: cuts left out, depths set."""
    wanted = {(row["operation"], row["cut"]): float(row["depth_mm"]) for row in found.plan.to_dict(orient="records")}
    operations: dict[str, object] = {}
    for name, operation in found.works.lines[found.line].operations.items():
        strokes: dict[str, object] = {}
        for stroke_name, stroke in operation.strokes.items():
            cuts = {
                cut_name: ({"depth": wanted[name, cut_name]} if (name, cut_name) in wanted else None)
                for cut_name, cut in stroke.cuts.items()
                if cut.feature == found.feature
            }
            if cuts:
                goes = len(cuts) == len(stroke.cuts) and not any(cuts.values())
                strokes[stroke_name] = None if goes else {"cuts": cuts}
        if strokes:
            goes = len(strokes) == len(operation.strokes) and not any(strokes.values())
            operations[name] = None if goes else {"strokes": strokes}
    return {"lines": {found.line: {"operations": operations}}}


def _size_scale(feature: Feature) -> float:
    return {"bore": 2.0, "run-out": 2.0}.get(feature.kind, 1.0)


def _up(depth_mm: float) -> float:
    """A depth that a setter can set, rounded up."""
    return round(math.ceil(depth_mm / _STEP_MM - 1e-9) * _STEP_MM, 6)
