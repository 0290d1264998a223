"""Where the money of a good part goes, and what changes between two policies."""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.ledger import ITEMS
from linesim.report.charts.figures import finish
from linesim.report.theme.colours import DAY, ITEM_COLOURS, PALETTE, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import interval, number
from linesim.study.comparing.closely import CloseLook

__all__ = [
    "between_picture", "between_sentence", "item_sheet", "made_of_sheet", "money_picture", "money_sentence",
]  # fmt: skip

_HATCH = ("", "/", "x", "\\", ".", "-", "|", "+")
_LEAST_SHOWN = 0.005
_MOST_BARS = 14
_INK = "#1C2733"


def money_sentence(look: CloseLook, policy: str, line: str) -> str:
    """What a good part costs, and on what the most is spent."""
    cost = look.figure(policy, line, "cost_per_good_part")
    items = look.money_table(policy, line, ["item"])
    if items.empty or math.isnan(cost.mean):
        return f'Under "{policy}" no good part has left {line}, so that nothing can be said of its cost.'
    most = [f"{row['item']} {number(row['mean'], 2)}" for row in items.head(4).to_dict(orient="records")]
    return (
        f'A good part of {line} costs {interval(cost.mean, cost.half_width)} {look.works.currency} under "{policy}": '
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
    table = look.money_table(policy, line, ["operation", "item"])
    castings = float(table.loc[table["item"] == "castings", "mean"].sum())
    shown = table[table["item"] != "castings"]
    known = [name for name in look.works.lines[line].operations if name in set(shown["operation"])]
    names = [*known, *(name for name in dict.fromkeys(shown["operation"]) if name not in known)]
    figure = go.Figure()
    for at, item in enumerate(item for item in ITEMS if item in set(shown["item"])):
        own = shown[shown["item"] == item].set_index("operation")["mean"].to_dict()
        values = [own.get(name, 0.0) for name in names]
        if max(map(abs, values), default=0.0) >= _LEAST_SHOWN:
            figure.add_trace(_bar(names, values, item, at))
    money = in_picture(look.works.currency)
    figure.update_layout(barmode="relative", bargap=0.3)
    figure.update_yaxes(autorange="reversed", showgrid=False)
    figure.update_xaxes(title=f"{money} per good part, without the casting ({number(castings, 2)})")
    finish(figure, light, 190 + 30 * len(names))
    words = f"{money_sentence(look, policy, line)} By operation and item; the table behind the picture has all figures."
    return Picture(figure, words, _operation_sheet(look, table, names, line))


def _bar(names: Sequence[str], values: Sequence[float], item: str, at: int) -> go.Bar:
    return go.Bar(
        y=[in_picture(name, 16) for name in names],
        x=values,
        orientation="h",
        name=item,
        customdata=list(names),
        hovertext=[in_picture(name, 60) for name in names],
        marker={
            "color": ITEM_COLOURS[item],
            "pattern": {
                "shape": _HATCH[at % len(_HATCH)],
                "bgcolor": ITEM_COLOURS[item],
                "fgcolor": _INK,
                "size": 5,
                "solidity": 0.2,
            },
        },
        hovertemplate=f"%{{hovertext}}<br>{item}: %{{x:.2f}}<extra></extra>",
    )


def item_sheet(look: CloseLook, policy: str, line: str) -> Sheet:
    """The ledger of a good part, item by item, with the sum."""
    table = look.money_table(policy, line, ["item"])
    order = {item: at for at, item in enumerate(ITEMS)}
    table = table.sort_values("item", key=lambda items: items.map(order)).reset_index(drop=True)
    cost = look.figure(policy, line, "cost_per_good_part")
    rows = [
        [str(row["item"]), *numbers(interval(row["mean"], row["half_width"]), _share(row["mean"], cost.mean))]
        for row in table.to_dict(orient="records")
    ]
    money = look.works.currency
    caption = f'Ledger of one good part under "{policy}", {money}; mean of {look.n} runs ± half width, {_level(look)}'
    foot: list[Cell] = ["all together", *numbers(interval(cost.mean, cost.half_width), "100 %")]
    return Sheet(caption, ["item", *numbers(f"{money} per good part", "share")], rows, table, foot)


def made_of_sheet(
    look: CloseLook, policy: str, line: str, operation: str | None = None, item: str | None = None
) -> Sheet:
    """What an amount is made of: so much of something at a price; see `CloseLook.made_of`."""
    table = look.made_of(policy, line, operation, item)
    rows: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        price = f"{number(row['price'])} per {row['unit']}"
        made = f"{number(row['quantity'])} {row['unit']}"
        rows.append(
            [
                str(row["operation"]), str(row["item"]), str(row["cause"]), str(row["what"]),
                *numbers(made, price, interval(row["mean"], row["half_width"])),
            ]
        )  # fmt: skip
    money = look.works.currency
    of = " and ".join(part for part in (operation, item) if part) or "everything"
    caption = f"{of}: for each good part so much, at a price, makes {money} (mean of {look.n} runs)"
    heads = ["where", "item", "cause", "what", *numbers("of it per good part", f"price, {money}", f"{money} per part")]
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
            f'"{policy}" and "{against}" are not told apart in cost per good part: the difference is '
            f"{interval(mean, half_width)} {money}, and may be none."
        )
    more = "more" if mean > 0.0 else "less"
    table = look.money_between(policy, against, line, ["operation", "item"])
    apart = table[table["is_apart"]].head(3).to_dict(orient="records")
    parts = [f"{row['item']} at {row['operation']} {_signed(row['difference'])}" for row in apart]
    told = f" Most of it: {'; '.join(parts)}." if parts else ""
    return (
        f'"{policy}" costs {interval(abs(mean), half_width)} {money} {more} per good part than "{against}" '
        f"({_level(look)}).{told}"
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
        Bars that may be none are hatched and pale.
    """
    table = look.money_between(policy, against, line, ["operation", "item"])
    top = table.head(_MOST_BARS).to_dict(orient="records")
    labels = [in_picture(f"{row['operation']}, {row['item']}", 34) for row in top]
    figure = go.Figure(
        go.Bar(
            y=labels, x=[row["difference"] for row in top], orientation="h", showlegend=False,
            error_x={"type": "data", "array": [row["half_width"] for row in top], "thickness": 1.5,
                     "color": light.ink},
            marker={
                "color": [_side(row["difference"]) if row["is_apart"] else light.rule for row in top],
                "pattern": {"shape": ["" if row["is_apart"] else "/" for row in top], "bgcolor": light.sheet,
                            "fgcolor": light.faint, "size": 6},
            },
            hovertemplate="%{y}<br>%{x:.2f}<extra></extra>",
        )
    )  # fmt: skip
    money = in_picture(look.works.currency)
    title = f'{money} per good part: "{in_picture(policy, 24)}" less "{in_picture(against, 24)}"'
    figure.update_xaxes(title=title, zeroline=True, zerolinecolor=light.ink)
    figure.update_yaxes(autorange="reversed", showgrid=False)
    finish(figure, light, 120 + 28 * max(len(top), 2))
    figure.update_xaxes(zeroline=True)
    caption = (
        f'{look.works.currency} per good part, "{policy}" less "{against}"; paired by replication, intervals hold all '
        "together; ~ marks what may be no difference"
    )
    full = look.money_between(policy, against, line, ["operation", "item", "cause"])
    rows = [_between_row(row) for row in full.to_dict(orient="records")]
    heads = ["where", "item", "cause", *numbers(policy, against, "difference")]
    return Picture(figure, between_sentence(look, policy, against, line), Sheet(caption, heads, rows, full))


def _between_row(row: dict[Hashable, Any]) -> list[Cell]:
    told = interval(row["difference"], row["half_width"])
    shown: Cell = (told, "n") if row["is_apart"] else (f"{told} ~", "n open")
    return [str(row["operation"]), str(row["item"]), str(row["cause"]),
            *numbers(number(row["first"], 2), number(row["second"], 2)), shown]  # fmt: skip


def _operation_sheet(look: CloseLook, table: pd.DataFrame, names: Sequence[str], line: str) -> Sheet:
    """Operations by items."""
    items = [item for item in ITEMS if item in set(table["item"])]
    money = {(row["operation"], row["item"]): row["mean"] for row in table.to_dict(orient="records")}
    rows = []
    for name in dict.fromkeys([*names, *table["operation"]]):
        own = [money.get((name, item)) for item in items]
        total = sum(value for value in own if value is not None)
        rows.append([name, *numbers(*(number(value, 2) for value in own), number(total, 2))])
    sums = [sum(money.get((name, item), 0.0) for name in dict.fromkeys(table["operation"])) for item in items]
    foot: list[Cell] = ["all together", *numbers(*(number(value, 2) for value in (*sums, sum(sums))))]
    caption = f"{line}: {look.works.currency} per good part, mean of {look.n} runs"
    return Sheet(caption, ["where", *numbers(*items, "together")], rows, table, foot)


def _side(value: float) -> str:
    return PALETTE["vermilion"] if value > 0.0 else PALETTE["bluish green"]


def _signed(value: float) -> str:
    return f"+{number(value, 2)}" if value > 0.0 else number(value, 2)


def _share(value: float, total: float) -> str:
    return f"{number(100.0 * value / total, 1)} %" if total else "–"


def _level(look: CloseLook) -> str:
    return f"{100.0 * look.confidence:g} % confidence"
