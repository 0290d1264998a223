"""What a run tells beside the figures of its lines, as one array under heads that are the same for every run of a plan.

Waits, stock, people and sharp sets, characteristics and capability: the figures of the tables of operations, people,
sets and characteristics that a study gives with an interval; and what went wrong (`linesim.result.trouble_details`).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Tally
from linesim.result.characteristics import Characteristics
from linesim.result.crib_tables import GRINDERS, people_columns, set_columns
from linesim.result.floor_tables import operation_columns
from linesim.result.staffing import staffed_shifts, staffing_columns
from linesim.result.trouble_details import TROUBLE_FIGURES, Troubles
from linesim.result.type_details import type_heads, type_values
from linesim.works.model import Works

__all__ = ["DETAIL_FIGURES", "Detail", "Details"]

DETAIL_FIGURES: dict[str, dict[str, str]] = {
    "operation": {"mean_stock": "parts", "mean_wait_min": "min", "share_waited": "", "first_pass_share": ""},
    "people": {"busy_share": "", "mean_wait_min": "min", "mean_queue": "jobs"},
    "shift": {"attended_min": "min", "worked_min": "min", "beyond_min": "min", "free_min": "min", "waited_min": "min"},
    "cutter": {"mean_wait_min": "min", "wait_share": "", "mean_sharp": "sets"},
    "characteristic": {
        "mean": "", "sd": "", "cp": "", "cpk": "", "share_below": "", "share_above": "", "share_out": "",
        "share_not_cleaned_up": "",
    },
    **TROUBLE_FIGURES,
}  # fmt: skip
"""Figures by what they are of, with their units; a share of 1 and a capability have none, a size that of its row."""


class Detail(NamedTuple):
    """What one figure is of.

    Attributes
    ----------
    of : str
        What kind of thing: a key of `DETAIL_FIGURES`.
    line, operation : str
        Where; empty for what all lines share, and for what belongs to no operation.
    name : str
        Name of the pool, of the kind of cutter, of the feature, of the cut or cutter that is blamed, of the test or the
        failure; empty for an operation.
    characteristic : str
        size, roughness or scratch; of blame its cause, of a test or failure what it is charged to; of people who do not
        always attend alike the shift of the day; empty for all else.
    figure, unit : str
        Column of the table in which a run gives it, and its unit.
    """

    of: str
    line: str
    operation: str
    name: str
    characteristic: str
    figure: str
    unit: str


class Details:
    """Heads of the figures of a plan, and what a run puts under them.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run. Plans of one works under several policies have the same heads.

    Attributes
    ----------
    heads : tuple of Detail
        One for each figure.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        self._works, self._plan = works, plan
        self._characteristics = Characteristics(works, plan)
        stations = stations_of(works, plan)
        named = {
            "operation": [(*station.location, "", "") for station in stations],
            "people": [("", "", name, "") for name in (*plan.names.pools, GRINDERS)],
            "shift": [("", "", row.pool, f"shift {row.shift}") for row in staffed_shifts(works, plan)],
            "cutter": [("", "", name, "") for name in plan.names.kinds],
        }
        heads = [
            Detail(of, *each, figure, unit)
            for of, rows in named.items()
            for figure, unit in DETAIL_FIGURES[of].items()
            for each in rows
        ]
        for figure in DETAIL_FIGURES["characteristic"]:
            for asked in self._characteristics.asked:
                unit = asked.unit if figure in {"mean", "sd"} else ""
                heads.append(
                    Detail("characteristic", asked.line, "", asked.feature, asked.of.name.lower(), figure, unit)
                )
        self._troubles = Troubles(works, plan)
        self.heads = (*heads, *(Detail(*head) for head in (*self._troubles.heads, *type_heads(works))))

    def values(self, tally: Tally) -> Floats:
        """The figures of a run, to the last bit those of its tables.

        Parameters
        ----------
        tally : Tally
            Of a run of the plan.

        Returns
        -------
        array of float, (heads,)
            Not a number where there is nothing to divide by.
        """
        works, plan = self._works, self._plan
        columns = {
            "operation": operation_columns(plan, tally),
            "people": people_columns(plan, tally),
            "shift": staffing_columns(works, tally),
            "cutter": set_columns(works, plan, tally),
        }
        blocks: list[Ints | Floats] = [columns[of][figure] for of in columns for figure in DETAIL_FIGURES[of]]
        own = [self._characteristics.figures(asked, tally) for asked in self._characteristics.asked]
        blocks += [
            np.array([getattr(figures, figure) for figures in own], dtype=np.float64)
            for figure in DETAIL_FIGURES["characteristic"]
        ]
        blocks += [*self._troubles.values(tally), *type_values(works, plan, tally)]
        return np.concatenate(blocks).astype(np.float64, copy=False)
