"""The ledger of a watched run, good part by good part."""

from __future__ import annotations

import pandas as pd

from linesim.cutting.component import Component
from linesim.ledger import Item, by_part, quality_loss_of_part
from linesim.plan.plan import Plan
from linesim.works.model import Line, Works
from linesim.works.types_of import casting_prices, type_names

__all__ = ["part_table"]


def part_table(works: Works, plan: Plan, ledger: pd.DataFrame, moves: pd.DataFrame) -> pd.DataFrame:
    """What every good part of a watched run has cost.

    Parameters
    ----------
    works, plan : Works, Plan
        What was run.
    ledger : DataFrame
        Its ledger.
    moves : DataFrame
        The table ``parts`` of its trace.

    Returns
    -------
    DataFrame
        As `linesim.ledger.by_part`: a part's own casting and quality loss stay with it, all else is spread evenly over
        the good parts of its line. The parts add up to the ledger to the penny.
    """
    own = [_of_line(name, line, moves[moves["line"] == name], plan.warm_up_min) for name, line in works.lines.items()]
    return by_part(ledger, pd.concat(own, ignore_index=True))


def _of_line(name: str, line: Line, moves: pd.DataFrame, warm_up_min: float) -> pd.DataFrame:
    """Shipped parts of a line with the money that is their own."""
    is_counted = pd.to_numeric(moves["left_min"]) >= warm_up_min
    shipped = moves[(moves["outcome"] == "shipped") & is_counted]
    places = [
        feature_name if feature.places == 1 else f"{feature_name} {place + 1}"
        for feature_name, feature in line.features.items()
        for place in range(feature.places)
    ]
    values = [
        shipped.reindex(columns=[f"{place} {of.column}" for place in places]).to_numpy(dtype="float64").tolist()
        for of in Component
    ]
    price_of = dict(zip(type_names(line), casting_prices(line), strict=True))
    kinds = shipped["part_type"] if len(price_of) > 1 else [next(iter(price_of))] * len(shipped)
    prices = [price_of[str(kind)] for kind in kinds]
    return pd.DataFrame(
        {
            "line": pd.Series(name, index=range(len(shipped)), dtype="str"),
            "serial": shipped["serial"].to_numpy(dtype="int64"),
            Item.CASTINGS.value: prices,
            Item.QUALITY_LOSS.value: [quality_loss_of_part(line, *part) for part in zip(*values, strict=True)],
        }
    )
