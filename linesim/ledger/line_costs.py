"""What belongs to a whole line: castings that were not scrapped, stock in process, quality loss."""

from __future__ import annotations

import numpy as np

from linesim.cutting.component import SHAPE, Component
from linesim.ledger.entries import WHOLE_LINE, Cost, Head, Item, Location, Priced
from linesim.ledger.part_types import heads_of_types, of_types
from linesim.ledger.stations import last_to_cut, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Tally
from linesim.quality.limits import asked_of, loss_factor
from linesim.works.model import Works
from linesim.works.types_of import casting_prices

__all__ = ["castings", "quality_factors", "quality_loss", "stock"]


def castings(works: Works, plan: Plan) -> Cost:
    """Castings drawn, but for those of scrapped parts, which stand under scrap."""
    named = heads_of_types(works, "casting")
    heads = [Head(Location(line, WHOLE_LINE), Item.CASTINGS, "drawn", what, "part") for line, what in named]
    price = np.array([price for line in works.lines.values() for price in casting_prices(line)], dtype=np.float64)

    def quantity(tally: Tally) -> Floats:
        of_line = tally.castings - tally.scrapped_parts
        return of_types(plan, of_line, tally.castings_of_type - tally.scrapped_of_type.sum(axis=0))

    return Priced(heads, price, quantity)


def stock(works: Works, plan: Plan) -> Cost:
    """Parts standing in process."""
    del plan
    heads = [
        Head(Location(line, WHOLE_LINE), Item.STOCK, "holding", "parts in the line", "part h") for line in works.lines
    ]
    price = np.array([line.holding_rate for line in works.lines.values()], dtype=np.float64)
    return Priced(heads, price, lambda tally: tally.in_line_min / 60.0)


def quality_loss(works: Works, plan: Plan) -> Cost:
    """Taguchi's loss of the shipped parts, by feature and component.

    What a cut makes stands under the operation that cuts the feature last; scratches, which come from moves and
    clamping, under the whole line.
    """
    named = [(line, name) for line, row in works.lines.items() for name in row.features]
    stations, last = stations_of(works, plan), last_to_cut(plan)
    heads, columns = [], []
    for number, (line, name) in enumerate(named):
        anywhere = Location(line, WHOLE_LINE)
        cut_at = stations[last[number]].location if number in last else anywhere
        feature = works.lines[line].features[name]
        for of in Component:
            if of in SHAPE and asked_of(feature, of) is None:
                continue
            location = anywhere if of is Component.SCRATCH else cut_at
            heads.append(Head(location, Item.QUALITY_LOSS, of.words, name, "µm²"))
            columns.append(number * len(Component) + of)
    of_rows = np.array(columns, dtype=np.int64)
    return Priced(heads, quality_factors(works).ravel()[of_rows], lambda tally: tally.capped.ravel()[of_rows])


def quality_factors(works: Works) -> Floats:
    """Taguchi's factor of every feature, line after line.

    Returns
    -------
    array of float, (features, components)
        Money per µm²; columns in the order of `linesim.cutting.component.Component`.
    """
    features = [feature for line in works.lines.values() for feature in line.features.values()]
    rows = [[loss_factor(feature, of) for of in Component] for feature in features]
    return np.array(rows, dtype=np.float64).reshape(len(features), len(Component))
