"""The ledger of a run, its sums, and what changes between two of them."""

from __future__ import annotations

import math

import pandas as pd

from linesim.ledger.crib_costs import enter_crib
from linesim.ledger.floor_costs import enter_floor
from linesim.ledger.people_costs import enter_people
from linesim.ledger.places import Station, stations_of
from linesim.ledger.quality_costs import quality_factors
from linesim.ledger.rows import COLUMNS, WHOLE_LINE, Item, Place, Rows
from linesim.plan.tables import Plan
from linesim.plan.tally import Characteristic, Tally
from linesim.works.model import Works

__all__ = ["between", "by", "ledger_rows", "per_good_part", "total_pence"]


def ledger_rows(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """Every cost of a run, row by row.

    Parameters
    ----------
    works, plan : Works, Plan
        What was run.
    tally : Tally
        What the run left behind.

    Returns
    -------
    DataFrame
        Columns: line, operation (``whole line`` and ``works`` where there is none), item, cause, what, quantity, unit,
        price (money per unit) and pence (hundredths of the currency, int64).
    """
    rows, stations = Rows(), stations_of(works, plan)
    _enter_lines(rows, works, tally)
    enter_floor(rows, works, stations, tally)
    enter_people(rows, works, stations, tally)
    enter_crib(rows, works, plan, stations, tally)
    _enter_quality(rows, works, plan, stations, tally)
    return rows.frame()


def _enter_lines(rows: Rows, works: Works, tally: Tally) -> None:
    """Castings that were not scrapped, and stock in process."""
    for number, (name, line) in enumerate(works.lines.items()):
        place = Place(name, WHOLE_LINE)
        kept = int(tally.castings[number]) - int(tally.scrapped_parts[number])
        part_hours = float(tally.in_line_min[number]) / 60.0
        rows.add(place, Item.CASTINGS, "drawn", "casting", kept, "part", line.casting.price)
        rows.add(place, Item.STOCK, "holding", "parts in the line", part_hours, "part h", line.holding_rate)


def _enter_quality(rows: Rows, works: Works, plan: Plan, stations: list[Station], tally: Tally) -> None:
    """Taguchi's loss of the shipped parts, by feature and characteristic."""
    named = [(line, name) for line, row in works.lines.items() for name in row.features]
    factors = quality_factors(works)
    makers = _last_to_cut(plan)
    for number, (line, name) in enumerate(named):
        anywhere = Place(line, WHOLE_LINE)
        maker = stations[makers[number]].place if number in makers else anywhere
        for of in Characteristic:
            place = anywhere if of is Characteristic.SCRATCH else maker
            squares, factor = float(tally.capped[number, of]), float(factors[number, of])
            rows.add(place, Item.QUALITY_LOSS, of.name.lower(), name, squares, "µm²", factor)


def _last_to_cut(plan: Plan) -> dict[int, int]:
    """Number of the operation that cuts each feature last."""
    makers: dict[int, int] = {}
    for operation in range(len(plan.operations.line)):
        for stroke in range(int(plan.operations.first_stroke[operation]), int(plan.operations.end_stroke[operation])):
            cuts = slice(int(plan.strokes.first_cut[stroke]), int(plan.strokes.end_cut[stroke]))
            makers |= dict.fromkeys(plan.cuts.feature[cuts].tolist(), operation)
    return makers


# --- sums ------------------------------------------------------------------------------------------------------------


def total_pence(rows: pd.DataFrame) -> int:
    """Sum of a ledger or a part of one, in hundredths of the currency."""
    return int(rows["pence"].sum())


def by(rows: pd.DataFrame, *columns: str) -> pd.DataFrame:
    """Sums of a ledger over the rows that are alike in some columns.

    Parameters
    ----------
    rows : DataFrame
        A ledger.
    *columns : str
        Columns to group by, in this order; groups come in the order of their first row.

    Returns
    -------
    DataFrame
        These columns, pence (int64, adding up to the ledger's sum exactly) and money.

    Raises
    ------
    ValueError
        A column is not one to group by.
    """
    known = COLUMNS[:5]
    wrong = [name for name in columns if name not in known]
    if wrong or not columns:
        found = ", ".join(wrong) or "nothing"
        raise ValueError(f"a ledger cannot be grouped by {found}; some of {', '.join(known)} were expected")
    sums = rows.groupby(list(columns), sort=False)[["pence"]].sum().reset_index()
    return sums.assign(money=sums["pence"] / 100.0)


def per_good_part(rows: pd.DataFrame, shipped: int) -> pd.DataFrame:
    """A ledger, or sums of one, with each amount also per shipped part.

    Parameters
    ----------
    rows : DataFrame
        Has the column pence.
    shipped : int
        Parts shipped.

    Returns
    -------
    DataFrame
        The same with the columns money and per_good_part added (not a number if nothing was shipped).
    """
    money = rows["pence"] / 100.0
    return rows.assign(money=money, per_good_part=money / shipped if shipped else math.nan)


def between(rows_a: pd.DataFrame, rows_b: pd.DataFrame, shipped_a: int, shipped_b: int) -> pd.DataFrame:
    """What changes from one ledger to another, per good part, by operation and item.

    Parameters
    ----------
    rows_a, rows_b : DataFrame
        Ledgers, such as of two policies.
    shipped_a, shipped_b : int
        Parts shipped in each.

    Returns
    -------
    DataFrame
        line, operation, item, before, after and change, money per good part, the largest change first; what stands in
        one ledger only counts as 0 in the other.
    """
    keys = ["line", "operation", "item"]
    sides = [
        per_good_part(by(rows, *keys), shipped)[[*keys, "per_good_part"]].rename(columns={"per_good_part": name})
        for rows, shipped, name in ((rows_a, shipped_a, "before"), (rows_b, shipped_b, "after"))
    ]
    both = sides[0].merge(sides[1], how="outer", on=keys, sort=False)
    for column, shipped in (("before", shipped_a), ("after", shipped_b)):
        if shipped:
            both[column] = both[column].fillna(0.0)
    both["change"] = both["after"] - both["before"]
    order = both["change"].abs().sort_values(ascending=False, kind="stable").index
    return both.loc[order].reset_index(drop=True)
