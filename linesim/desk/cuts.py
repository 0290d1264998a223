"""The table of cuts."""

from __future__ import annotations

from typing import Any

import pandas as pd

from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey
from linesim.works.crib import Cutter
from linesim.works.model import Works
from linesim.works.operations import Cut

__all__ = ["CUT_COLUMNS", "cut_table"]

CUT_COLUMNS = [
    "line",
    "operation",
    "stroke",
    "cut",
    "feature",
    "process",
    "cutter",
    "spindle_rpm",
    "feed_rate_mm_min",
    "pass_min",
    "passes",
    "cut_min",
    "power_kw",
    "rating_kw",
    "cutting_force_n",
    "radial_force_n",
    "stiffness_n_um",
    "copying_percent",
    "life_min",
    "parts_per_edge",
    "sharp_ra_um",
    "assumed",
]
"""Columns of the table; a speed, a force or a rating that is not known is left empty."""


def cut_table(works: Works, figures: dict[CutKey, CutFigures], sets: pd.DataFrame) -> pd.DataFrame:
    """What follows from each cut as it is described.

    Parameters
    ----------
    works : Works
        The checked scenario.
    figures : dict
        Figures of every cut.
    sets : pandas.DataFrame
        The table of sets, for the parts that an edge lasts.

    Returns
    -------
    pandas.DataFrame
        Columns `CUT_COLUMNS`; power at the motor with a sharp edge, copying in per cent of the error found.
    """
    lasting = sets.set_index(["line", "operation", "cutter"])["parts_per_edge"]
    rows = [_row(works, key, found, lasting) for key, found in figures.items()]
    return pd.DataFrame(rows, columns=CUT_COLUMNS)


def _row(works: Works, key: CutKey, found: CutFigures, lasting: pd.Series[float]) -> dict[str, Any]:
    """One cut."""
    line, operation_name, stroke, name = key
    operation = works.lines[line].operations[operation_name]
    cut = operation.strokes[stroke].cuts[name]
    return {
        "line": line,
        "operation": operation_name,
        "stroke": stroke,
        "cut": name,
        "feature": cut.feature,
        "process": cut.process,
        "cutter": cut.cutter,
        "spindle_rpm": found.spindle_rpm or None,
        "feed_rate_mm_min": found.feed_rate_mm_min or None,
        "pass_min": found.pass_min,
        "passes": found.passes,
        "cut_min": found.cut_min,
        "power_kw": found.power_kw or None,
        "rating_kw": operation.power,
        "cutting_force_n": found.cutting_force_n or None,
        "radial_force_n": found.radial_force_n or None,
        "stiffness_n_um": found.stiffness_n_um,
        "copying_percent": 100.0 * found.copying,
        "life_min": found.life_min,
        "parts_per_edge": float(lasting[line, operation_name, cut.cutter]),
        "sharp_ra_um": found.sharp_roughness_um,
        "assumed": "; ".join(_assumed(cut, works.cutters[cut.cutter], found)),
    }


def _assumed(cut: Cut, cutter: Cutter, found: CutFigures) -> list[str]:
    """What was taken from the handbook because the scenario does not say."""
    by_grade = {
        "edge life": cutter.life is None,
        "scatter of life": cutter.life_cv is None,
        "breaking": cutter.breaking == "by grade",
    }
    taken = [name for name, is_taken in by_grade.items() if is_taken]
    assumed = list(found.assumed)
    if taken:
        assumed.append(f"{', '.join(taken)} by grade {cutter.grade}")
    if cut.stress_release is None:
        assumed.append("movement let go by the material")
    return assumed
