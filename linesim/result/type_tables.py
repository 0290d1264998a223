"""Tables and sentences on part types and the changeovers between them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd

from linesim.errors import quoted
from linesim.ledger.part_types import of_types
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import State, Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.words import keep
from linesim.works.model import Works
from linesim.works.types_of import casting_prices, worths, worths_shipped_out

__all__ = ["changeover_sentences", "changeover_table", "type_table"]

_MUCH = 0.15
"""Share of their time that machines may change over before it is remarked upon (common practice)."""


def type_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each part type of the lines that say which they make.

    Returns
    -------
    DataFrame
        line, part_type; castings, shipped, in_limits (shipped with nothing out of limits), scrapped, scrap_share and
        first_pass_yield (both of all that left the line), good_per_hour (shipped), mean_lead_min;
        worth_less_castings_per_hour: worth of the shipped parts, less what is given up for those out of the drawing
        and the castings drawn. What else the line costs is not parted by type.
    """
    lines = list(works.lines.values())
    named = [(line, kind) for line, row in works.lines.items() for kind in tuple(row.parts) or ("",)]
    castings = of_types(plan, tally.castings, tally.castings_of_type)
    shipped = of_types(plan, tally.shipped, tally.shipped_of_type)
    scrapped = of_types(plan, tally.scrapped_parts, tally.scrapped_of_type.sum(axis=0))
    out = of_types(plan, tally.parts_out, tally.out_of_type)
    hours = tally.counted_min / 60.0
    worth, worth_out, price = (
        np.array([each for line in lines for each in values(line)])
        for values in (worths, worths_shipped_out, casting_prices)
    )
    table = pd.DataFrame(
        {
            "line": [line for line, _ in named],
            "part_type": [kind for _, kind in named],
            "castings": castings.astype(np.int64),
            "shipped": shipped.astype(np.int64),
            "in_limits": (shipped - out).astype(np.int64),
            "scrapped": scrapped.astype(np.int64),
            "scrap_share": per(scrapped, shipped + scrapped),
            "first_pass_yield": per(_first_pass(plan, tally), shipped + scrapped),
            "good_per_hour": per(shipped, hours),
            "mean_lead_min": per(of_types(plan, tally.lead_min, tally.lead_of_type), shipped),
            "worth_less_castings_per_hour": per(worth * shipped - (worth - worth_out) * out - price * castings, hours),
        }
    )
    return table[[bool(works.lines[line].parts) for line, _ in named]].reset_index(drop=True)


def _first_pass(plan: Plan, tally: Tally) -> Floats:
    return of_types(plan, tally.shipped_first_pass, tally.first_pass_of_type)


def changeover_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each operation that has a changeover.

    Returns
    -------
    DataFrame
        line, operation; changeovers (of its machines), minutes (for which they changed over, the wait for whoever makes
        it left out), min_per_changeover, parts_per_changeover, share of the machines' time.
    """
    stations = [station for station in stations_of(works, plan) if station.spec.changeover is not None]
    numbers = [station.number for station in stations]
    machines = (plan.operations.end_machine - plan.operations.first_machine)[numbers]
    count = by_operation(plan, tally.changeovers)[numbers]
    minutes = by_operation(plan, tally.state_min)[numbers, State.CHANGING_OVER]
    return pd.DataFrame(
        {
            "line": [station.location.line for station in stations],
            "operation": [station.location.operation for station in stations],
            "changeovers": count,
            "minutes": minutes,
            "min_per_changeover": per(minutes, count),
            "parts_per_changeover": per(by_operation(plan, tally.worked)[numbers], count),
            "share": per(minutes, machines * tally.counted_min),
        }
    )


def changeover_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Say of each operation if its machines spend much of their time on changeovers."""
    if not tally.state_min[:, State.CHANGING_OVER].any():
        return  # asked of every run of a study, so that no table is made for nothing
    for row in changeover_table(works, plan, tally).to_dict(orient="records"):
        if row["share"] > _MUCH:
            parts = row["parts_per_changeover"]
            yield keep(
                "findings.changes_over", operation=quoted(row["operation"]), share=100.0 * row["share"], parts=parts
            )
