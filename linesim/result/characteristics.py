"""The characteristics of the shipped parts: what the drawing asks for, what was made, capability, share out, loss."""

from __future__ import annotations

import math
from typing import NamedTuple

import pandas as pd

from linesim.cutting.component import Component
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.quality.capability import cp, cpk, cpm, folded
from linesim.quality.limits import aim_mm, asked_of, drawing_scale, limits_um, loss_factor
from linesim.works.features import Feature
from linesim.works.model import Works

__all__ = ["COLUMNS", "Asked", "Characteristics", "Figures", "characteristics"]

COLUMNS = (
    "line", "feature", "characteristic", "places", "unit", "lower", "upper", "aim", "mean", "sd", "least", "greatest",
    "cp", "cpk", "cpm", "share_below", "share_above", "share_not_cleaned_up", "loss_per_part",
)  # fmt: skip
"""Columns of the table of characteristics."""


class _Sample(NamedTuple):
    """Mean, standard deviation and extremes of a characteristic, in one unit; shares out of limits."""

    mean: float
    sd: float
    least: float
    greatest: float
    share_below: float
    share_above: float


class Asked(NamedTuple):
    """A characteristic that the drawing limits.

    Attributes
    ----------
    line, feature : str
        Names.
    number : int
        Of the feature in the plan.
    of : Component
        Size, roughness, scratch, position, tilt or form.
    unit : str
        Of limits and sizes: mm for a size, as the drawing reads it, µm for all else.
    lower, upper, aim : float
        As the drawing gives them; lower is minus infinity where smaller is better.
    scale_mm_um : float
        What the drawing reads for one µm of error per side; 0 for what is not a size.
    is_run_out : bool
        The drawing reads the size of a signed error.
    places_of_part : int
        Like places of the feature on one part.
    loss_factor : float
        Taguchi's factor, money per µm².
    """

    line: str
    feature: str
    number: int
    of: Component
    unit: str
    lower: float
    upper: float
    aim: float
    scale_mm_um: float
    is_run_out: bool
    places_of_part: int
    loss_factor: float


class Figures(NamedTuple):
    """What was made of a characteristic: mean, spread and extremes in its unit, capability, shares, loss."""

    places: int
    mean: float
    sd: float
    least: float
    greatest: float
    cp: float
    cpk: float
    cpm: float
    share_below: float
    share_above: float
    share_not_cleaned_up: float
    loss_per_part: float

    @property
    def share_out(self) -> float:
        """Share on either side of the limits."""
        return self.share_below + self.share_above


class Characteristics:
    """The characteristics of a plan; limits and factors are worked out once for all of its runs.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run.

    Attributes
    ----------
    asked : list of Asked
        One for each component that the drawing limits, feature by feature.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        named = [(line, name, feature) for line, row in works.lines.items() for name, feature in row.features.items()]
        self.asked = [
            _asked(line, name, feature, number, of, int(plan.features.places[number]))
            for number, (line, name, feature) in enumerate(named)
            for of in Component
            if asked_of(feature, of) is not None
        ]

    def figures(self, asked: Asked, tally: Tally) -> Figures:
        """What a run has made of a characteristic.

        Parameters
        ----------
        asked : Asked
            One of `asked`.
        tally : Tally
            What the run left behind; true values, not gauge readings.

        Returns
        -------
        Figures
            Not a number what cannot be said; see `characteristics`.
        """
        number, places = asked.number, int(tally.places[asked.number])
        sample = _sample(number, asked.of, places, tally)
        if asked.of is Component.SIZE:
            sample = _as_run_out(sample, asked) if asked.is_run_out else _as_drawn(sample, asked)
        mean, sd, least, greatest, share_below, share_above = sample
        parts = places / asked.places_of_part
        return Figures(
            places,
            mean,
            sd,
            least,
            greatest,
            cp(sd, asked.lower, asked.upper),
            cpk(mean, sd, asked.lower, asked.upper),
            cpm(mean, sd, asked.lower, asked.upper, asked.aim),
            share_below,
            share_above,
            int(tally.unclean[number]) / places if places else math.nan,
            asked.loss_factor * float(tally.capped[number, asked.of]) / parts if parts else math.nan,
        )


def characteristics(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each component that the drawing limits, over all places of the shipped parts.

    Parameters
    ----------
    works, plan : Works, Plan
        What was run.
    tally : Tally
        What the run left behind; true values, not gauge readings.

    Returns
    -------
    DataFrame
        With the columns of `COLUMNS`. ``unit`` holds for lower, upper, aim, mean, sd, least and greatest: mm for a
        size, as the drawing reads it, µm for all else. ``places`` counts what was measured; sd is that of
        a sample (n - 1). ``share_not_cleaned_up`` is the feature's, in each of its rows. Loss is money per shipped
        part, all its places together. What cannot be said is not a number: a limit not given, Cp of a one-sided
        tolerance, figures of a feature of which nothing was shipped.

    Notes
    -----
    The run keeps the signed error of a run-out. The mean of its size, 2 |e|, is that of the folded normal distribution
    with the same mean and spread; see `linesim.quality.capability.folded`.
    """
    of_plan, rows = Characteristics(works, plan), []
    for asked in of_plan.asked:
        figures = of_plan.figures(asked, tally)._asdict()
        limits = {"lower": asked.lower if math.isfinite(asked.lower) else math.nan, "upper": asked.upper}
        head = {"line": asked.line, "feature": asked.feature, "characteristic": asked.of.words}
        rows.append(head | {"unit": asked.unit} | limits | {"aim": asked.aim} | figures)
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _asked(line: str, name: str, feature: Feature, number: int, of: Component, places: int) -> Asked:
    is_size, is_run_out = of is Component.SIZE, feature.kind == "run-out"
    return Asked(
        line,
        name,
        number,
        of,
        "mm" if is_size else "µm",
        *_limits(feature, of),
        drawing_scale(feature) / 1000.0 if is_size else 0.0,
        is_run_out,
        places,
        loss_factor(feature, of),
    )


def _limits(feature: Feature, of: Component) -> tuple[float, float, float]:
    """Lower limit, upper limit and aim as the drawing gives them; minus infinity where smaller is better."""
    if of is Component.SIZE:
        assert feature.size is not None
        low, high = feature.size.limits
        return (-math.inf if feature.kind == "run-out" else low), high, aim_mm(feature)
    low, high = limits_um(feature, of)
    if of is Component.ROUGHNESS and feature.roughness is not None:
        return (-math.inf if feature.roughness.limits is None else low), high, feature.roughness.best
    return (low if of.is_signed else -math.inf), high, 0.0


def _sample(number: int, of: Component, places: int, tally: Tally) -> _Sample:
    """Figures of the model's own quantity, µm."""
    if not places:
        return _Sample(*[math.nan] * 6)
    total, square = float(tally.total[number, of]), float(tally.square[number, of])
    mean = total / places
    variance = max(square - total * mean, 0.0) / (places - 1) if places > 1 else math.nan
    return _Sample(
        mean,
        math.sqrt(variance),
        float(tally.least[number, of]),
        float(tally.greatest[number, of]),
        int(tally.below[number, of]) / places,
        int(tally.above[number, of]) / places,
    )


def _as_drawn(sample: _Sample, asked: Asked) -> _Sample:
    """The error turned into the size that the drawing reads, mm."""
    scale, aim = asked.scale_mm_um, asked.aim
    ends = sorted((aim + scale * sample.least, aim + scale * sample.greatest))
    shares = (sample.share_below, sample.share_above)
    below, above = shares if scale > 0.0 else shares[::-1]
    return _Sample(aim + scale * sample.mean, abs(scale) * sample.sd, ends[0], ends[1], below, above)


def _as_run_out(sample: _Sample, asked: Asked) -> _Sample:
    """The signed error turned into the run-out read, mm."""
    scale = asked.scale_mm_um
    mean, sd = folded(sample.mean, sample.sd)
    sizes = (abs(sample.least), abs(sample.greatest))
    least = 0.0 if sample.least <= 0.0 <= sample.greatest else min(sizes)
    out = sample.share_below + sample.share_above
    below = math.nan if math.isnan(out) else 0.0
    return _Sample(scale * mean, scale * sd, scale * least, scale * max(sizes), below, out)
