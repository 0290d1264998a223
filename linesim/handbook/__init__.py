"""Materials, cutter grades, abrasives and typical stiffness, each figure with its source and the strength of it.

The figures live in the data files of this folder; this room hands them out and computes nothing. They are starting
points for planning: a shop's own records, the cutter maker's data and the machine maker's limits go before them.
"""

from linesim.handbook.reader import (
    FAMILIES,
    STRENGTHS,
    Abrasive,
    Grade,
    HandbookError,
    Material,
    Modulus,
    Stiffness,
    abrasives,
    grade_for,
    grades,
    machine_stiffness,
    materials,
    moduli,
)

__all__ = [
    "FAMILIES",
    "STRENGTHS",
    "Abrasive",
    "Grade",
    "HandbookError",
    "Material",
    "Modulus",
    "Stiffness",
    "abrasives",
    "grade_for",
    "grades",
    "machine_stiffness",
    "materials",
    "moduli",
]
