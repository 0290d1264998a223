"""The characteristics of the shipped parts: what the drawing asks for, what was made, capability, share out, loss."""

from __future__ import annotations

import math
from typing import NamedTuple

import pandas as pd

from linesim.plan.tables import Plan
from linesim.plan.tally import Characteristic, Tally
from linesim.quality.capability import cp, cpk, cpm, folded
from linesim.quality.limits import (
    aim_mm,
    drawing_scale,
    loss_factor_roughness,
    loss_factor_scratch,
    loss_factor_size,
)
from linesim.works.features import Feature
from linesim.works.model import Works

__all__ = ["COLUMNS", "characteristics"]

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


def characteristics(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each size, roughness and scratch that the drawing limits, over all places of the shipped parts.

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
        size, as the drawing reads it, µm for roughness and scratch. ``places`` counts what was measured; sd is that of
        a sample (n - 1). ``share_not_cleaned_up`` is the feature's, in each of its rows. Loss is money per shipped
        part, all its places together. What cannot be said is not a number: a limit not given, Cp of a one-sided
        tolerance, figures of a feature of which nothing was shipped.

    Notes
    -----
    The run keeps the signed error of a run-out. The mean of its size, 2 |e|, is that of the folded normal law with the
    same mean and spread; see `linesim.quality.capability.folded`.
    """
    number, rows = 0, []
    for name, line in works.lines.items():
        for feature_name, feature in line.features.items():
            for of in Characteristic:
                row = _row(feature, number, of, plan, tally)
                if row is not None:
                    rows.append({"line": name, "feature": feature_name, **row})
            number += 1
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _row(feature: Feature, number: int, of: Characteristic, plan: Plan, tally: Tally) -> dict[str, object] | None:
    """All columns but the names; None where the drawing asks for nothing."""
    asked = {
        Characteristic.SIZE: feature.size,
        Characteristic.ROUGHNESS: feature.roughness,
        Characteristic.SCRATCH: feature.scratch,
    }[of]
    if asked is None:
        return None
    places = int(tally.places[number])
    lower, upper, aim = _limits(feature, of)
    sample = _sample(number, of, places, tally)
    if of is Characteristic.SIZE:
        sample = _as_run_out(sample, feature) if feature.kind == "run-out" else _as_drawn(sample, feature)
    mean, sd, least, greatest, share_below, share_above = sample
    parts = places / int(plan.features.places[number])
    return {
        "characteristic": of.name.lower(),
        "places": places,
        "unit": "mm" if of is Characteristic.SIZE else "µm",
        "lower": lower if math.isfinite(lower) else math.nan,
        "upper": upper,
        "aim": aim,
        "mean": mean,
        "sd": sd,
        "least": least,
        "greatest": greatest,
        "cp": cp(sd, lower, upper),
        "cpk": cpk(mean, sd, lower, upper),
        "cpm": cpm(mean, sd, lower, upper, aim),
        "share_below": share_below,
        "share_above": share_above,
        "share_not_cleaned_up": int(tally.unclean[number]) / places if places else math.nan,
        "loss_per_part": _factor(feature, of) * float(tally.capped[number, of]) / parts if parts else math.nan,
    }


def _limits(feature: Feature, of: Characteristic) -> tuple[float, float, float]:
    """Lower limit, upper limit and aim as the drawing gives them; minus infinity where smaller is better."""
    if of is Characteristic.SIZE:
        assert feature.size is not None
        low, high = feature.size.limits
        return (-math.inf if feature.kind == "run-out" else low), high, aim_mm(feature)
    asked = feature.roughness if of is Characteristic.ROUGHNESS else feature.scratch
    assert asked is not None
    return -math.inf, asked.limit, 0.0


def _factor(feature: Feature, of: Characteristic) -> float:
    factors = {
        Characteristic.SIZE: loss_factor_size,
        Characteristic.ROUGHNESS: loss_factor_roughness,
        Characteristic.SCRATCH: loss_factor_scratch,
    }
    return factors[of](feature)


def _sample(number: int, of: Characteristic, places: int, tally: Tally) -> _Sample:
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


def _as_drawn(sample: _Sample, feature: Feature) -> _Sample:
    """The error turned into the size that the drawing reads, mm."""
    scale, aim = drawing_scale(feature) / 1000.0, aim_mm(feature)
    ends = sorted((aim + scale * sample.least, aim + scale * sample.greatest))
    shares = (sample.share_below, sample.share_above)
    below, above = shares if scale > 0.0 else shares[::-1]
    return _Sample(aim + scale * sample.mean, abs(scale) * sample.sd, ends[0], ends[1], below, above)


def _as_run_out(sample: _Sample, feature: Feature) -> _Sample:
    """The signed error turned into the run-out read, mm."""
    scale = drawing_scale(feature) / 1000.0
    mean, sd = folded(sample.mean, sample.sd)
    sizes = (abs(sample.least), abs(sample.greatest))
    least = 0.0 if sample.least <= 0.0 <= sample.greatest else min(sizes)
    out = sample.share_below + sample.share_above
    below = math.nan if math.isnan(out) else 0.0
    return _Sample(scale * mean, scale * sd, scale * least, scale * max(sizes), below, out)
