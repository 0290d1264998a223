"""A shift on paper: what every machine did, where parts stood, how edges dulled, what cost most."""

from __future__ import annotations

from typing import NamedTuple

import pandas as pd
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from linesim.plan.tally import State
from linesim.report.charts.frame import finish, hatched, hover_names, name_rows
from linesim.report.theme.colours import DAY, STATE_COLOURS, STATE_HATCH, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import number, state_shown
from linesim.study.one.shift_record import ShiftRecord
from linesim.works.doing import called_at, machine_called

__all__ = ["Moment", "clock", "dearest_moments", "moment_sheet", "shift_picture", "shift_sentence", "waits_sheet"]

_WAITS = [state.words for state in State if state.words.startswith("waiting")] + [State.HELD_UP.words]
_LEAST_MINUTES = 0.05
_MOST_MOMENTS = 12


def clock(minute: float) -> str:
    """A moment of the shift as hours and minutes from its start.

    >>> clock(192.6)
    '3:12'
    """
    return f"{int(minute // 60)}:{int(minute % 60):02d}"


def shift_sentence(record: ShiftRecord, line: str) -> str:
    """What a shift of a line gave, and its dearest moment."""
    parts = record.parts[record.parts["line"] == line]
    shipped = int((parts["outcome"] == "shipped").sum())
    scrapped = int((parts["outcome"] == "scrapped").sum())
    lost = f", {scrapped} scrapped" if scrapped else ""
    outcome = f'Shift {record.shift} under "{record.policy}": {shipped} parts of {line} went out{lost}.'
    stops = record.moments[(record.moments["line"] == line) & (record.moments["kind"] == "stop")]
    if stops.empty:
        return f"{outcome} Its constraint never stood."
    first = stops.iloc[0]
    stood, length = float(stops["minutes"].sum()), record.length_min
    price = f", {number(first['cost'], 0)} {record.works.currency}" if first["cost"] > 0.0 else ""
    return (
        f"{outcome} The constraint stood {number(stood, 0)} of {number(length, 0)} minutes; the dearest moment was at "
        f"{clock(first['start_min'])}: {first['words']}{price}."
    )


def shift_picture(record: ShiftRecord, line: str, minute: float | None = None, light: Light = DAY) -> Picture:
    """What every machine of a line did over the shift, and under it how many parts stood before each operation.

    Parameters
    ----------
    record : ShiftRecord
        The shift.
    line : str
        Which line.
    minute : float, optional
        A moment to mark.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Minutes from the start of the shift on both; zoom in either and the other follows.
    """
    states = record.states[record.states["line"] == line]
    machines, operations = _machines(record, line), list(record.works.lines[line].operations)
    figure = make_subplots(rows=2, cols=1, shared_xaxes=True, row_heights=[0.62, 0.38], vertical_spacing=0.05)
    for state in STATE_COLOURS:
        own = states[states["state"] == state]
        if not own.empty:
            figure.add_trace(_state_bars(own, state, machines), row=1, col=1)
    _draw_stock(figure, record, line, operations[1:], light)
    if minute is not None:
        figure.add_vline(x=minute, line={"color": light.caution, "width": 2, "dash": "dot"})
    finish(figure, light, 316 + 21 * len(machines) + 14 * len(operations))
    figure.update_layout(barmode="overlay", bargap=0.15, hovermode="closest", margin={"b": 168})
    name_rows(figure, [machine_called(record.works, line, *pair) for pair in machines], 34, row=1, col=1)
    name_rows(figure, [called_at(record.works, line, name) for name in operations[1:]], 34, row=2, col=1)
    figure.update_yaxes(fixedrange=True, row=1, col=1)
    figure.update_yaxes(title="parts waiting", row=2, col=1)
    figure.update_xaxes(range=[0, record.length_min], dtick=60, gridcolor=light.rule)
    figure.update_xaxes(title="minutes from the start of the shift", row=2, col=1)
    words = f"{shift_sentence(record, line)} Machines from top to bottom, time from left to right."
    return Picture(figure, words, _states_sheet(states, machines, record, line))


def _machines(record: ShiftRecord, line: str) -> list[tuple[str, str]]:
    """Operation and machine, in the order of the routing."""
    order = {name: at for at, name in enumerate(record.works.lines[line].operations)}
    own = record.edges if record.states.empty else record.states
    pairs = own.loc[own["line"] == line, ["operation", "machine"]].drop_duplicates()
    return sorted(zip(pairs["operation"], pairs["machine"], strict=True), key=lambda pair: (order[pair[0]], pair[1]))


def _state_bars(own: pd.DataFrame, state: str, machines: list[tuple[str, str]]) -> go.Bar:
    rows = [machines.index(pair) for pair in zip(own["operation"], own["machine"], strict=True)]
    words = state_shown(state)
    return go.Bar(
        y=rows,
        x=own["end_min"] - own["start_min"],
        base=own["start_min"],
        width=0.85,  # left to itself, a bar is as wide as the next row of its own state is far
        orientation="h",
        name=words,
        customdata=own[["start_min", "end_min"]],  # a bar's own "base" is read differently from release to release
        marker=hatched(STATE_COLOURS[state], STATE_HATCH[state]),
        hovertext=hover_names(own["machine"]),
        hovertemplate=f"%{{hovertext}}: {words}<br>%{{customdata[0]:.1f}} to %{{customdata[1]:.1f}} min<extra></extra>",
    )


def _draw_stock(figure: go.Figure, record: ShiftRecord, line: str, operations: list[str], light: Light) -> None:
    """Parts that stand before each operation, by minute: the darker, the more."""
    stock = record.stock[record.stock["line"] == line]
    minutes = list(range(0, int(record.length_min) + 1, max(1, int(record.length_min) // 480)))
    called = [called_at(record.works, line, name) for name in operations]
    rows = []
    for name in operations:
        own = stock[stock["operation"] == name].set_index("minute")["parts"]
        at = own[~own.index.duplicated(keep="last")].reindex(minutes, method="ffill")
        rows.append(at.to_list())
    if rows:
        figure.add_trace(
            go.Heatmap(
                x=minutes, y=list(range(len(operations))), z=rows,
                hovertext=[[name] * len(minutes) for name in hover_names(called)],
                colorscale=[[0.0, light.sheet], [1.0, light.accent]], zmin=0, ygap=1,
                colorbar={"title": {"text": "parts"}, "thickness": 10, "len": 0.34, "y": 0.17, "outlinewidth": 0},
                hovertemplate="before %{hovertext}: %{z} parts at %{x} min<extra></extra>",
            ), row=2, col=1,
        )  # fmt: skip


def _states_sheet(states: pd.DataFrame, machines: list[tuple[str, str]], record: ShiftRecord, line: str) -> Sheet:
    """Minutes of each machine in each state."""
    own = states.assign(minutes=states["end_min"] - states["start_min"])
    sums = own.groupby(["operation", "machine", "state"])["minutes"].sum().to_dict()
    present = [state for state in STATE_COLOURS if state in set(own["state"])]
    rows: list[list[Cell]] = [
        [
            machine_called(record.works, line, *pair),
            *numbers(*(number(sums.get((*pair, state), 0.0), 1) for state in present)),
        ]
        for pair in machines
    ]
    caption = f'{line} under "{record.policy}": minutes of the shift in each state'
    return Sheet(caption, ["machine", *numbers(*map(state_shown, present))], rows, own)


def waits_sheet(record: ShiftRecord, line: str) -> Sheet:
    """Who is being waited for: minutes in which machines stood for want of somebody or something."""
    own = record.states[(record.states["line"] == line) & record.states["state"].isin(_WAITS)]
    own = own.assign(minutes=own["end_min"] - own["start_min"])
    sums = (
        own.groupby(["state", "operation", "machine"], sort=False)["minutes"].agg(["sum", "max", "count"]).reset_index()
    )
    sums = sums[sums["sum"] >= _LEAST_MINUTES].sort_values("sum", ascending=False, kind="stable")
    rows: list[list[Cell]] = [
        [_for_whom(str(row["state"])), machine_called(record.works, line, str(row["operation"]), str(row["machine"])),
         *numbers(number(row["sum"], 1), str(row["count"]), number(row["max"], 1))]
        for row in sums.to_dict(orient="records")
    ]  # fmt: skip
    heads = ["waited for", "by", *numbers("minutes", "times", "longest, min")]
    caption = f'{line} under "{record.policy}": who and what is being waited for in this shift'
    return Sheet(caption, heads, rows, sums)


def _for_whom(state: str) -> str:
    if state == State.HELD_UP.words:
        return "room behind it: held up (blocked)"
    return state_shown(state).removeprefix("waiting for ")


class Moment(NamedTuple):
    """A moment that cost much.

    Attributes
    ----------
    minute : float, min
        From the start of the shift.
    operation : str
        Where, by its name in the scenario.
    words : str
        When, what it cost, and what happened.
    """

    minute: float
    operation: str
    words: str


def dearest_moments(record: ShiftRecord, line: str, most: int) -> list[Moment]:
    """The moments of a line that cost most, the dearest first.

    Parameters
    ----------
    record : ShiftRecord
        The shift.
    line : str
        Which line.
    most : int
        So many at the most.

    Returns
    -------
    list of Moment
    """
    own = record.moments[record.moments["line"] == line].head(most)
    moments = []
    for row in own.to_dict(orient="records"):
        price = f", {number(row['cost'], 0)} {record.works.currency}" if row["cost"] > 0.0 else ""
        words = f"{clock(row['start_min'])}{price}: {row['words']}"
        moments.append(Moment(float(row["start_min"]), str(row["operation"]), words))
    return moments


def moment_sheet(record: ShiftRecord, line: str) -> Sheet:
    """The moments that cost most, the dearest first."""
    own = record.moments[record.moments["line"] == line]
    rows: list[list[Cell]] = [
        [clock(row["start_min"]), str(row["words"]), *numbers(number(row["minutes"], 1), number(row["cost"], 2))]
        for row in own.head(_MOST_MOMENTS).to_dict(orient="records")
    ]
    price = number(record.price_per_minute[line], 2)
    caption = (
        f"A minute of the bottleneck is priced at {price} {record.works.currency}: worth less casting of the parts "
        f"that it would make, as hours are paid anyway. A poor part costs its quality loss. The {_MOST_MOMENTS} "
        "dearest; the file has more"
    )
    return Sheet(caption, ["at", "what", *numbers("minutes", record.works.currency)], rows, own)
