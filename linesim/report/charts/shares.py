"""Bars of pieces: where the time of a constraint goes, and what a good part costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd
import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hatched, hover_names, name_rows
from linesim.report.theme.colours import DAY, ITEM_COLOURS, ITEM_HATCH, STATE_COLOURS, STATE_HATCH, Light
from linesim.report.theme.safe import in_picture, key_in_picture
from linesim.report.theme.shown import number, state_shown
from linesim.study import WHOLE_WORKS, Comparison
from linesim.study.comparing.closely import CloseLook
from linesim.words import say
from linesim.works.doing import called_at

__all__ = ["constraint_time_figure", "cost_by_operation_figure", "cost_figure", "operations_with_cost"]

Pieces = dict[tuple[str, str], float]
"""Length of each piece of a bar, by whole name of the bar and kind of piece."""

_CASTINGS = "castings"
_ROW_PX = 27
_LEAST_SHOWN = 0.0005


def constraint_time_figure(comparison: Comparison, line: str, light: Light = DAY) -> go.Figure:
    """Where the time of the operation goes that holds a line back, policy by policy.

    Parameters
    ----------
    comparison : Comparison
        What to show.
    line : str
        Name of the line.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
    """
    table = comparison.times
    own = table[table["is_constraint"] & (table["line"] == line)]
    shares = _pieces(own.groupby(["policy", "state"])["share"].mean() * 100.0)
    figure = go.Figure()
    for state, colour in STATE_COLOURS.items():
        _add_bars(
            figure, shares, {name: name for name in comparison.names}, state, hatched(colour, STATE_HATCH[state]), "%"
        )
    figure.update_xaxes(title=say("charts.time_share"), range=[0, 100])
    return _finish(figure, comparison.names, light, 170)


def cost_figure(comparison: Comparison, light: Light = DAY) -> go.Figure:
    """What a good part costs, item by item, policy by policy.

    Parameters
    ----------
    comparison : Comparison
        What to show.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly.graph_objects.Figure
    """
    table = comparison.ledger[comparison.ledger["line"] == WHOLE_WORKS]
    money = _pieces(table.set_index(["policy", "item"])["per_good_part"])
    currency = in_picture(comparison.works.currency)
    figure = _cost_bars(money, {name: name for name in comparison.names}, currency)
    figure.update_xaxes(title=say("compare.per_part", currency=currency))
    return _finish(figure, comparison.names, light, 280)


def operations_with_cost(look: CloseLook, policy: str, line: str) -> list[str]:
    """Operations of a line in the order of its routing, and what belongs to none of them, as far as they cost."""
    table = look.money_table(policy, line, ["operation", "item"])
    costly = list(dict.fromkeys(table.loc[table["item"] != _CASTINGS, "operation"]))
    known = [name for name in look.works.lines[line].operations if name in costly]
    return [*known, *(name for name in costly if name not in known)]


def cost_by_operation_figure(look: CloseLook, policy: str, line: str, light: Light = DAY) -> go.Figure:
    """Money per good part by operation, each bar of its items.

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
    plotly.graph_objects.Figure
        Operations in the order of the routing. Castings, which would dwarf all others, are left out, and the label
        says what they are.
    """
    table = look.money_table(policy, line, ["operation", "item"])
    castings = float(table.loc[table["item"] == _CASTINGS, "mean"].sum())
    money = _pieces(table[table["item"] != _CASTINGS].set_index(["operation", "item"])["mean"])
    names, currency = operations_with_cost(look, policy, line), in_picture(look.works.currency)
    shown = {name: called_at(look.works, line, name) for name in names}
    figure = _cost_bars(money, shown, currency)
    per_part = say("compare.per_part", currency=currency)
    without = say("charts.without_casting", castings=number(castings, 2))
    figure.update_xaxes(title=f"{per_part}<br>{without}")
    return _finish(figure, list(shown.values()), light, 190)


def _cost_bars(money: Mapping[tuple[str, str], float], names: Mapping[str, str], currency: str) -> go.Figure:
    figure = go.Figure()
    for item, colour in ITEM_COLOURS.items():
        _add_bars(figure, money, names, item, hatched(colour, ITEM_HATCH[item]), currency)
    return figure


def _add_bars(
    figure: go.Figure, values: Mapping[tuple[str, str], float], names: Mapping[str, str], kind: str,
    marker: dict[str, object], unit: str,
) -> None:  # fmt: skip
    """One piece of every bar, by its name and what it is called; nothing where no bar has any of it."""
    pieces = [values.get((name, kind), 0.0) for name in names]
    if max(map(abs, pieces), default=0.0) < _LEAST_SHOWN:
        return
    words = in_picture(state_shown(kind), 60)
    figure.add_trace(
        go.Bar(
            x=pieces, y=list(range(len(names))), width=0.65, orientation="h", name=words, marker=marker,
            hovertext=hover_names(names.values()), customdata=[[key_in_picture(name), kind] for name in names],
            hovertemplate=f"%{{hovertext}}<br>{words}: %{{x:.2f}} {unit}<extra></extra>",
        )
    )  # fmt: skip


def _finish(figure: go.Figure, names: Sequence[str], light: Light, frame_px: int) -> go.Figure:
    figure.update_layout(barmode="relative", bargap=0.35)
    name_rows(figure, names, 34)
    return finish(figure, light, frame_px + _ROW_PX * len(names))


def _pieces(values: pd.Series[float]) -> Pieces:
    """Values with a two-level index as plain numbers."""
    names = [(str(name), str(kind)) for name, kind in values.index]
    return dict(zip(names, values.to_list(), strict=True))
