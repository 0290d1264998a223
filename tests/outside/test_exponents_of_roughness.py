"""Powers of feed and depth in the roughness of open turning tests, and how far the law of finish has them.

Data: M. C. Pereira, doi 10.5281/zenodo.17438392 (free-cutting steel; see tests/data/SOURCES.md), suspect rows left
out; strong, 600 readings for each of four shafts. The powers quoted for A. D. Canal and A. V. Borille, doi
10.34740/kaggle/ds/2205074 (tool steel as hard as grey iron, 54 runs, new edges) are taken from a fit to it that was
printed elsewhere, as its rows may not be passed on: weaker. None of these is grey iron; for that no regression with a
printed power of depth was found. The law's power of depth, 0.3 in turning and boring, is assumed within 0 to 0.4.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from linesim.cutting.surface import theoretical_ra_um
from linesim.cutting.teeth import depth_factor, iron_ra_um
from linesim.handbook.processes import usual

ROWS = pd.read_csv(Path(__file__).parents[1] / "data" / "turning_roughness.csv").query("suspect == 0")
NOSE_MM = 0.8

PRINTED = {
    (50, 0.0): (0.58336, 0.39403),
    (50, 0.3): (0.21413, -0.22561),
    (30, 0.0): (-0.22742, 0.58590),
    (30, 0.3): (0.82888, 0.64531),
}
"""Powers of feed and depth by diameter and wear land, mm: fitted before, perhaps with some rows weighed otherwise."""

TOOL_STEEL = (1.4711, -0.049421)
"""The same, new edges; the standard errors are 0.15 and 0.08."""

ERRORS_OF_DEPTH = {(50, 0.0): 0.16, (50, 0.3): 0.15, (30, 0.0): 0.14, (30, 0.3): 0.25}
"""Standard errors of the power of depth, as they came with the fits."""


def powers(rows: pd.DataFrame, ra_um: pd.Series) -> tuple[float, float]:
    """Least squares of ln Ra on ln feed and ln depth."""
    of = np.column_stack([np.ones(len(rows)), np.log(rows.f_mm_rev), np.log(rows.d_mm)])
    _, feed, depth = np.linalg.lstsq(of, np.log(ra_um), rcond=None)[0]
    return float(feed), float(depth)


def of_shaft(shaft: tuple[int, float]) -> pd.DataFrame:
    diameter_mm, land_mm = shaft
    return ROWS[(ROWS.diameter_mm == diameter_mm) & (ROWS.VB_nominal_mm == land_mm)]


def foretold(rows: pd.DataFrame) -> pd.Series:
    """Ra by the law at the feeds and depths of some rows; a sharp edge."""
    rougher = usual("boring").rougher_by_depth
    each = [
        iron_ra_um(theoretical_ra_um(feed, NOSE_MM), 0.0, 0.0, depth_factor(depth, rougher))
        for feed, depth in zip(rows.f_mm_rev, rows.d_mm, strict=True)
    ]
    return pd.Series(each, index=rows.index)


@pytest.mark.parametrize("shaft", PRINTED)
def test_powers_of_feed_and_depth_in_the_open_data(shaft: tuple[int, float]) -> None:
    """All eight within 0.004 of what was printed (derived from the data)."""
    rows = of_shaft(shaft)
    assert powers(rows, rows.Ra_um) == pytest.approx(PRINTED[shaft], abs=0.004)


def test_the_laws_power_of_depth_is_met_on_two_shafts_in_four_and_not_in_tool_steel() -> None:
    """Within two standard errors: the new edge on the stiff shaft and the worn one on the slim shaft.

    Misses: a worn edge on the stiff shaft is smoother for depth (-0.23), a slim shaft with a new edge 0.59, which gives
    way; in tool steel depth says nothing (-0.05). By the law depth below 0.5 mm says nothing, and above it 0.3.
    """
    assert powers(of_shaft((50, 0.0)), foretold(of_shaft((50, 0.0))))[1] == pytest.approx(0.3, abs=1e-9)
    law = usual("boring").rougher_by_depth
    near = {shaft for shaft, error in ERRORS_OF_DEPTH.items() if abs(PRINTED[shaft][1] - law) < 2.0 * error}
    assert near == {(50, 0.0), (30, 0.3)}
    assert abs(TOOL_STEEL[1] - law) > 2.0 * 0.08
    assert 0.0 < law < max(depth for _, depth in PRINTED.values())


def test_the_laws_power_of_feed_is_a_miss_at_fine_feeds() -> None:
    """A sharp nose has 2; measured 1.47 ± 0.15 in tool steel and -0.2 to 0.8 in free-cutting steel, at 0.07 to 0.13 mm.

    A miss: at feeds so fine the edge smears and rubs, which the law has only where the radius of the edge is given. The
    floor of iron lowers the law's power as well; no test on iron is known that would say by how much.
    """
    rows = of_shaft((50, 0.0))
    law = powers(rows, foretold(rows))[0]
    assert law == pytest.approx(2.0, abs=1e-9)
    assert all(feed < 0.5 * law for feed, _ in PRINTED.values())
    assert 2.0 * 0.15 < law - TOOL_STEEL[0] < 4.0 * 0.15
