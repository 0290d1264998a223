"""What setters and fitters cost, shared out over the operations that they work for."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.ledger.places import Station, places_of_lines
from linesim.ledger.rows import WORKS, Item, Place, Rows, Target
from linesim.plan.tally import State, Tally
from linesim.works.model import Works

__all__ = ["enter_people"]

Uses = dict[tuple[Item, Place], float]
"""Minutes for which people were at work, by what they did and where."""


def enter_people(rows: Rows, works: Works, stations: Sequence[Station], tally: Tally) -> None:
    """Enter setters and fitters, by the time they were used or for their whole attendance.

    Parameters
    ----------
    rows : Rows
        Takes the rows.
    works : Works
        Pools and their rates.
    stations : sequence of Station
        All operations.
    tally : Tally
        Of the run.
    """
    for number, (name, people) in enumerate(works.people.items()):
        uses = _uses(name, stations, tally)
        hours = float(tally.busy_min[number]) / 60.0
        if people.paid == "attendance":
            uses, hours = _by_line(uses), people.count * tally.counted_min / 60.0
        if not uses:
            uses = {(Item.SETTERS, place): 0.0 for place in places_of_lines(works)}
        targets = [Target(place, item, people.paid, name, minutes) for (item, place), minutes in uses.items()]
        rows.add_shared(targets, hours, "h", people.rate)


def _uses(pool: str, stations: Sequence[Station], tally: Tally) -> Uses:
    """Minutes for which each operation had people of a pool at its machines, as setters and as fitters.

    A set that its machine dresses by itself calls for no setter but counts as changing, so an operation with both kinds
    of set takes a little more of its pool's cost than it used; the pool's sum does not change.
    """
    minutes: Uses = {}
    for station in stations:
        spent = tally.state_min[station.machines].sum(axis=0)
        if station.spec.setters == pool:
            minutes[Item.SETTERS, station.place] = float(spent[State.CHANGING])
        if station.spec.fitters == pool:
            minutes[Item.FITTERS, station.place] = float(spent[State.UNDER_REPAIR])
    return minutes


def _by_line(uses: Uses) -> Uses:
    """The same summed over the operations of each line."""
    sums: Uses = {}
    for (item, place), minutes in uses.items():
        key = (item, Place(place.line, WORKS))
        sums[key] = sums.get(key, 0.0) + minutes
    return sums
