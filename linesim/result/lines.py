"""The table of lines: output, yields, stock, lead time and money."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd

from linesim.ledger import Item
from linesim.ledger.part_types import of_types
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.result.floor_tables import first_pass_shares
from linesim.works.model import Works
from linesim.works.types_of import worths

__all__ = ["line_columns", "line_table"]


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
    cost, loss = _minor_units(works, ledger), _minor_units(works, ledger[ledger["item"] == Item.QUALITY_LOSS.value])
    return pd.DataFrame({"line": list(plan.names.lines), **line_columns(works, plan, tally, cost, loss)})


def line_columns(
    works: Works, plan: Plan, tally: Tally, cost_minor_units: Ints, loss_minor_units: Ints
) -> dict[str, Ints | Floats]:
    """Columns of the table of lines but for their names, as plain arrays.

    Parameters
    ----------
    works, plan, tally : Works, Plan, Tally
        As for `line_table`.
    cost_minor_units, loss_minor_units : array of int, (lines,)
        Sum of the ledger and of the quality loss in it, in hundredths of the currency.

    Returns
    -------
    dict of str to array, (lines,)
    """
    shipped, hours = tally.shipped, tally.counted_min / 60.0
    left = shipped + tally.scrapped_parts
    cost, loss = cost_minor_units / 100.0, loss_minor_units / 100.0
    margin = _worth(works, plan, tally) - cost
    good, in_limits, contribution = per([shipped, shipped - tally.parts_out, margin], hours)
    first_pass, scrap = per([tally.shipped_first_pass, tally.scrapped_parts], left)
    lead_min, cost_each, loss_each, margin_each = per([tally.lead_min, cost, loss, margin], shipped)
    return {
        "castings": tally.castings,
        "shipped": shipped,
        "scrapped": tally.scrapped_parts,
        "turned_away": tally.turned_away,
        "good_per_hour": good,
        "parts_in_limits_per_hour": in_limits,
        "first_pass_yield": first_pass,
        "rolled_yield": _rolled_yields(plan, tally),
        "scrap_share": scrap,
        "mean_in_line": per(tally.in_line_min, tally.counted_min),
        "in_line_at_end": tally.in_line_at_end,
        "mean_lead_min": lead_min,
        "sd_lead_min": _sd_lead_min(tally, lead_min),
        "cost_per_good_part": cost_each,
        "quality_loss_per_good_part": loss_each,
        "contribution_per_good_part": margin_each,
        "contribution_per_hour": contribution,
    }


def _worth(works: Works, plan: Plan, tally: Tally) -> Floats:
    """What the shipped parts of each line are worth, money."""
    each = np.array([worth for line in works.lines.values() for worth in worths(line)])
    of_type = each * of_types(plan, tally.shipped, tally.shipped_of_type)
    ends = zip(plan.lines.first_type.tolist(), plan.lines.end_type.tolist(), strict=True)
    return np.array([of_type[first:end].sum() for first, end in ends])


def _minor_units(works: Works, ledger: pd.DataFrame) -> Ints:
    """Sum of a ledger for each line."""
    sums = ledger.groupby("line")["minor_units"].sum()
    return np.array([int(sums.get(line, 0)) for line in works.lines], dtype=np.int64)


def _rolled_yields(plan: Plan, tally: Tally) -> Floats:
    shares = first_pass_shares(plan, tally).tolist()
    ends = zip(plan.lines.first_operation.tolist(), plan.lines.end_operation.tolist(), strict=True)
    return np.array([math.prod(shares[first:end]) for first, end in ends], dtype=np.float64)


def _sd_lead_min(tally: Tally, mean_min: Floats) -> Floats:
    about_mean = tally.lead_square_min2 - tally.lead_min * np.where(tally.shipped > 0, mean_min, 0.0)
    return np.sqrt(per(np.maximum(about_mean, 0.0), np.maximum(tally.shipped - 1, 0)))
