"""Times that spread, typed in three cells: nothing is lost on the way there and back, and what is wrong is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.parts.cell_columns import cell_columns
from dashboard.parts.cells import _cells, _figures, _frame
from dashboard.parts.spread_cells import in_three, in_three_faults, may_spread, of_three, spreading
from linesim.works import load_works
from linesim.works.book.editing import Draft
from linesim.works.book.layout import layout_of
from linesim.works.book.spreads import Parts, fault_of, joined, parted

SCENARIOS = sorted((Path(__file__).resolve().parents[2] / "scenarios").glob("*.yaml"))


def times_of(draft: Draft) -> list[object]:
    """Every cell of every sheet in which a time may stand."""
    cells: list[object] = []
    for table in layout_of().tables:
        if not table.is_list:
            for at, column in enumerate(table.columns, start=len(table.keys)):
                if column.shape.model is not None and column.shape.model.in_one_cell:
                    cells += [row[at] for row in draft.rows(table.title) if at < len(row)]
    return cells


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.name)
def test_every_time_of_the_scenarios_comes_back_as_it_was_written(path: Path) -> None:
    cells = [cell for cell in times_of(Draft.of(load_works(path), False)) if cell is not None]
    assert [joined(parted(cell), cell) for cell in cells] == cells
    named = [cell for cell in cells if parted(cell).kind]
    assert [parted(joined(parted(cell))) for cell in named] == [parted(cell) for cell in named]
    assert not [cell for cell in cells if str(cell).startswith("{")]  # each has its words


@pytest.mark.parametrize(
    ("cell", "parts"),
    [
        ("{lognormal: {mean: 60, cv: 0.8}}", Parts(60.0, "lognormal", 0.8)),
        ('{"exponential": {"mean": 840.0}}', Parts(840.0, "exponential", None)),
        ("{uniform: {low: 180, high: 480}}", Parts(180.0, "uniform", 480.0)),
        ("{weibull: {shape: 2, mean: 900}}", Parts(900.0, "weibull", 2.0)),
        ("{erlang: {mean: 3, phases: 4}}", Parts(3.0, "erlang", 4.0)),
        ("{triangular: {low: 2, mode: 3, high: 5}}", Parts(3.0, "triangular", "2; 5")),
        ("2.5 triangular 2; 5", Parts(2.5, "triangular", "2; 5")), ("2.5 Gamma by 0,4", Parts(2.5, "gamma", 0.4)),
        ("{listed: [1, 2.5]}", Parts(None, "drawn from a list", "1; 2.5")),
        ("{in_order: [1 h, 2]}", Parts("{in_order: [1 h, 2]}")),
        ("{weibull: {shape: 2, scale: 900}}", Parts("{weibull: {shape: 2, scale: 900}}")),
        ("{lognormal: {mean: 1 h, cv: 0.8}}", Parts("{lognormal: {mean: 1 h, cv: 0.8}}")),
        ("3 min", Parts("3 min")), (5.0, Parts(5.0)), (None, Parts()),
    ],
)  # fmt: skip
def test_a_time_is_laid_out_in_three_where_it_can_be(cell: object, parts: Parts) -> None:
    assert parted(cell) == parts  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        (Parts(60.0, "lognormal", 0.8), ""), (Parts(900.0, "exponential"), ""), (Parts("3 min"), ""), (Parts(), ""),
        (Parts(60.0, None, 0.8), "0.8 says by how much it spreads, but not how; choose how"),
        (Parts(60.0, "gamma"), "gamma needs a second figure: the standard deviation over the mean, such as 0.8"),
        (Parts(None, "exponential"), "nothing was found where the mean is expected, a number of minutes"),
        (Parts("3 min", "uniform", 5.0), '"3 min" was found where the least is expected, a number of minutes'),
        (Parts(60.0, "exponential", 2.0), "exponential has no second figure; take 2 away"),
        (Parts(60.0, "gamma", "much"), ('"much" was found; gamma needs a second figure: the standard deviation over '
                                        "the mean, such as 0.8")),
        (Parts(3.0, "triangular", "2; 5"), ""), (Parts(None, "drawn from a list", "2.1; 3"), ""),
        (Parts(None, "triangular", "2; 5"), ("nothing was found where the most likely time is expected, a number of "
                                            "minutes")),
        (Parts(3.0, "triangular"), "triangular needs the least and the most, in minutes, such as 2; 5"),
        (Parts(2.0, "a list in order", "3; 4"), "all times stand together; take 2 away, or put it to them"),
        (Parts(None, "a list in order", "3; x"), ('"3; x" was found where the times are expected, in minutes with '
                                                 "semicolons between, such as 2.1; 2.4")),
    ],
)  # fmt: skip
def test_what_is_wrong_with_it_is_said_by_what_has_to_be_mended(parts: Parts, words: str) -> None:
    assert fault_of(parts) == words


def test_what_is_typed_in_three_columns_is_read_as_one_time() -> None:
    works = load_works(SCENARIOS[[path.name for path in SCENARIOS].index("block-line.yaml")])
    draft, table = Draft.of(works, False), layout_of().titled("Operations")
    head, *rows = draft.grids["Operations"]
    headings = [str(cell) for cell in head]
    shown = [heading for heading in headings if heading.startswith("breakdowns")]
    three = spreading(table, headings, rows, shown)
    assert [heading.partition(" (")[0] for heading in three[:2]] == ["breakdowns between", "breakdowns repair"]
    frame = in_three(_frame(headings, rows, _figures(cell_columns(table, headings, rows, draft))), three, rows)
    at = list(frame["operation"]).index("Op 60")
    repair = three[1]
    assert list(frame.loc[at, [repair, f"{repair}: how it spreads", f"{repair}: by"]]) == [60.0, "lognormal", "0.8"]
    before = dict(enumerate(draft.rows("Operations")))
    assert of_three(frame, three, before)[repair].tolist() == [row[headings.index(repair)] for row in rows]
    frame.loc[at, f"{repair}: by"] = None
    assert in_three_faults(frame, three, "operation") == [
        f"Op 60, {repair}: lognormal needs a second figure: the standard deviation over the mean, such as 0.8"
    ]
    frame.loc[at, f"{repair}: by"] = "0,5"
    changed = of_three(frame, three, before)
    cells = [(label, _cells(row, before[label])) for label, *row in changed.itertuples(name=None)]
    spread = draft.edited("Operations", cells).works("it").lines["block"].operations["Op 60"].breakdowns
    assert spread is not None
    assert (spread.repair.lognormal.mean, spread.repair.lognormal.cv) == (60.0, 0.5)  # type: ignore[union-attr]


def test_a_time_that_is_always_the_same_so_far_is_laid_out_in_three_once_that_is_asked_for() -> None:
    works = load_works(SCENARIOS[[path.name for path in SCENARIOS].index("smallest.yaml")])
    draft, table = Draft.of(works, False), layout_of().titled("Operations")
    head, *rows = draft.grids["Operations"]
    headings = [str(cell) for cell in head]
    asked = may_spread(table, headings, rows, ["operation", "minutes (min)", "load (min)", "buffer"])
    assert asked == ["minutes (min): how it spreads", "load (min): how it spreads"]
    assert spreading(table, headings, rows, headings[:12], asked[1:]) == ["load (min)"]
