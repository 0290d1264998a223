"""The stock plan: how much to leave for each cut, and the least number of cuts that meets the drawing.

The least stock of a cut, per side, must take off what the cut before it has left behind: for a face
Z = (Rz + T) + ρ + ε, for a bore 2 Z = 2 (Rz + T + √(ρ² + ε²)), with Rz and T the roughness and the damaged layer, ρ
the form and position error, and ε the set-up error of the cut at hand. Source: V. M. Kovan, *Raschet pripuskov na
obrabotku v mashinostroenii* (Mashgiz 1953), and the Russian handbooks after it (from memory); that T is left out in
iron once the skin is off is from the same books, from memory.

Here ρ is a number of standard deviations of the error that the cut finds, worked out on paper (see `paper`), less its
mean where metal is left on. A scratch deeper than Rz + T takes their place.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import pandas as pd

from linesim.errors import StudyError
from linesim.routing.history import place_of
from linesim.routing.least_stock import LeastStock, StockRules, best_of, choices_of, least_stock_um
from linesim.routing.passes import (
    CutPass,
    passes_of,
    state_as_cast,
)
from linesim.study import Answer, run
from linesim.study.answer import origin_of
from linesim.words import keep
from linesim.works import Works, changed
from linesim.works.features import Feature

__all__ = ["StockPlan", "StockRules", "check_stock_plan", "least_stock_um", "stock_plan", "stock_warnings"]

_MOST_CUTS = 10


@dataclass(frozen=True, eq=False, repr=False)
class StockPlan(Answer):
    """What to leave for each cut.

    Attributes
    ----------
    works : Works
        The scenario.
    line, feature : str
        Whose stock.
    policy : str
        Under which the sets are changed.
    wanted_cpk : float
        Capability asked of size and roughness.
    rules : StockRules
        What the rule was given.
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
    simulated : pandas.DataFrame
        The plan in runs, from `check_stock_plan`; empty unless it was asked for.
    """

    works: Works
    line: str
    feature: str
    policy: str
    wanted_cpk: float
    rules: StockRules
    stock_mm: float
    as_it_stands: pd.DataFrame
    choices: pd.DataFrame
    plan: pd.DataFrame
    warnings: tuple[str, ...]
    simulated: pd.DataFrame = field(default_factory=pd.DataFrame)

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, line=self.line, feature=self.feature, wanted_cpk=self.wanted_cpk,
            rules=vars(self.rules),
        )  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        tables = {"as_it_stands": self.as_it_stands, "choices": self.choices, "plan": self.plan}
        return tables | ({"simulated": self.simulated} if len(self.simulated) else {})

    @property
    def further(self) -> dict[str, Any]:
        """Where the routing breaks the rule."""
        return {"warnings": list(self.warnings)}

    def run_in_the_line(self, seed: int, replications: int, engine: str = "fast") -> StockPlan:
        """The same plan with runs of it; see `check_stock_plan`."""
        return replace(self, simulated=check_stock_plan(self, self.policy, seed, replications, engine))

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        if self.plan.empty:
            text = f"No choice of the routing's cuts brings {self.feature} to a Cpk of {self.wanted_cpk:g} on paper"
            return (f"{text}; the table says what each lacks.",)
        names = ", ".join(f"{row['cut']} {row['depth_mm']:.2f} mm" for row in self.plan.to_dict(orient="records"))
        count = len(self.plan)
        enough = f"{count} cuts of the routing's {len(self.as_it_stands)} are" if count > 1 else "One cut is"
        return (f"{enough} enough for {self.feature} at a Cpk of {self.wanted_cpk:g}, on paper: {names}.",)


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
        Under which the sets are changed; today's practice unless given.
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
    cuts = [each for each in passes if isinstance(each, CutPass)]
    if not cuts:
        raise StudyError(f'nothing cuts "{feature}"; a feature with cuts was expected')
    if len(cuts) > _MOST_CUTS:
        raise StudyError(f'"{feature}" has {len(cuts)} cuts; a choice is made of {_MOST_CUTS} at most')
    spec = works.lines[place].features[feature]
    total = spec.as_cast.stock if spec.as_cast.stock is not None else sum(cut.depth_mm for cut in cuts)
    start = state_as_cast(works, place, feature)
    least_stock = LeastStock(spec, start, given, float(total), wanted_cpk, float(total) - sum(c.depth_mm for c in cuts))
    answer = [least_stock.choice(passes, chosen) for chosen in choices_of(cuts)]
    best = [best_of(answer, count) for count in range(1, len(cuts) + 1)]
    enough = next((choice for choice in best if choice is not None and not choice.lacks), None)
    return StockPlan(
        works, place, feature, works.chosen_policy(policy), wanted_cpk, given, float(total),
        least_stock.table(passes),
        pd.DataFrame([choice.row for choice in best if choice is not None]),
        pd.DataFrame() if enough is None else least_stock.table(enough.passes),
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
    least_stock = LeastStock(spec, state_as_cast(works, line, feature), rules or StockRules(), 0.0, 1.0, 0.0)
    return tuple(
        keep(
            "stock.too_little",
            operation=str(row["operation"]),
            cut=str(row["cut"]),
            depth=float(row["depth_mm"]),
            least=float(row["least_mm"]),
        )
        for row in least_stock.table(passes).to_dict(orient="records")
        if row["depth_mm"] < row["least_mm"]
    )


def check_stock_plan(
    answer: StockPlan, policy: str, seed: int, replications: int, engine: str = "fast"
) -> pd.DataFrame:
    """Simulate a stock plan: the scenario with its cuts left out and its depths set, against the figures on paper.

    Parameters
    ----------
    answer : StockPlan
        With a plan.
    policy : str
        Under which the sets are changed.
    seed : int
        Key of all chance.
    replications : int
        Runs; none if 0, or where there is no plan.
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
    rows: list[dict[str, float]] = []
    if answer.plan.empty or not replications:
        return pd.DataFrame(rows, columns=["replication", "sd_um", "cpk", "share_not_cleaned_up"])
    works = changed(answer.works, _changes(answer), "stock plan")
    for replication in range(replications):
        table = run(works, policy, seed, replication, engine=engine).characteristics
        own = table[
            (table["line"] == answer.line) & (table["feature"] == answer.feature) & (table["characteristic"] == "size")
        ].iloc[0]
        rows.append(
            {
                "replication": replication,
                "sd_um": 1000.0 * float(own["sd"]) / _size_scale(works.lines[answer.line].features[answer.feature]),
                "cpk": float(own["cpk"]),
                "share_not_cleaned_up": float(own["share_not_cleaned_up"]),
            }
        )
    return pd.DataFrame(rows)


def _changes(answer: StockPlan) -> dict[str, object]:
    """The plan as changes of the scenario: cuts left out, depths set."""
    wanted = {(row["operation"], row["cut"]): float(row["depth_mm"]) for row in answer.plan.to_dict(orient="records")}
    operations: dict[str, object] = {}
    for name, operation in answer.works.lines[answer.line].operations.items():
        strokes: dict[str, object] = {}
        for stroke_name, stroke in operation.strokes.items():
            cuts = {
                cut_name: ({"depth": wanted[name, cut_name]} if (name, cut_name) in wanted else None)
                for cut_name, cut in stroke.cuts.items()
                if cut.feature == answer.feature
            }
            if cuts:
                goes = len(cuts) == len(stroke.cuts) and not any(cuts.values())
                strokes[stroke_name] = None if goes else {"cuts": cuts}
        if strokes:
            goes = len(strokes) == len(operation.strokes) and not any(strokes.values())
            operations[name] = None if goes else {"strokes": strokes}
    return {"lines": {answer.line: {"operations": operations}}}


def _size_scale(feature: Feature) -> float:
    return {"bore": 2.0, "run-out": 2.0}.get(feature.kind, 1.0)
