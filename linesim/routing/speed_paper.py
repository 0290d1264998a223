"""Economic speed and feed of a cut, on paper.

The classical optimum prices a machine minute at its rate. In a line that price is wrong: a minute of the operation that
holds the line back is worth the contribution of the parts not made in it, and a minute of a machine with time to spare
is worth nothing, so that there slower is cheaper, as far as its time goes. Both are worked out here; `speed` runs them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import pandas as pd

from linesim.cutting.economics import Conditions, CutPrices, SpeedBounds, best_conditions
from linesim.desk import desk_figures
from linesim.errors import StudyError, nearest, quoted
from linesim.plan.figures import CutKey, cut_figures
from linesim.routing.speed_bounds import conditions_of, edges_of_stroke, finish_loss, worth_per_min
from linesim.works import Works

__all__ = ["AS_IT_STANDS", "FOR_THE_LINE", "SpeedPaper", "cut_named", "speed_on_paper"]

USUAL_RANGE = (0.5, 1.6)
"""Speeds and feeds are sought within this range of those that stand, near which the coefficients hold."""

KEPT_FREE = 0.10
"""Share of the constraint's minutes per part that a machine with time to spare keeps free (common practice)."""

AS_IT_STANDS, LEAST_COST, MOST_OUTPUT, FOR_THE_LINE = "as it stands", "least cost", "most output", "for the line"


@dataclass(frozen=True, eq=False)
class SpeedPaper:
    """Speeds and feeds of one cut, on paper.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which its sets are changed.
    key : tuple of str
        Line, operation, stroke and cut.
    prices : dict of str to CutPrices
        What is least under each name.
    found : dict of str to Conditions
        As it stands, and the optima.
    bounds : SpeedBounds
        Of the machine and the finish.
    is_constraint : bool
        Whether the operation holds its line back, on paper.
    spare_min : float
        Minutes per part that the operation could take more without holding the line back; 0 at the constraint.
    worth_per_min : float
        What a minute of the operation is worth to the line, money.
    """

    works: Works
    policy: str
    key: CutKey
    prices: dict[str, CutPrices]
    conditions: dict[str, Conditions]
    bounds: SpeedBounds
    is_constraint: bool
    spare_min: float
    worth_per_min: float

    @property
    def table(self) -> pd.DataFrame:
        """One row per set of conditions; money at the machine's own rate, and of the edges alone."""
        book = self.prices[LEAST_COST]
        edges = CutPrices(0.0, book.change_min, book.edge)
        rows = [
            {
                "conditions": name, "speed_m_min": answer.speed_m_min, "feed_mm": answer.feed_mm,
                "cut_min": answer.cut_min, "life_min": answer.life_min,
                "change_min_per_part": book.change_min * answer.cut_min / answer.life_min,
                "power_kw": answer.power_kw or None, "cost_at_rate": book.of_part(answer),
                "edge_cost": edges.of_part(answer), "bound_by": ", ".join(answer.bound_by),
            }
            for name, answer in self.conditions.items()
        ]  # fmt: skip
        return pd.DataFrame(rows)


def cut_named(works: Works, name: str, line: str | None = None) -> CutKey:
    """Find a cut by its name, or by "Op 60 / rough" where several operations have one.

    Parameters
    ----------
    works : Works
        The checked scenario.
    name : str
        Name of the cut, or operation and cut.
    line : str, optional
        Its line.

    Raises
    ------
    StudyError
        There is no such cut, or more than one.
    """
    keys = [key for key in cut_figures(works) if line is None or key[0] == line]
    known = {f"{key[1]} / {key[3]}": None for key in keys} | {key[3]: None for key in keys}
    answer = [key for key in keys if name in (key[3], f"{key[1]} / {key[3]}")]
    if len(answer) == 1:
        return answer[0]
    if not answer:
        near = nearest(name, known)
        hint = f"did you mean {quoted(near)}?" if near else f"one of {', '.join(list(known)[:12])} was expected"
        raise StudyError(f"{quoted(name)} is not a cut of this works; {hint}")
    places = ", ".join(f'"{key[1]} / {key[3]}" on {key[0]}' for key in answer)
    raise StudyError(f"{quoted(name)} names {len(answer)} cuts: {places}; say which, with its operation or --line")


def speed_on_paper(
    works: Works, key: CutKey, policy: str | None = None, allowed: tuple[float, float] = USUAL_RANGE
) -> SpeedPaper:
    """Cheapest and fastest speed and feed of a cut, and those that suit the line.

    Parameters
    ----------
    works : Works
        The checked scenario.
    key : tuple of str
        Line, operation, stroke and cut; see `cut_named`.
    policy : str, optional
        Under which sets are changed; the scenario's first unless given.
    allowed : pair of float
        Least and greatest speed and feed, as a share of those that stand.

    Returns
    -------
    SpeedPaper

    Raises
    ------
    StudyError
        The cut has no speed and feed, or no exponents are known for its cutter.
    """
    chosen = works.chosen_policy(policy)
    if not 0.0 < allowed[0] <= 1.0 <= allowed[1]:
        text = f"a range of {allowed[0]:g} to {allowed[1]:g} cannot be"
        raise StudyError(f"{text}; one about 1 such as 0.5 to 1.6 was expected")
    line, name, stroke, cut_name = key
    operation = works.lines[line].operations[name]
    cut = operation.strokes[stroke].cuts[cut_name]
    figures = cut_figures(works)[key]
    base, bounds = conditions_of(works, key, cut, operation, figures, allowed)
    desk = desk_figures(works, chosen)
    rows = {str(row["operation"]): row for row in desk.operations.to_dict(orient="records") if row["line"] == line}
    holds = min(rows, key=lambda each: float(rows[each]["parts_per_hour"]))
    per_hour = float(rows[holds]["parts_per_hour"])
    spare = (1.0 - KEPT_FREE) * operation.machines * 60.0 / per_hour - float(rows[name]["minutes_per_part"])
    is_constraint = name == holds
    book = (operation.rate + operation.operators * works.prices.labour_rate) / 60.0
    edge, change = edges_of_stroke(works, key)
    worth = worth_per_min(works, line, per_hour, operation) if is_constraint else 0.0
    prices = {
        LEAST_COST: CutPrices(book, change, edge),
        MOST_OUTPUT: CutPrices(math.inf, change, edge),
        FOR_THE_LINE: CutPrices(worth, change, edge, finish_loss(works, key, figures)),
    }
    answer = {AS_IT_STANDS: base}
    for which, price in prices.items():
        most = base.cut_min + max(spare, 0.0) if which == FOR_THE_LINE and not is_constraint else math.inf
        answer[which] = best_conditions(base, price, _within(bounds, most))
    return SpeedPaper(works, chosen, key, prices, answer, bounds, is_constraint, max(spare, 0.0), worth)


def _within(bounds: SpeedBounds, most_min: float) -> SpeedBounds:
    """The same bounds with a bound of time."""
    return replace(bounds, most_min=most_min)
