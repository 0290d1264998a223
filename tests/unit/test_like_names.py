"""Names with a like beginning stay two things on every picture, each with its own figures and its own label."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pandas as pd
import plotly.graph_objects as go
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.ask import compare, drivers, history, intervals, worth
from linesim.desk import desk_figures
from linesim.report.charts.intervals import best_intervals_figure
from linesim.report.charts.minute_value import minute_value_figure
from linesim.report.charts.output_loss import output_loss_figure
from linesim.report.charts.sensitivity import screening_figure, sensitivity_figure
from linesim.report.charts.shares import constraint_time_figure, cost_figure
from linesim.report.charts.warm_up import warm_up_figure
from linesim.report.theme.safe import short_labels
from linesim.report.views import drawing as drawing_view
from linesim.report.views import life as life_view
from linesim.report.views import moment as moment_view
from linesim.report.views import money as money_view
from linesim.report.views import past as past_view
from linesim.report.views import shift as shift_view
from linesim.report.views.routing_picture import routing_picture
from linesim.study.comparing.closely import look
from linesim.study.comparing.measures import MEASURES
from linesim.study.one.shift_record import record_shift
from linesim.study.one.wear_trail import trail
from linesim.study.questions.frontier import Frontier
from linesim.study.search import SearchPlan
from linesim.works import Works, changed, load_works, works_from_dict
from linesim.works.writing import plain
from tests.unit.dashboard_app import SCENARIOS

LONG = "of the cylinder block for the three-cylinder engine of the canal boat, "
SHORT_RUN = {"length": 1440, "warm_up": 480, "replications": 2}


def named(works: Works, called: Callable[[str], str]) -> Works:
    """A works whose operations, cutters, features, lines and policies have other names."""
    names = {*works.lines, *works.cutters, *works.policies}
    for line in works.lines.values():
        names |= {*line.operations, *line.features}

    def one(name: str) -> str:
        return " / ".join(called(part) if part in names else part for part in name.split(" / "))

    def through(value: Any) -> Any:
        if isinstance(value, dict):
            return {one(str(name)): through(each) for name, each in value.items()}
        if isinstance(value, list):
            return [through(each) for each in value]
        return one(value) if isinstance(value, str) else value

    return works_from_dict(through(plain(works)), "renamed")


@pytest.fixture(scope="module")
def short() -> Works:
    """Names that fit everywhere; no operation is called as the line is."""
    works = changed(load_works(SCENARIOS / "block-line.yaml"), {"run": SHORT_RUN})
    return named(works, lambda name: name)


@pytest.fixture(scope="module")
def alike(short: Works) -> Works:
    return named(short, lambda name: f"{LONG}{name}")


def both(draw: Callable[[Works, Callable[[str], str]], go.Figure], short: Works, alike: Works) -> list[go.Figure]:
    return [draw(short, lambda name: name), draw(alike, lambda name: f"{LONG}{name}")]


def shift_of(works: Works, called: Callable[[str], str]) -> Any:
    return record_shift(works, called("full life"))


def close_of(works: Works, called: Callable[[str], str]) -> Any:
    return look(works, [called("full life"), called("by parts")], 2)


def compared(works: Works, **more: Any) -> Any:
    return compare(works, replications=2, workers=1, **more)


DRAWN: dict[str, Callable[[Works, Callable[[str], str]], go.Figure]] = {
    "shift": lambda works, of: shift_view.shift_picture(shift_of(works, of), of("block")).figure,
    "moment": lambda works, of: moment_view.floor_picture(shift_of(works, of), of("block"), 200.0).figure,
    "edges": lambda works, of: moment_view.edge_picture(shift_of(works, of), of("block"), of("Op 60")).figure,
    "parts": lambda works, of: (
        moment_view.part_picture(shift_of(works, of), of("block"), of("cylinder bores"), "error_um").figure
    ),
    "money": lambda works, of: money_view.money_picture(close_of(works, of), of("full life"), of("block")).figure,
    "between": lambda works, of: (
        money_view.between_picture(close_of(works, of), of("full life"), of("by parts"), of("block")).figure
    ),
    "drawing": lambda works, of: drawing_view.drawing_picture(close_of(works, of), of("full life"), of("block")).figure,
    "life of an edge": lambda works, of: (
        drawing_view.life_picture(trail(works, of("full life")), of("block"), of("cylinder bores"), "error_um").figure
    ),
    "routing": lambda works, of: routing_picture(works, desk_figures(works, of("full life")), of("block")).figure,
    "history": lambda works, of: (
        life_view.life_picture(
            history(works, of("cylinder bores"), line=of("block"), policy=of("full life"), replications=1)
        ).figure
    ),
    "output against loss": lambda works, of: output_loss_figure(Frontier(compared(works))),
    "cost": lambda works, of: cost_figure(compared(works)),
    "time": lambda works, of: constraint_time_figure(compared(works), of("block")),
    "warm-up": lambda works, of: warm_up_figure(compared(works, warm_up="auto"), "parts shipped"),
    "minute": lambda works, of: minute_value_figure(worth(works, of("full life"), replications=2)),
    "sensitivity": lambda works, of: sensitivity_figure(
        drivers(works, of("full life"), replications=2, trajectories=2, are_together=True)
    ),
    "screening": lambda works, of: screening_figure(
        drivers(works, of("full life"), replications=2, trajectories=2, are_together=True)
    ),
    "best intervals": lambda works, of: best_intervals_figure(
        intervals(works, policy=of("full life"), plan=SearchPlan(runs=50, replications=4, fresh=2))
    ),
}


@pytest.mark.parametrize(
    "name",
    [pytest.param(name, marks=pytest.mark.longer) if name in {"screening", "sensitivity"} else name for name in DRAWN],
)
def test_a_picture_keeps_like_names_apart(name: str, short: Works, alike: Works) -> None:
    plain_one, long_one = both(DRAWN[name], short, alike)
    assert len(plain_one.data) == len(long_one.data)
    for one, other in zip(plain_one.data, long_one.data, strict=True):
        for axis in ("x", "y"):
            assert places(one, axis) == places(other, axis), (axis, other.name)
    for texts in labels_of(long_one):
        assert len(set(texts)) == len(texts), texts
        assert all(text.strip() for text in texts)


def places(trace: Any, axis: str) -> list[Any]:
    """Where the pieces of a trace stand on an axis; names by the number of their first mention, as Plotly puts them."""
    values = list(trace[axis]) if trace[axis] is not None else []
    if not any(isinstance(value, str) for value in values):
        return [None if value != value else value for value in values]
    order = list(dict.fromkeys(values))
    return [order.index(value) for value in values]


def labels_of(figure: go.Figure) -> list[list[str]]:
    """Texts of each axis, of the legend, and those that name points."""
    axes = [axis for axis in figure.layout if axis.startswith(("xaxis", "yaxis"))]
    found = [list(figure.layout[axis].ticktext) for axis in axes if figure.layout[axis].ticktext]
    found.append([trace.name for trace in figure.data if trace.name and trace.showlegend is not False])
    return found


def test_the_means_of_past_studies_keep_like_policies_apart() -> None:
    works = load_works(SCENARIOS / "smallest.yaml")
    names = [f"{LONG}one", f"{LONG}two", f"{LONG}three"]
    rows = [
        {"works": "w", "policy": name, "measure": measure.name, "mean": float(at), "half_width": 0.5, "n": 8}
        for at, name in enumerate(names)
        for measure in MEASURES
    ]
    figure = past_view.means_picture(pd.DataFrame(rows), "good_per_hour", works).figure
    assert list(figure.data[0].x) == [0.0, 1.0, 2.0]
    assert list(figure.data[0].y) == [0, 1, 2]
    assert len(set(figure.layout.yaxis.ticktext)) == 3


@given(st.lists(st.text(st.sampled_from("ab \n<$"), max_size=14), min_size=1, max_size=8), st.integers(8, 12))
def test_short_labels_are_never_alike(names: list[str], most: int) -> None:
    labels = short_labels(names, most)
    assert len(set(labels)) == len(names)
    assert all(len(label) <= most + len(f"{len(names)} ") for label in labels)
