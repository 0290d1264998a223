"""Change intervals and data of the cutters as rows, under the names of ISO 13399 where it has one."""

from __future__ import annotations

from typing import Any, NamedTuple

import pandas as pd

from linesim.cards import tool_cards
from linesim.plan.times import mean_minutes
from linesim.works import Works
from linesim.works.crib import Cutter

__all__ = ["PROPERTIES", "Property", "interval_table", "tool_table"]

_OWN = "no name of ISO 13399 is known here; the name is linesim's own"
_STANDARD = "ISO 13399, symbol from memory"


class Property(NamedTuple):
    """What a column of the cutters' data means."""

    name: str
    meaning: str
    unit: str
    source: str


PROPERTIES: tuple[Property, ...] = (
    Property("cutter", "name of the cutter set", "", _OWN),
    Property("GRADE", "cutting material or abrasive, as the handbook here names it", "", _STANDARD),
    Property("DC", "cutting diameter", "mm", _STANDARD),
    Property("ZEFF", "edges that cut at the same time", "", _STANDARD),
    Property("KAPR", "tool cutting edge angle", "deg", _STANDARD),
    Property("AN", "clearance angle of the major edge", "deg", _STANDARD),
    Property("RE", "corner radius", "mm", _STANDARD),
    Property("BS", "length of the wiper edge", "mm", _STANDARD),
    Property("CEDC", "edges of an indexed set", "", _STANDARD),
    Property("renewal", "how it is made sharp again: reground, indexed, dressed or bought", "", _OWN),
    Property("wear_limit_mm", "wear land at which it counts as dull", "mm", _OWN),
    Property("life_min", "cutting minutes to that land, where the scenario states them", "min", _OWN),
    Property("sets", "sets in circulation", "", _OWN),
    Property("price", "of a new set, in the scenario's currency", "", _OWN),
    Property("lead_time_min", "from the order to the shelf, worked minutes", "min", _OWN),
)
"""Columns of `tool_table`, in this order."""


def tool_table(works: Works) -> pd.DataFrame:
    """One row for each kind of cutter set; what the scenario does not say is left empty.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    DataFrame
        Columns as `PROPERTIES` says.
    """
    rows = [_row(name, cutter) for name, cutter in works.cutters.items()]
    return pd.DataFrame(rows, columns=[each.name for each in PROPERTIES])


def _row(name: str, cutter: Cutter) -> dict[str, Any]:
    renewal = cutter.renewal
    ways = {"reground": renewal.reground, "indexed": renewal.indexed, "dressed": renewal.dressed}
    return {
        "cutter": name,
        "GRADE": cutter.grade,
        "DC": cutter.diameter,
        "ZEFF": cutter.teeth,
        "KAPR": cutter.lead_angle,
        "AN": cutter.clearance_angle,
        "RE": cutter.nose_radius,
        "BS": cutter.land,
        "CEDC": None if renewal.indexed is None else renewal.indexed.edges,
        "renewal": next((way for way, entry in ways.items() if entry is not None), "bought"),
        "wear_limit_mm": cutter.wear_limit,
        "life_min": cutter.life_min,
        "sets": cutter.sets,
        "price": cutter.price,
        "lead_time_min": mean_minutes(cutter.lead_time),
    }


def interval_table(works: Works, policy: str) -> pd.DataFrame:
    """When each set is changed under a policy, with the number of its card.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        One of its policies.

    Returns
    -------
    DataFrame
        card, line, operation, machines, cutter, rule in words, parts at which it is changed (empty where the counter
        does not tell), is_about (the count is a mean), look_every_parts, look_first_parts, wear_limit_mm.
    """
    rows = [
        (
            card.number, card.line, card.operation, ", ".join(card.machines), each.cutter, each.when, each.count,
            each.is_about, each.look_every, each.look_first, each.wear_limit_mm,
        )
        for card in tool_cards(works, policy).cards
        for each in card.sets
    ]  # fmt: skip
    heads = ["card", "line", "operation", "machines", "cutter", "rule", "parts", "is_about"]
    return pd.DataFrame(rows, columns=[*heads, "look_every_parts", "look_first_parts", "wear_limit_mm"])
