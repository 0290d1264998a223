"""What a works may have more or fewer of, what one more costs, and the works with other numbers."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.study.search.numbers.answer import Holding, Item
from linesim.study.search.numbers.pockets import (
    carriers_of,
    pallets_of,
    pockets_of,
    with_carriers,
    with_pallets,
    with_pocket,
)
from linesim.works import Works
from linesim.works.walks import mounts, pools_of

__all__ = ["items_of", "with_counts"]


def items_of(works: Works, holding: Holding) -> tuple[Item, ...]:
    """Everything of which a works may have more or fewer: sets, grinders, people, magazine places, pallets, carriers.

    Of a pool that attends by shift each shift is an item; days and breaks that are said by themselves stay as they are.
    """
    mounted = mounts(works)
    per_hour = holding.set_share / (works.calendar.minutes_per()["year"] / 60.0)
    items = [
        Item("set", name, works.cutters[name].sets, count, works.cutters[name].price * per_hour)
        for name, count in mounted.items()
    ]
    if any(works.cutters[name].renewal.reground is not None for name in mounted):
        rate = works.crib.rate if holding.grinder_rate is None else holding.grinder_rate
        items.append(Item("grinder", "", works.crib.grinders, 1, rate))
    operations = [operation for line in works.lines.values() for operation in line.operations.values()]
    pools = [pool for operation in operations for pool in pools_of(operation)]
    if works.crib.presetters is not None and any(works.cutters[name].is_preset for name in mounted):
        pools.append(works.crib.presetters)
    for pool in dict.fromkeys(pools):
        items += _of_pool(works, pool, holding)
    return (*items, *pockets_of(works, per_hour), *pallets_of(works), *carriers_of(works))


def _of_pool(works: Works, pool: str, holding: Holding) -> list[Item]:
    """People of one pool, or of each of its shifts; in the fullest one somebody has to be."""
    people = works.people[pool]
    hourly = people.rate * (holding.idle_share if people.paid == "time used" else 0.0)
    if not people.by_shift:
        return [Item("setter", pool, people.count, 1, hourly)]
    fullest = people.by_shift.index(max(people.by_shift))
    return [
        Item("setter", pool, count, int(shift == fullest), hourly / len(people.by_shift), shift)
        for shift, count in enumerate(people.by_shift)
    ]


def with_counts(works: Works, items: Sequence[Item], counts: Sequence[int]) -> Works:
    """The works with so many of each item."""
    cutters, people, crib = dict(works.cutters), dict(works.people), works.crib
    for item, count in zip(items, counts, strict=True):
        if item.kind == "set":
            cutters[item.name] = cutters[item.name].model_copy(update={"sets": count})
        elif item.kind == "grinder":
            crib = crib.model_copy(update={"grinders": count})
        elif item.kind == "setter":
            people[item.name] = people[item.name].model_copy(update=item.attendance(people[item.name], count))
    works = works.model_copy(update={"cutters": cutters, "people": people, "crib": crib})
    for item, count in zip(items, counts, strict=True):
        if item.kind == "place" and count != item.now:
            works = with_pocket(works, item, count)
        elif item.kind == "pallet":
            works = with_pallets(works, item, count)
        elif item.kind == "carrier":
            works = with_carriers(works, item, count)
    return works
