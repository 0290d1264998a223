"""The coming shift for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.study.coming.clock import clock_told
from linesim.study.coming.figures import MAGAZINE
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.words import sentences_of
from linesim.words import retell, say

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
    first, *rest = [plain(sentence) for sentence in sentences_of(forecast)]
    name = (plain(forecast.works.name), "bold")
    head = Text.assemble(name, "\n", (first, "bold"), *(f"\n{line}" for line in rest))
    parts: list[RenderableType] = [head, _due(forecast)]
    if forecast.sets["at_hand"].any():
        parts.append(_sets(forecast))
    if len(forecast.hours):
        parts.append(_hours(forecast))
    clock = forecast.of.clock
    basis = say(
        "coming.basis", policy=plain(forecast.policy), begins=clock.beginning, seed=forecast.seed, runs=forecast.n,
        level=forecast.of.level,
    )  # fmt: skip
    parts.append(Text(basis, style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _due(forecast: Forecast) -> RenderableType:
    columns = [_column("set", 24), _column("machine", 22), *map(_column, ("due", "from", "to"))]
    columns += number_columns(
        *(say(f"coming.{name}") for name in ("head_parts", "comes_due_percent", "breaks_percent"))
    )
    return grid(say("coming.due_title"), columns, due_rows(forecast))


def _column(name: str, most: int | None = None) -> Column:
    """A column of texts by the end of its key."""
    return Column(say(f"coming.head_{name}"), True, most)


def due_rows(forecast: Forecast) -> Iterator[list[str]]:
    """When each set will be due: set, machine, due, from, to, parts, and per cent in which it comes due and breaks."""
    for row in forecast.due.to_dict(orient="records"):
        name = retell(MAGAZINE) if row["cutter"] == MAGAZINE else str(row["cutter"])
        cutter = name if row["nth"] == 1 else say("coming.nth", cutter=name, nth=row["nth"])
        parts = number(float(row["parts"]), 0) if row["parts"] == row["parts"] else UNKNOWN
        shares = [number(100.0 * float(row[name]), 0) for name in ("chance", "broken")]
        times = [clock_told(str(row[name])) for name in ("due", "from", "to")]
        yield [cutter, retell(forecast.of.called(int(row["of_machine"]))), *times, parts, *shares]


def _sets(forecast: Forecast) -> RenderableType:
    heads = ("head_sharp", "head_at_grinder", "head_wanted", "head_to_have", "short_percent")
    columns = [_column("cutter", 30), *number_columns(*(say(f"coming.{name}") for name in heads))]
    return grid(say("coming.sets_title"), columns, set_rows(forecast))


def _hours(forecast: Forecast) -> RenderableType:
    columns = [_column("people", 20), _column("from"), _column("to")]
    heads = ("head_there", "busy_min", "busiest_min", "head_at_once", "wait_min", "clash_percent")
    shown = number_columns(*(say(f"coming.{name}") for name in heads))
    return grid(say("coming.hours_title"), [*columns, *shown], hour_rows(forecast))


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
            names = [
                str(row["people"]),
                *(clock_told(str(row[name])) for name in ("from", "to")),
                str(row["attending"]),
            ]
            yield [*names, *busy, str(row["at_once"]), *waits]
