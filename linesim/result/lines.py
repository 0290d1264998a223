"""The table of lines: output, yields, stock, lead time and money."""

from __future__ import annotations

import numpy as np
import pandas as pd

from linesim.ledger import Item
from linesim.plan.tables import Floats, Plan
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import operation_table
from linesim.works.model import Works

__all__ = ["line_table"]


def line_table(works: Works, plan: Plan, tally: Tally, ledger: pd.DataFrame) -> pd.DataFrame:
    """One row for each line.

    Parameters
    ----------
    works, plan : Works, Plan
        What was run.
    tally : Tally
        What the run left behind.
    ledger : DataFrame
        Its ledger.

    Returns
    -------
    DataFrame
        line; castings, shipped, scrapped, turned_away; good_per_hour (shipped parts) and parts_in_limits_per_hour (of
        these, the ones with nothing out of limits); first_pass_yield (shipped without recut or salvage, of all that
        left the line), rolled_yield (product of the operations' first-pass shares), scrap_share; mean_in_line,
        in_line_at_end; mean_lead_min, sd_lead_min (n - 1); cost_per_good_part (the whole ledger),
        quality_loss_per_good_part (contained in it), contribution_per_good_part and contribution_per_hour (worth of
        the shipped parts less the ledger).
    """
    shipped, hours = tally.shipped, tally.counted_min / 60.0
    left = shipped + tally.scrapped_parts
    cost, loss = _money(works, ledger), _money(works, ledger[ledger["item"] == Item.QUALITY_LOSS.value])
    worth = np.array([line.worth for line in works.lines.values()]) * shipped
    return pd.DataFrame(
        {
            "line": list(plan.names.lines),
            "castings": tally.castings,
            "shipped": shipped,
            "scrapped": tally.scrapped_parts,
            "turned_away": tally.turned_away,
            "good_per_hour": per(shipped, hours),
            "parts_in_limits_per_hour": per(shipped - tally.parts_out, hours),
            "first_pass_yield": per(tally.shipped_first_pass, left),
            "rolled_yield": _rolled_yields(works, plan, tally),
            "scrap_share": per(tally.scrapped_parts, left),
            "mean_in_line": per(tally.in_line_min, tally.counted_min),
            "in_line_at_end": tally.in_line_at_end,
            "mean_lead_min": per(tally.lead_min, shipped),
            "sd_lead_min": _sd_lead_min(tally),
            "cost_per_good_part": per(cost, shipped),
            "quality_loss_per_good_part": per(loss, shipped),
            "contribution_per_good_part": per(worth - cost, shipped),
            "contribution_per_hour": per(worth - cost, hours),
        }
    )


def _money(works: Works, ledger: pd.DataFrame) -> Floats:
    """Sum of a ledger for each line."""
    sums = ledger.groupby("line")["pence"].sum()
    return np.array([int(sums.get(line, 0)) for line in works.lines], dtype=np.float64) / 100.0


def _rolled_yields(works: Works, plan: Plan, tally: Tally) -> list[float]:
    shares = operation_table(works, plan, tally)["first_pass_share"].to_numpy()
    ends = zip(plan.casts.first_operation.tolist(), plan.casts.end_operation.tolist(), strict=True)
    return [float(np.prod(shares[first:end])) for first, end in ends]


def _sd_lead_min(tally: Tally) -> Floats:
    about_mean = tally.lead_square_min2 - tally.lead_min * np.nan_to_num(per(tally.lead_min, tally.shipped))
    return np.sqrt(per(np.maximum(about_mean, 0.0), np.maximum(tally.shipped - 1, 0)))
