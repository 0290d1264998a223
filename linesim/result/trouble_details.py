"""What went wrong in a run, as one array under heads that are the same for every run of a works.

Blame, hidden faults, first pieces, tests and failures in the field: the figures of their tables that a study gives
with an interval.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import Tally
from linesim.result.first_pieces import first_piece_columns
from linesim.result.later_tables import later_columns, later_heads
from linesim.result.trouble_tables import fault_columns, line_of_gauges, suspect_of
from linesim.works.model import Works

__all__ = ["TROUBLE_FIGURES", "TroubleHead", "Troubles"]

TROUBLE_FIGURES: dict[str, dict[str, str]] = {
    "blame": {"turned_down": "readings"},
    "fault": {
        "turned_bad": "times", "detected": "times", "unseen_min": "min", "made_bad": "parts", "shipped_bad": "parts",
        "shipped_bad_out": "parts",
    },
    "first piece": {
        "gauged": "parts", "corrected": "parts", "scrapped": "parts", "salvaged": "parts", "stood_min": "min",
    },
    "test": {"tested": "parts", "turned_down": "parts", "repairs": "parts", "scrapped": "parts"},
    "field": {"failures": "parts"},
}  # fmt: skip
"""Figures by what they are of, with their units."""


class TroubleHead(NamedTuple):
    """What one figure is of; see `linesim.result.details.Detail`."""

    of: str
    line: str
    operation: str
    name: str
    what: str
    figure: str
    unit: str


class Troubles:
    """Heads of what can go wrong in a works, and what a run puts under them.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run.

    Attributes
    ----------
    heads : tuple of TroubleHead
        One for each figure.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        self._plan = plan
        stations = stations_of(works, plan)
        faulty = [station for station in stations if station.spec.turns_bad is not None]
        gauging = [station for station in stations if station.spec.first_piece is not None]
        self._faulty, self._gauging = ([each.number for each in some] for some in (faulty, gauging))
        later = list(enumerate(later_heads(works, plan)))
        tests, field = ([(at, head) for at, head in later if head.where == where] for where in ("test", "field"))
        self._tests, self._field = ([at for at, _ in some] for some in (tests, field))
        blamed = self._blamed(set(self._faulty))
        named = {
            "blame": blamed,
            "fault": _locations(faulty),
            "first piece": _locations(gauging),
            "test": [(head.line, "", head.test, head.what) for _, head in tests],
            "field": [(head.line, "", head.test, head.what) for _, head in field],
        }
        self._n_blamed = len(blamed)
        self.heads = tuple(
            TroubleHead(of, *each, figure, unit)
            for of, rows in named.items()
            for figure, unit in TROUBLE_FIGURES[of].items()
            for each in rows
        )

    def _blamed(self, faulty: set[int]) -> list[tuple[str, str, str, str]]:
        """Whom the gauges of a line can charge: its own cuts, its machines that can turn bad, and all else.

        For every gauge and suspect it notes which of them it is; the number behind all of them is nobody.
        """
        plan = self._plan
        lines, cuts = line_of_gauges(plan), len(plan.names.cuts)
        operations = [*plan.cuts.operation.tolist(), *range(len(plan.names.operations))]
        keys: dict[tuple[str, str, str, str], int] = {}
        which = np.full((len(lines), len(operations) + 1), NONE, dtype=np.intp)
        for gauge, line in enumerate(lines.tolist()):
            for suspect in range(len(operations) + 1):
                if suspect < len(operations):
                    operation = operations[suspect]
                    is_fault = suspect >= cuts
                    if plan.operations.line[operation] != line or (is_fault and operation not in faulty):
                        continue
                of = suspect_of(plan, gauge, suspect)
                key = (plan.names.lines[line], of.of_operation, of.cut or of.cutter, of.cause)
                which[gauge, suspect] = keys.setdefault(key, len(keys))
        self._which = np.where(which == NONE, len(keys), which).ravel()
        return list(keys)

    def values(self, tally: Tally) -> list[Ints | Floats]:
        """The figures of a run, block by block.

        Parameters
        ----------
        tally : Tally
            Of a run of the plan.
        """
        n, plan = self._n_blamed, self._plan
        blocks: list[Ints | Floats] = []
        if n:
            blocks.append(np.bincount(self._which, tally.charged.ravel(), n + 1)[:n])
        if self._faulty:
            faults = fault_columns(plan, tally)
            blocks += [faults[figure][self._faulty] for figure in TROUBLE_FIGURES["fault"]]
        if self._gauging:
            first = first_piece_columns(plan, tally)
            blocks += [first[figure][self._gauging] for figure in TROUBLE_FIGURES["first piece"]]
        if self._tests or self._field:
            later = later_columns(plan, tally)
            blocks += [later[figure][self._tests] for figure in TROUBLE_FIGURES["test"]]
            blocks += [later[figure][self._field] for figure in TROUBLE_FIGURES["field"]]
        return blocks


def _locations(stations: Iterable[Station]) -> list[tuple[str, str, str, str]]:
    """Line and operation, and nothing more."""
    return [(*station.location, "", "") for station in stations]
