"""Growth of roughness with wear against M. C. Pereira, doi 10.5281/zenodo.17438392; see tests/data/SOURCES.md."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from linesim.cutting.surface import worn_ra_um
from linesim.handbook import grades

ROWS = pd.read_csv(Path(__file__).parents[1] / "data" / "turning_roughness.csv")


def worn_over_new(diameter_mm: int) -> pd.Series:
    """Median Ra of worn over new tools, by position along the shaft."""
    rows = ROWS[ROWS.diameter_mm == diameter_mm]
    median = rows.groupby(["position", rows.VB_nominal_mm > 0.0]).Ra_um.median().unstack()
    return median[True] / median[False]


def test_a_worn_edge_leaves_a_stiff_shaft_rougher() -> None:
    """50 mm shaft: 1.60-1.67 at each of three positions (derived from the data)."""
    ratios = worn_over_new(50)
    assert len(ratios) == 3
    assert ratios.min() == pytest.approx(1.60, abs=0.01)
    assert ratios.max() == pytest.approx(1.67, abs=0.01)


def test_the_law_with_the_handbook_growth_for_steel_gives_that_ratio() -> None:
    """c_R 0.6 at the full land: within 5 % of every position."""
    grade = grades()["coated carbide", "steel"]
    ours = worn_ra_um(2.0, grade.roughness_growth, 1.0, grade.roughness_power, grade.roughness_past, 0.0) / 2.0
    assert np.abs(ours / worn_over_new(50) - 1.0).max() < 0.05
    assert grade.strengths["roughness_growth"] == "derived"
    assert grades()["coated carbide", "grey iron"].strengths["roughness_growth"] == "assumption"


def test_the_sign_is_not_universal() -> None:
    """30 mm shaft at the live centre: 0.74, a worn tool leaves it smoother (derived from the data)."""
    assert worn_over_new(30)["Live centre"] == pytest.approx(0.74, abs=0.01)
