"""Economic speed and feed of a cut, and what the line makes of it.

The classical optimum prices a machine minute at its rate. In a line that price is wrong: a minute of the operation that
holds the line back is worth the contribution of the parts not made in it, and a minute of a machine with time to spare
is worth nothing, so that there slower is cheaper, as far as its time goes. Both are worked out on paper, and then run.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from linesim.cutting.economics import Conditions, CutPrices, SpeedBounds, best_conditions
from linesim.desk import desk_figures
from linesim.errors import StudyError, nearest, said
from linesim.plan.figures import CutKey, cut_figures
from linesim.result.plain import plain_table
from linesim.routing.bench import Candidate, Sample, check_runs, on_trial, outcomes_of, sample_of
from linesim.routing.speed_bounds import conditions_of, edges_of_stroke, rough_loss, worth_per_min
from linesim.study import Crew, Interim, last_of
from linesim.study.comparing.words import amount
from linesim.study.crew.outcome import Outcome
from linesim.works import Works, changed

__all__ = ["SpeedAnswer", "SpeedPaper", "cut_named", "speed", "speed_of_cut_steps", "speed_on_paper", "speed_steps"]

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
    found: dict[str, Conditions]
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
                "conditions": name, "speed_m_min": found.speed_m_min, "feed_mm": found.feed_mm,
                "cut_min": found.cut_min, "life_min": found.life_min,
                "change_min_per_part": book.change_min * found.cut_min / found.life_min,
                "power_kw": found.power_kw or None, "cost_at_rate": book.of_part(found),
                "edge_cost": edges.of_part(found), "bound_by": ", ".join(found.bound_by),
            }
            for name, found in self.found.items()
        ]  # fmt: skip
        return pd.DataFrame(rows)


@dataclass(frozen=True, eq=False)
class SpeedAnswer:
    """Speeds and feeds of one cut on paper and in the line.

    Attributes
    ----------
    paper : SpeedPaper
        On paper.
    samples : dict of str to Sample
        Runs under each set of conditions, on shared chance.
    seed, n_replications : int
        Key of all chance, and runs of each.
    confidence : float
        Of the intervals.
    """

    paper: SpeedPaper
    samples: dict[str, Sample]
    seed: int
    n_replications: int
    confidence: float

    @property
    def table(self) -> pd.DataFrame:
        """One row per set of conditions and measure: mean, half width, paired difference from what stands."""
        base, rows = self.samples[AS_IT_STANDS], []
        for name, sample in self.samples.items():
            for measure in ("good_per_hour", "cost_per_good_part", "contribution_per_hour"):
                own = sample.interval(measure, self.confidence)
                apart = sample.against(base, measure, self.confidence, max(len(self.samples) - 1, 1))
                rows.append(
                    {
                        "conditions": name, "measure": measure, "mean": own.mean, "half_width": own.half_width,
                        "less_as_it_stands": apart.mean, "less_half_width": apart.half_width,
                        "is_apart": apart.is_apart, "confidence": self.confidence, "n": own.n,
                    }
                )  # fmt: skip
        return pd.DataFrame(rows)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words: the conditions for the line, and why."""
        paper, money = self.paper, self.paper.works.currency
        operation, best = paper.key[1], paper.found[FOR_THE_LINE]
        rows = {(row["conditions"], row["measure"]): row for row in self.table.to_dict(orient="records")}
        row = rows[FOR_THE_LINE, "contribution_per_hour"]
        gain = f"{amount(row['less_as_it_stands'], row['less_half_width'])} {money}/h of contribution"
        told = "" if row["is_apart"] else " (not told apart from none)"
        place = (
            f"{operation} holds the line back; a minute there is worth {paper.worth_per_min:.2f} {money} "
            "(worth of the parts less their castings), so that quicker pays until changes eat it up."
            if paper.is_constraint
            else f"{operation} has {paper.spare_min:.2f} min per part to spare; a minute there is worth nothing to the "
            "line, so that slower is cheaper as far as the time goes."
        )
        conditions = f"{best.speed_m_min:.0f} m/min and {best.feed_mm:.3f} mm"
        return f"For the line: {conditions}, {gain} against what stands{told}.", place

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"speeds": self.paper.table, "line": self.table}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""
        head = {
            "works": self.paper.works.name, "policy": self.paper.policy, "cut": list(self.paper.key),
            "is_constraint": self.paper.is_constraint, "spare_min": self.paper.spare_min,
            "worth_per_min": self.paper.worth_per_min, "currency": self.paper.works.currency, "seed": self.seed,
            "replications": self.n_replications, "sentences": list(self.sentences),
        }  # fmt: skip
        return head | {name: plain_table(table) for name, table in self.tables.items()}


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
    found = [key for key in keys if name in (key[3], f"{key[1]} / {key[3]}")]
    if len(found) == 1:
        return found[0]
    if not found:
        near = nearest(name, known)
        hint = f"did you mean {said(near)}?" if near else f"one of {', '.join(list(known)[:12])} was expected"
        raise StudyError(f"{said(name)} is not a cut of this works; {hint}")
    places = ", ".join(f'"{key[1]} / {key[3]}" on {key[0]}' for key in found)
    raise StudyError(f"{said(name)} names {len(found)} cuts: {places}; say which, with its operation or --line")


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
        told = f"a range of {allowed[0]:g} to {allowed[1]:g} cannot be"
        raise StudyError(f"{told}; one about 1 such as 0.5 to 1.6 was expected")
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
        FOR_THE_LINE: CutPrices(worth, change, edge, *rough_loss(works, key, figures)),
    }
    found = {AS_IT_STANDS: base}
    for which, price in prices.items():
        most = base.cut_min + max(spare, 0.0) if which == FOR_THE_LINE and not is_constraint else math.inf
        found[which] = best_conditions(base, price, _within(bounds, most))
    return SpeedPaper(works, chosen, key, prices, found, bounds, is_constraint, max(spare, 0.0), worth)


def speed_steps(
    paper: SpeedPaper,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
    engine: str = "fast",
) -> Iterator[Interim[SpeedAnswer]]:
    """Run the line with the speeds and feeds found on paper, on shared chance.

    Parameters
    ----------
    paper : SpeedPaper
        From `speed_on_paper`.
    replications, seed, confidence, crew, engine
        As for `linesim.routing.study.routing_steps`.

    Yields
    ------
    Interim
        The last one is final and holds the `SpeedAnswer`.
    """
    works = paper.works
    count = works.run.replications if replications is None else replications
    key = works.run.seed if seed is None else seed
    check_runs(count, key, confidence, least=2)
    names = list(paper.found)
    candidates = [_candidate(paper, found) for found in paper.found.values()]
    began, total = time.monotonic(), len(names) * count
    outcomes: dict[int, dict[int, Outcome]] = {}
    for done, so_far in outcomes_of(candidates, key, range(count), crew, engine):
        outcomes = so_far
        yield Interim(done, total, time.monotonic() - began, None, "running the line at each speed")
    samples = {name: sample_of(candidates[at], outcomes[at]) for at, name in enumerate(names)}
    answer = SpeedAnswer(paper, samples, key, count, confidence)
    yield Interim(total, total, time.monotonic() - began, answer, "done", True)


def speed(paper: SpeedPaper, **options: Any) -> SpeedAnswer:
    """Run the line at each speed; see `speed_steps`."""
    return last_of(speed_steps(paper, **options))


def _within(bounds: SpeedBounds, most_min: float) -> SpeedBounds:
    """The same bounds with a bound of time."""
    return replace(bounds, most_min=most_min)


def _candidate(paper: SpeedPaper, found: Conditions) -> Candidate:
    """The works with a cut at other conditions, its set changed at the share of its life at which it is now."""
    line, name, stroke, _ = paper.key
    cuts = paper.works.lines[line].operations[name].strokes[stroke].cuts
    base = paper.found[AS_IT_STANDS]
    v, f = found.speed_m_min / base.speed_m_min, found.feed_mm / base.feed_mm
    entries = {
        each: {"speed": v * cut.speed, "feed": f * cut.feed}
        for each, cut in cuts.items()
        if cut.speed is not None and cut.feed is not None
    }
    changes: dict[str, Any] = {"lines": {line: {"operations": {name: {"strokes": {stroke: {"cuts": entries}}}}}}}
    of_life = found.life_min / base.life_min
    lives = {cut.cutter: paper.works.cutters[cut.cutter].life for cut in cuts.values()}
    given = {cutter: {"life": of_life * life} for cutter, life in lives.items() if life is not None}
    works = changed(paper.works, changes | ({"cutters": given} if given else {}), "speed and feed")
    sets = desk_figures(paper.works, paper.policy).sets
    own = sets[(sets["line"] == line) & (sets["operation"] == name) & sets["cutter"].isin(lives)]
    shares = {
        str(row["cutter"]): round(float(row["parts_between"]) / float(row["parts_per_edge"]), 4)
        for row in own.to_dict(orient="records")
    }
    trial = f"{paper.policy}, same share of life"
    return Candidate(on_trial(works, paper.policy, {trial: shares}), trial)


def speed_of_cut_steps(
    works: Works,
    cut: str,
    line: str | None = None,
    policy: str | None = None,
    allowed: tuple[float, float] = USUAL_RANGE,
    **options: Any,
) -> Iterator[Interim[SpeedAnswer]]:
    """Find the economic speed and feed of a cut on paper and in the line, from plain values alone.

    Parameters
    ----------
    works, cut, line
        As for `cut_named`.
    policy, allowed
        As for `speed_on_paper`.
    **options
        As for `speed_steps`.

    Yields
    ------
    Interim
    """
    yield from speed_steps(speed_on_paper(works, cut_named(works, cut, line), policy, allowed), **options)
