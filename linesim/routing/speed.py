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
from linesim.cutting.surface import theoretical_ra_um
from linesim.desk import desk_figures
from linesim.errors import StudyError, nearest, said
from linesim.plan.coefficients import Coefficients
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey, cut_figures
from linesim.quality.limits import loss_factor_roughness
from linesim.result.plain import plain_table
from linesim.routing.bench import Candidate, Sample, on_trial, outcomes_of, sample_of
from linesim.routing.edges import change_minutes, edge_cost
from linesim.study import Crew, Interim, last_of
from linesim.study.outcome import Outcome
from linesim.works import Works, changed
from linesim.works.operations import Cut, Operation

__all__ = ["SpeedAnswer", "SpeedPaper", "cut_named", "speed", "speed_on_paper", "speed_steps"]

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
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"speeds": self.paper.table, "line": self.table}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""
        head = {
            "works": self.paper.works.name, "policy": self.paper.policy, "cut": list(self.paper.key),
            "is_constraint": self.paper.is_constraint, "spare_min": self.paper.spare_min,
            "worth_per_min": self.paper.worth_per_min, "currency": self.paper.works.currency, "seed": self.seed,
            "replications": self.n_replications,
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
    chosen = next(iter(works.policies)) if policy is None else policy
    if not 0.0 < allowed[0] <= 1.0 <= allowed[1]:
        told = f"a range of {allowed[0]:g} to {allowed[1]:g} cannot be"
        raise StudyError(f"{told}; one about 1 such as 0.5 to 1.6 was expected")
    line, name, stroke, cut_name = key
    operation = works.lines[line].operations[name]
    cut = operation.strokes[stroke].cuts[cut_name]
    figures = cut_figures(works)[key]
    base, bounds = _base(works, key, cut, operation, figures, allowed)
    desk = desk_figures(works, chosen)
    rows = {str(row["operation"]): row for row in desk.operations.to_dict(orient="records") if row["line"] == line}
    holds = min(rows, key=lambda each: float(rows[each]["parts_per_hour"]))
    per_hour = float(rows[holds]["parts_per_hour"])
    spare = (1.0 - KEPT_FREE) * operation.machines * 60.0 / per_hour - float(rows[name]["minutes_per_part"])
    is_constraint = name == holds
    book = (operation.rate + operation.operators * works.prices.labour_rate) / 60.0
    edge, change = _edges_of_stroke(works, key)
    worth = _worth_per_min(works, line, per_hour, operation) if is_constraint else 0.0
    prices = {
        LEAST_COST: CutPrices(book, change, edge),
        MOST_OUTPUT: CutPrices(math.inf, change, edge),
        FOR_THE_LINE: CutPrices(worth, change, edge, *_rough_loss(works, key, figures)),
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
    if count < 2:
        raise StudyError(f"{count} replications were asked for; at least 2 were expected, so that there are intervals")
    names = list(paper.found)
    candidates = [_candidate(paper, found) for found in paper.found.values()]
    began, total = time.monotonic(), len(names) * count
    outcomes: dict[int, dict[int, Outcome]] = {}
    for done, outcomes in outcomes_of(candidates, key, range(count), crew, engine):
        yield Interim(done, total, time.monotonic() - began, None, "running the line at each speed")
    samples = {name: sample_of(candidates[at], outcomes[at]) for at, name in enumerate(names)}
    answer = SpeedAnswer(paper, samples, key, count, confidence)
    yield Interim(total, total, time.monotonic() - began, answer, "done", True)


def speed(paper: SpeedPaper, **options: Any) -> SpeedAnswer:
    """Run the line at each speed; see `speed_steps`."""
    return last_of(speed_steps(paper, **options))


def _base(
    works: Works, key: CutKey, cut: Cut, operation: Operation, figures: CutFigures, allowed: tuple[float, float]
) -> tuple[Conditions, SpeedBounds]:
    """The cut as it stands, and its bounds."""
    line = works.lines[key[0]]
    cutter = works.cutters[cut.cutter]
    coefficients = Coefficients(works)
    grade = coefficients.grade(str(cutter.grade), str(line.material)) if cutter.grade else None
    if cut.speed is None or cut.feed is None or grade is None or cut.minutes is not None:
        told = (
            "a speed, a feed and a cutter grade with Taylor's exponents were expected, and minutes worked out from them"
        )
        raise StudyError(f'the cut "{key[3]}" cannot be judged; {told}')
    mc = coefficients.materials[str(line.material)].mc
    base = Conditions(cut.speed, cut.feed, figures.cut_min, figures.life_min, figures.power_kw, grade.n, grade.p, mc)
    fastest = math.inf
    if operation.max_rpm is not None and figures.spindle_rpm:
        fastest = cut.speed * operation.max_rpm / figures.spindle_rpm
    others = sum(value.power_kw for other, value in cut_figures(works).items() if other[:3] == key[:3] and other != key)
    rating = math.inf if operation.power is None else operation.power - others
    low, high = allowed
    bounds = SpeedBounds(
        low * cut.speed, high * cut.speed, low * cut.feed, high * cut.feed, fastest, _rough_feed(works, key, figures),
        rating,
    )  # fmt: skip
    return base, bounds


def _edges_of_stroke(works: Works, key: CutKey) -> tuple[float, float]:
    """Money and minutes of change for each edge of the cut, those of the other blades of its stroke added.

    The blades of one stroke turn on one spindle, so their speed and feed go up and down together; an edge that lasts
    half as long as that of the cut counts twice.
    """
    operation = works.lines[key[0]].operations[key[1]]
    found = {other: value for other, value in cut_figures(works).items() if other[:3] == key[:3]}
    money = minutes = 0.0
    for other, value in found.items():
        cutter = operation.strokes[key[2]].cuts[other[3]].cutter
        ratio = found[key].life_min / value.life_min * value.cut_min / found[key].cut_min
        money += ratio * edge_cost(works, operation, cutter, value.wear_limit_mm)
        minutes += ratio * change_minutes(works, operation, cutter)
    return money, minutes


def _rough_loss(works: Works, key: CutKey, figures: CutFigures) -> tuple[float, float, float]:
    """Quality loss of the finish per part at the feed as it stands, that feed, and the loss at the process's floor."""
    line, name, stroke, cut_name = key
    cut = works.lines[line].operations[name].strokes[stroke].cuts[cut_name]
    feed = float(cut.feed or 1.0)
    if not _is_last(works, key) or works.cutters[cut.cutter].nose_radius is None:
        return 0.0, feed, 0.0
    feature = works.lines[line].features[cut.feature]
    factor = loss_factor_roughness(feature) * feature.places
    worn = 1.0 + figures.roughness_growth / 2.0
    return factor * (worn * figures.sharp_roughness_um) ** 2, feed, factor * figures.roughness_floor_um**2


def _is_last(works: Works, key: CutKey) -> bool:
    """Whether a cut is the last one of its feature."""
    operations = works.lines[key[0]].operations

    def feature(other: CutKey) -> str:
        return operations[other[1]].strokes[other[2]].cuts[other[3]].feature

    return [other for other in cut_figures(works) if other[0] == key[0] and feature(other) == feature(key)][-1] == key


def _within(bounds: SpeedBounds, most_min: float) -> SpeedBounds:
    """The same bounds with a bound of time."""
    return replace(bounds, most_min=most_min)


def _rough_feed(works: Works, key: CutKey, figures: CutFigures) -> float:
    """Feed at which the last cut of a feature just gives the finish asked for with a worn edge; else no bound."""
    line, name, stroke, cut_name = key
    cut = works.lines[line].operations[name].strokes[stroke].cuts[cut_name]
    limit = works.lines[line].features[cut.feature].roughness
    nose = works.cutters[cut.cutter].nose_radius
    if (
        limit is None
        or nose is None
        or not _is_last(works, key)
        or works.cutters[cut.cutter].sharp_roughness is not None
    ):
        return math.inf
    sharpest = limit.limit / (1.0 + figures.roughness_growth)
    ratio = figures.sharp_roughness_um / theoretical_ra_um(float(cut.feed or 0.0), nose)
    # Above the floor of the process Ra goes with the square of the feed; below it feed is free.
    if sharpest < figures.roughness_floor_um:
        return float(cut.feed or 0.0)
    return float(cut.feed or 0.0) * math.sqrt(sharpest / (ratio * theoretical_ra_um(float(cut.feed or 0.0), nose)))


def _worth_per_min(works: Works, line: str, per_hour: float, operation: Operation) -> float:
    """What a minute of one machine of the constraint is worth: worth less casting of the parts it would have made."""
    part = works.lines[line]
    return max(part.worth - part.casting.price, 0.0) * per_hour / 60.0 / operation.machines


def _candidate(paper: SpeedPaper, found: Conditions) -> Candidate:
    """The works with a cut at other conditions, its set changed at the share of its life at which it is now."""
    line, name, stroke, cut_name = paper.key
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
