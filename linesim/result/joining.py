"""Table and sentences on lines that meet: what was joined, what was left over, and how well classes fit."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd

from linesim.errors import quoted
from linesim.plan.plan import Plan
from linesim.plan.tally import State, Tally
from linesim.plan.type_tables import JoinBy
from linesim.result.arithmetic import per
from linesim.result.floor_tables import by_operation
from linesim.words import Choice, keep

__all__ = ["join_sentences", "join_table"]

_MUCH = 0.05
"""Share of its time that an operation may wait for fellows before it is remarked upon (common practice)."""


def join_table(plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each line whose parts are joined to those of another.

    Returns
    -------
    DataFrame
        line (whose parts are joined), to_line, operation (at which), by ("as they come", "number" or "class"); joined
        (parts of the line), left_over (thrown out, as the part to which they belonged is scrap), mean_stock (finished
        ones that stand for it), waited_share (of the time of that operation's machines that they waited for a fellow
        of any line); where they are matched by classes mean_fit_um, sd_fit_um and range_fit_um of the difference
        between the deviations of the two sizes, µm, as the drawing reads them; NaN else.
    """
    joins, names = plan.joins, plan.names
    here = joins.operation
    machines = (plan.operations.end_machine - plan.operations.first_machine)[here]
    waited_min = by_operation(plan, tally.state_min)[here, State.WAITING_FOR_FELLOW]
    count = np.where(joins.by == JoinBy.CLASS, tally.fellows_joined, 0)
    mean_um = per(tally.fit_total, count)
    variance_um2 = per(tally.fit_square - count * np.nan_to_num(mean_um) ** 2, np.maximum(count - 1, 0))
    return pd.DataFrame(
        {
            "line": [names.lines[line] for line in joins.line],
            "to_line": [names.lines[line] for line in plan.operations.line[here]],
            "operation": [names.operations[operation] for operation in here],
            "by": [_WORDS[JoinBy(way)] for way in joins.by.tolist()],
            "joined": tally.fellows_joined,
            "left_over": tally.left_over,
            "mean_stock": per(tally.fellows_min, tally.counted_min),
            "waited_share": per(waited_min, machines * tally.counted_min),
            "mean_fit_um": mean_um,
            "sd_fit_um": np.sqrt(np.maximum(variance_um2, 0.0)),
            "range_fit_um": np.where(count > 0, tally.fit_greatest - tally.fit_least, np.nan),
        }
    )


_WORDS = {JoinBy.ANY: "as they come", JoinBy.NUMBER: "number", JoinBy.CLASS: "class"}


def join_sentences(plan: Plan, tally: Tally) -> Iterator[str]:
    """Who waited for the parts of which line, and what was thrown out."""
    if not len(plan.joins.line):
        return  # asked of every run of a study, so that no table is made for nothing
    table = join_table(plan, tally)
    for (_, at), rows in table.groupby(["to_line", "operation"], sort=False):
        share = float(rows["waited_share"].iloc[0])
        if share > _MUCH:
            lines = Choice(quoted(line) for line in rows["line"])
            yield keep("findings.fellow_waited", operation=quoted(str(at)), share=100.0 * share, lines=lines)
    for row in table[table["left_over"] > 0].to_dict(orient="records"):
        lines_of = {"line": quoted(row["line"]), "other": quoted(row["to_line"])}
        yield keep("findings.thrown_out", count=row["left_over"], **lines_of)
