"""What the models cannot see one by one: names that lead nowhere, and figures that do not fit one another.

All checks run on what the models have accepted of a scenario, and all that is wrong is told together; what may only
come of an entry that the models refused is not told. A set of an operation that is given by its minutes alone needs no
life: without one it never dulls and never breaks.
"""

from __future__ import annotations

from linesim.errors import Problem
from linesim.works.checks_branches import check_branches
from linesim.works.checks_crib import check_crib
from linesim.works.checks_cuts import check_cuts
from linesim.works.checks_engine import check_engine
from linesim.works.checks_first_piece import check_first_pieces
from linesim.works.checks_handbook import check_handbook, known_names
from linesim.works.checks_joining import check_joining
from linesim.works.checks_later import check_later
from linesim.works.checks_levers import check_levers
from linesim.works.checks_magazine import check_magazines
from linesim.works.checks_marks import check_marks
from linesim.works.checks_names import check_names
from linesim.works.checks_now import check_now
from linesim.works.checks_people import check_people
from linesim.works.checks_placing import check_placing
from linesim.works.checks_policies import check_policies
from linesim.works.checks_probe import check_probes
from linesim.works.checks_room import check_measuring_rooms
from linesim.works.checks_shape import check_shape
from linesim.works.checks_types import check_types
from linesim.works.model import Works
from linesim.works.nodes import Path
from linesim.works.report import Report

__all__ = ["check", "known_names"]


def check(works: Works, gone: frozenset[Path] = frozenset()) -> list[Problem]:
    """Return everything that is wrong across the parts of a works.

    Parameters
    ----------
    works : Works
        Accepted by the models.
    gone : frozenset of tuple
        Places of entries that were taken out of it, because they are wrong; what may only come of that is not told.

    Returns
    -------
    list of Problem
        In the order of files and lines; empty if all fits.
    """
    report = Report(works, gone)
    looks = (
        check_names, check_crib, check_cuts, check_handbook, check_placing, check_policies, check_levers,
        check_first_pieces, check_engine, check_later, check_shape, check_now, check_types, check_measuring_rooms,
        check_people, check_branches, check_magazines, check_marks, check_probes, check_joining,
    )  # fmt: skip
    for look in looks:
        look(report)
    return sorted(dict.fromkeys(report.problems), key=lambda problem: (problem.file, problem.line or 0))
