"""Which handbook figures a works leans on, and where they come from."""

from __future__ import annotations

import pandas as pd

from linesim.handbook.entries import Entry
from linesim.plan.coefficients import coefficients_of
from linesim.works.model import Line, Works

__all__ = ["SOURCE_COLUMNS", "source_table"]

SOURCE_COLUMNS = ["entry", "figure", "source", "strength"]


def source_table(works: Works) -> pd.DataFrame:
    """Figures of the materials, grades and abrasives that a works names, with their sources.

    Parameters
    ----------
    works : Works
        The checked scenario; a figure of its own has itself as source.

    Returns
    -------
    pandas.DataFrame
        Columns `SOURCE_COLUMNS`; strength is read, memory, derived or assumption.
    """
    entries = _entries_of(works)
    rows = [
        (label, figure, source, entry.strengths.get(figure, ""))
        for label, entry in entries.items()
        for figure, source in entry.sources.items()
    ]
    return pd.DataFrame(rows, columns=SOURCE_COLUMNS)


def _entries_of(works: Works) -> dict[str, Entry]:
    """Entries that the cuts of a works use, each once."""
    coefficients = coefficients_of(works)
    answer: dict[str, Entry] = {}
    for line in works.lines.values():
        if line.material is None:
            continue
        answer[line.material] = coefficients.materials[line.material]
        for name in _cutters_of(line):
            grade = works.cutters[name].grade
            abrasive = coefficients.abrasives.get(str(grade))
            entry = abrasive or coefficients.grade(str(grade), line.material)
            if entry is not None:
                label = str(grade) if abrasive else f"{grade} on {coefficients.materials[line.material].family}"
                answer.setdefault(label, entry)
    return answer


def _cutters_of(line: Line) -> list[str]:
    """Cutter sets that the cuts of a line use, one name per cut."""
    strokes = [stroke for operation in line.operations.values() for stroke in operation.strokes.values()]
    return [cut.cutter for stroke in strokes for cut in stroke.cuts.values()]
