"""The table of cuts."""

from __future__ import annotations

from typing import Any

import pandas as pd

from linesim.plan.cuts import CutFigures
from linesim.plan.figures import CutKey
from linesim.plan.levers import setting_error_um
from linesim.words import keep
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
    "force_growth",
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
    rows = [_row(works, key, answer, lasting) for key, answer in figures.items()]
    return pd.DataFrame(rows, columns=CUT_COLUMNS)


def _row(works: Works, key: CutKey, answer: CutFigures, lasting: pd.Series[float]) -> dict[str, Any]:
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
        "spindle_rpm": answer.spindle_rpm or None,
        "feed_rate_mm_min": answer.feed_rate_mm_min or None,
        "pass_min": answer.pass_min,
        "passes": answer.passes,
        "cut_min": answer.cut_min,
        "power_kw": answer.power_kw or None,
        "rating_kw": operation.power,
        "cutting_force_n": answer.cutting_force_n or None,
        "radial_force_n": answer.radial_force_n or None,
        "force_growth": answer.force_growth if answer.radial_force_n else None,
        "stiffness_n_um": answer.stiffness_n_um,
        "copying_percent": 100.0 * answer.copying,
        "life_min": answer.life_min,
        "parts_per_edge": float(lasting[line, operation_name, cut.cutter]),
        "sharp_ra_um": answer.sharp_roughness_um,
        "assumed": "; ".join(_assumed(cut, works.cutters[cut.cutter], answer)),
    }


def _assumed(cut: Cut, cutter: Cutter, answer: CutFigures) -> list[str]:
    """What was taken from the handbook because the scenario does not say."""
    by_grade = {
        keep("desk.life"): cutter.life_min is None,
        keep("desk.scatter"): cutter.life_cv is None,
        keep("desk.breaking"): cutter.breaking == "by grade",
    }
    taken = [name for name, is_taken in by_grade.items() if is_taken]
    assumed = list(answer.assumed)
    if taken:
        assumed.append(keep("desk.by_grade", taken=taken, grade=cutter.grade))
    if cutter.seat is not None and cutter.setting.error is None:
        assumed.append(keep("desk.setting", error=setting_error_um(cutter)))
    if cut.stress_release is None:
        assumed.append(keep("typical.movement let go by the material"))
    return assumed
