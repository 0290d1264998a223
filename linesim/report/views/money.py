"""Where the money of a good part goes, and what changes between two policies."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

from linesim.ledger import ITEMS
from linesim.report.charts.between import between_figure
from linesim.report.charts.shares import cost_by_operation_figure, operations_with_cost
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import interval, number, state_shown
from linesim.study.comparing.closely import CloseLook
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = [
    "between_picture",
    "between_sentence",
    "composition_sheet",
    "item_sheet",
    "money_picture",
    "money_sentence",
]  # fmt: skip


def money_sentence(look: CloseLook, policy: str, line: str) -> str:
    """What a good part costs, and on what the most is spent."""
    cost = look.figure(policy, line, "cost_per_good_part")
    items = look.money_table(policy, line, ["item"])
    if items.empty or math.isnan(cost.mean):
        return f'Under "{policy}" no good part has left {line}, so that nothing can be said of its cost.'
    most = [f"{row['item']} {number(row['mean'], 2)}" for row in items.head(4).to_dict(orient="records")]
    amount = f"{interval(cost.mean, cost.half_width, 2)} {look.works.currency}"
    return (
        f'A good part of {line} costs {amount} under "{policy}": '
        f"{', '.join(most)}, and the rest {number(float(items['mean'].iloc[4:].sum()), 2)}."
    )


def money_picture(look: CloseLook, policy: str, line: str, light: Light = DAY) -> Picture:
    """Money per good part by operation, each bar of its items; the castings and what belongs to no operation apart.

    Parameters
    ----------
    look : CloseLook
        A close look at the policy.
    policy, line : str
        Which.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Operations in the order of the routing; the bar of the whole line leaves out the castings, which would dwarf
        all others, and its label says what they are.
    """
    words = f"{money_sentence(look, policy, line)} By operation and item; the table behind the picture has all figures."
    return Picture(cost_by_operation_figure(look, policy, line, light), words, _operation_sheet(look, policy, line))


def item_sheet(look: CloseLook, policy: str, line: str) -> Sheet:
    """The ledger of a good part, item by item, with the sum."""
    table = look.money_table(policy, line, ["item"])
    order = {item: at for at, item in enumerate(ITEMS)}
    table = table.sort_values("item", key=lambda items: items.map(order)).reset_index(drop=True)
    cost = look.figure(policy, line, "cost_per_good_part")
    rows = [
        [str(row["item"]), *numbers(interval(row["mean"], row["half_width"], 2), _share(row["mean"], cost.mean))]
        for row in table.to_dict(orient="records")
    ]
    money = look.works.currency
    caption = f'Ledger of one good part under "{policy}", {money}; mean of {look.n} runs ± half width, {_level(look)}'
    foot: list[Cell] = ["all together", *numbers(interval(cost.mean, cost.half_width, 2), "100 %")]
    return Sheet(caption, ["item", *numbers(f"{money} per good part", "share")], rows, table, foot)


def composition_sheet(
    look: CloseLook, policy: str, line: str, operation: str | None = None, item: str | None = None
) -> Sheet:
    """What an amount is made of: so much of something at a price; see `CloseLook.composition`."""
    table = look.composition(policy, line, operation, item)
    rows: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        price = f"{number(row['price'])} per {row['unit']}"
        built = f"{number(row['quantity'])} {row['unit']}"
        rows.append(
            [
                called_at(look.works, line, str(row.get("operation", "everywhere"))),
                str(row["item"]), state_shown(str(row["cause"])), str(row["what"]),
                *numbers(built, price, interval(row["mean"], row["half_width"], 2)),
            ]
        )  # fmt: skip
    money = look.works.currency
    where = None if operation is None else called_at(look.works, line, operation)
    of = " and ".join(part for part in (where, item) if part) or "everything"
    caption = (
        f'{of} under "{policy}": for each good part so much, at a mean price, makes {money} (mean of {look.n} runs)'
    )
    heads = [
        "where",
        "item",
        "cause",
        "what",
        *numbers("of it per good part", f"mean price, {money}", f"{money} per part"),
    ]
    foot: list[Cell] = ["all together", "", "", "", *numbers("", "", number(float(table["mean"].sum()), 2))]
    return Sheet(caption, heads, rows, table, foot)


def between_sentence(look: CloseLook, policy: str, against: str, line: str) -> str:
    """How two policies differ in cost, and where most of it comes from."""
    mean, half_width, is_apart = look.difference(policy, against, line, "cost_per_good_part")
    money = look.works.currency
    if math.isnan(mean):
        return "One of the two has shipped no good part, so that they cannot be set against each other."
    if not is_apart:
        return (
            f'"{policy}" and "{against}" do not differ significantly in cost per good part: the difference '
            f"is {interval(mean, half_width)} {money}."
        )
    more = "more" if mean > 0.0 else "less"
    table = look.money_between(policy, against, line, ["operation", "item"])
    apart = table[table["is_apart"]].head(3).to_dict(orient="records")
    parts = [
        f"{row['item']} at {called_at(look.works, line, str(row['operation']))} {_signed(row['difference'])}"
        for row in apart
    ]
    most = f" Most of it: {'; '.join(parts)}." if parts else ""
    return (
        f'"{policy}" costs {interval(abs(mean), half_width)} {money} {more} per good part than "{against}" '
        f"({_level(look)}).{most}"
    )


def between_picture(look: CloseLook, policy: str, against: str, line: str, light: Light = DAY) -> Picture:
    """The greatest differences between two policies, with their intervals; right is dearer.

    Parameters
    ----------
    look : CloseLook
        A close look at both.
    policy, against : str
        The first less the second.
    line : str
        Which line.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Bars that are not significant are hatched and pale.
    """
    figure = between_figure(look, policy, against, line, light)
    caption = (
        f'{look.works.currency} per good part, "{policy}" less "{against}"; paired by replication, intervals hold all '
        "together; ~ marks what is not significant"
    )
    full = look.money_between(policy, against, line, ["operation", "item", "cause"])
    rows = [_between_row(look.works, line, row) for row in full.to_dict(orient="records")]
    heads = ["where", "item", "cause", *numbers(policy, against, "difference")]
    return Picture(figure, between_sentence(look, policy, against, line), Sheet(caption, heads, rows, full))


def _between_row(works: Works, line: str, row: dict[Hashable, Any]) -> list[Cell]:
    difference = interval(row["difference"], row["half_width"])
    shown: Cell = (difference, "n") if row["is_apart"] else (f"{difference} ~", "n open")
    where = called_at(works, line, str(row["operation"]))
    return [where, str(row["item"]), state_shown(str(row["cause"])),
            *numbers(number(row["first"], 2), number(row["second"], 2)), shown]  # fmt: skip


def _operation_sheet(look: CloseLook, policy: str, line: str) -> Sheet:
    """Operations by items."""
    table = look.money_table(policy, line, ["operation", "item"])
    items = [item for item in ITEMS if item in set(table["item"])]
    money = {(row["operation"], row["item"]): row["mean"] for row in table.to_dict(orient="records")}
    names = list(dict.fromkeys([*operations_with_cost(look, policy, line), *table["operation"]]))
    rows: list[list[Cell]] = []
    for name in names:
        own = [money.get((name, item)) for item in items]
        total = sum(value for value in own if value is not None)
        where = called_at(look.works, line, name)
        rows.append([where, *numbers(*(number(value, 2) for value in own), number(total, 2))])
    sums = [sum(money.get((name, item), 0.0) for name in names) for item in items]
    foot: list[Cell] = ["all together", *numbers(*(number(value, 2) for value in (*sums, sum(sums))))]
    caption = f'{line} under "{policy}": {look.works.currency} per good part, mean of {look.n} runs'
    return Sheet(caption, ["where", *numbers(*items, "together")], rows, table, foot)


def _signed(value: float) -> str:
    return f"+{number(value, 2)}" if value > 0.0 else number(value, 2)


def _share(value: float, total: float) -> str:
    return f"{number(100.0 * value / total, 1)} %" if total else "–"


def _level(look: CloseLook) -> str:
    return f"{100.0 * look.confidence:g} % confidence"
