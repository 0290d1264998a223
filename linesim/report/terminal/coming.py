"""The coming shift for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.study.coming.forecast import Forecast

__all__ = ["coming_text", "due_rows", "hour_rows", "set_rows"]

_LEAST_BUSY_MIN = 0.5


def coming_text(forecast: Forecast) -> Group:
    """A forecast laid out for a terminal of 100 columns.

    Parameters
    ----------
    forecast : Forecast
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = [plain(sentence) for sentence in forecast.sentences]
    name = (plain(forecast.works.name), "bold")
    head = Text.assemble(name, "\n", (first, "bold"), *(f"\n{line}" for line in rest))
    parts: list[RenderableType] = [head, _due(forecast)]
    if forecast.sets["at_hand"].any():
        parts.append(_sets(forecast))
    if len(forecast.hours):
        parts.append(_hours(forecast))
    clock = forecast.of.clock
    basis = (
        f'Policy "{plain(forecast.policy)}", {plain(clock.beginning)}; seed {forecast.seed}, {forecast.n} runs from '
        f"the state stated, of those in which every edge has lasted as long. Bands hold {forecast.of.level:.0%} of "
        "such shifts. The sheet for the setter: --html FILE or --pdf FILE; to carry on from here: --state-out FILE."
    )
    parts.append(Text(basis, style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _due(forecast: Forecast) -> RenderableType:
    columns = [Column("set", True, 24), Column("machine", True, 22), Column("due", True), Column("from", True)]
    columns += [Column("to", True), *number_columns("parts then", "comes due %", "breaks %")]
    return grid("When each set will be due", columns, due_rows(forecast))


def due_rows(forecast: Forecast) -> Iterator[list[str]]:
    """When each set will be due: set, machine, due, from, to, parts, and per cent in which it comes due and breaks."""
    for row in forecast.due.to_dict(orient="records"):
        cutter = str(row["cutter"]) if row["nth"] == 1 else f"{row['cutter']} ({row['nth']}.)"
        parts = number(float(row["parts"]), 0) if row["parts"] == row["parts"] else UNKNOWN
        shares = [number(100.0 * float(row[name]), 0) for name in ("chance", "broken")]
        times = [str(row[name]) for name in ("due", "from", "to")]
        yield [cutter, forecast.of.called(int(row["of_machine"])), *times, parts, *shares]


def _sets(forecast: Forecast) -> RenderableType:
    columns = [Column("cutter", True, 30), *number_columns("sharp now", "at the grinder", "wanted", "to have at hand")]
    return grid("Sharp sets", [*columns, Column("runs short %")], set_rows(forecast))


def _hours(forecast: Forecast) -> RenderableType:
    columns = [Column("people", True, 20), Column("from", True), Column("to", True)]
    heads = ("there", "busy min", "busy at most", "machines at once", "machines wait min", "clash %")
    return grid("Who is wanted when", [*columns, *number_columns(*heads)], hour_rows(forecast))


def set_rows(forecast: Forecast) -> Iterator[list[str]]:
    """Sharp sets of kinds that may be wanted: cutter, sharp, at the grinder, wanted, at hand, per cent short."""
    for row in forecast.sets[forecast.sets["at_hand"] > 0].to_dict(orient="records"):
        counts = [str(row["sharp"]), str(row["at_grinder"]), number(float(row["wanted"]), 1), str(row["at_hand"])]
        yield [str(row["cutter"]), *counts, number(100.0 * float(row["short"]), 0)]


def hour_rows(forecast: Forecast) -> Iterator[list[str]]:
    """People hour by hour, hours of next to no work left out: who, from, to, and figures as texts."""
    for row in forecast.hours.to_dict(orient="records"):
        if row["busy_min"] >= _LEAST_BUSY_MIN:
            busy = [number(float(row[name]), 0) for name in ("busy_min", "busiest_min")]
            waits = [number(float(row["waited_min"]), 0), number(100.0 * float(row["clash"]), 0)]
            names = [str(row[name]) for name in ("people", "from", "to", "attending")]
            yield [*names, *busy, str(row["at_once"]), *waits]
