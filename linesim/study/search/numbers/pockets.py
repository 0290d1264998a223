"""Pockets in magazines, filled with one more or one fewer sister cutter; pallets; carriers between operations."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linesim.study.search.numbers.figures import Item
from linesim.works import Works
from linesim.works.walks import cutters_of, operations_of

__all__ = ["carriers_of", "pallets_of", "pockets_of", "with_carriers", "with_pallets", "with_pocket"]


def pockets_of(works: Works, per_hour: float) -> Iterator[Item]:
    """Pockets for each kind of cutter in the magazines of an operation; each is filled with a set of its own.

    Parameters
    ----------
    works : Works
    per_hour : float
        Share of the price of a set that holding it costs for each worked hour.
    """
    for at in operations_of(works):
        operation, magazine = at.operation, at.operation.magazine
        if magazine is None:
            continue
        for kind in dict.fromkeys(cutters_of(operation)):
            cutter, now = works.cutters[kind], magazine.of_kind(kind)
            if cutter.renewal.dressed is not None:
                continue
            least = min(now, 1 + (magazine.used_up or 0))
            hourly = operation.machines * cutter.price * per_hour
            yield Item(
                "place", f"{at.path[3]} / {kind}", now, least, hourly, at=(str(at.path[1]), str(at.path[3]), kind)
            )


def with_pocket(works: Works, item: Item, count: int) -> Works:
    """The works with so many cutters of a kind in each magazine of an operation, and pockets and sets for them."""
    line_name, operation_name, kind = item.at
    line = works.lines[line_name]
    operation = line.operations[operation_name]
    magazine, more = operation.magazine, count - item.now
    assert magazine is not None
    pockets = None if magazine.pockets is None else magazine.pockets + max(more, 0)
    held = magazine.model_copy(update={"sisters": {**magazine.sisters, kind: count}, "pockets": pockets})
    operations = {**line.operations, operation_name: operation.model_copy(update={"magazine": held})}
    lines = {**works.lines, line_name: line.model_copy(update={"operations": operations})}
    cutter = works.cutters[kind]
    sets = cutter.model_copy(update={"sets": cutter.sets + operation.machines * more})
    return works.model_copy(update={"lines": lines, "cutters": {**works.cutters, kind: sets}})


def pallets_of(works: Works) -> Iterator[Item]:
    """Pallets of each line that has them; what one costs is in the ledger where the line has a rate for them."""
    for name, line in works.lines.items():
        if line.pallets is not None:
            yield Item("pallet", name, line.pallets, 1, 0.0, at=(name,))


def with_pallets(works: Works, item: Item, count: int) -> Works:
    """The works with so many pallets in a line."""
    line: Any = works.lines[item.at[0]]
    return works.model_copy(update={"lines": {**works.lines, item.at[0]: line.model_copy(update={"pallets": count})}})


def carriers_of(works: Works) -> Iterator[Item]:
    """Carriers that bring parts to each operation which has any; what one more costs no scenario says."""
    for at in operations_of(works):
        move = at.operation.move
        if move is not None and move.carriers is not None:
            where = (str(at.path[1]), str(at.path[3]))
            yield Item("carrier", where[1], move.carriers, 1, 0.0, at=where)


def with_carriers(works: Works, item: Item, count: int) -> Works:
    """The works with so many carriers before an operation."""
    line_name, operation_name = item.at
    line = works.lines[line_name]
    operation = line.operations[operation_name]
    assert operation.move is not None
    move = operation.move.model_copy(update={"carriers": count})
    operations = {**line.operations, operation_name: operation.model_copy(update={"move": move})}
    return works.model_copy(
        update={"lines": {**works.lines, line_name: line.model_copy(update={"operations": operations})}}
    )
