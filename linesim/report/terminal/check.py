"""Desk figures for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.desk import TYPICAL, Desk
from linesim.desk.meeting import meeting_words
from linesim.report.terminal.called import operations_key
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import number
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["desk_text"]

Row = dict[str, Any]


def desk_text(desk: Desk, works: Works | None = None) -> Group:
    """Desk figures laid out for a terminal of 100 columns.

    Parameters
    ----------
    desk : Desk
        What to show.
    works : Works, optional
        The scenario, to say what its operations do.

    Returns
    -------
    rich.console.Group
    """
    parts: list[RenderableType] = [Text(f"{plain(desk.works_name)}: desk figures", style="bold")]
    if works is not None:
        parts += operations_key(works, zip(desk.operations["line"], desk.operations["operation"], strict=True))
    if len(desk.cuts):
        parts += [_speeds(desk), _forces(desk), _assumed(desk)]
    if len(desk.sets):
        parts.append(_sets(desk))
    parts += [_operations(desk), *_constraints(desk, works), *_part_types(desk)]
    parts += _typical(desk)
    parts.append(Padding(Text(plain(desk.basis), style="dim"), (0, 0)))
    parts += [Text(f"- {plain(remark)}") for remark in desk.remarks]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _rows(table: Any) -> list[Row]:
    return [{str(name): value for name, value in row.items()} for row in table.to_dict(orient="records")]


def _by_line(rows: list[Row], desk: Desk) -> Iterator[tuple[str, list[Row]]]:
    """Rows line by line, with a heading where there are several lines."""
    lines = list(dict.fromkeys(desk.operations["line"]))
    for line in lines:
        own = [row for row in rows if row["line"] == line]
        if own:
            yield (str(line) if len(lines) > 1 else ""), own


def _with_headings(rows: list[Row], desk: Desk, cells: Any) -> Iterator[list[str]]:
    """Rows of a table, a heading before each line's."""
    for heading, own in _by_line(rows, desk):
        if heading:
            yield [heading]
        for row in own:
            yield cells(row)


def _speeds(desk: Desk) -> RenderableType:
    """Speeds, times and lives of the cuts."""
    columns = [Column("operation", True, 12), Column("cut", True, 18), Column("cutter", True, 16)]
    columns += number_columns("rev/min", "mm/min", "min/pass", "passes", "min", "life min", "parts/edge")

    def cells(row: Row) -> list[str]:
        figures = (
            (row["spindle_rpm"], 0),
            (row["feed_rate_mm_min"], 0),
            (row["pass_min"], 3),
            (row["passes"], 0),
        )
        more = ((row["cut_min"], 2), (row["life_min"], 1), (row["parts_per_edge"], 1))
        return [row["operation"], row["cut"], row["cutter"], *(number(*pair) for pair in (*figures, *more))]

    return grid("Cuts: speeds and times", columns, _with_headings(_rows(desk.cuts), desk, cells))


def _forces(desk: Desk) -> RenderableType:
    """Power, forces, stiffness and surface of the cuts."""
    columns = [Column("operation", True, 12), Column("cut", True, 18), Column("process", True, 9)]
    columns += number_columns(
        "motor kW", "rating kW", "cutting N", "radial N", "stiff. N/µm", "copies %", "sharp Ra µm"
    )

    def cells(row: Row) -> list[str]:
        figures = (
            (row["power_kw"], 2),
            (row["rating_kw"], 1),
            (row["cutting_force_n"], 0),
            (row["radial_force_n"], 0),
        )
        more = ((row["stiffness_n_um"], 1), (row["copying_percent"], 2), (row["sharp_ra_um"], 2))
        return [row["operation"], row["cut"], row["process"], *(number(*pair) for pair in (*figures, *more))]

    return grid("Cuts: sharp edge, power at the motor", columns, _with_headings(_rows(desk.cuts), desk, cells))


def _assumed(desk: Desk) -> RenderableType:
    """What the scenario leaves to the handbook."""
    lines = [f"- {plain(text)}" for text in desk.assumptions]
    return Text("\n".join(["From the handbook, as the scenario does not say:", *lines])) if lines else Text("")


def _typical(desk: Desk) -> Iterator[RenderableType]:
    """Typical figures that the works leans on, with their sources."""
    if desk.typical:
        yield Text("\n".join([TYPICAL, *(f"- {plain(text)}" for text in desk.typical)]))


def _sets(desk: Desk) -> RenderableType:
    """Lives and changes of the cutter sets."""
    columns = [Column("operation", True, 12), Column("cutter set", True, 18)]
    columns += number_columns("min/part", "life min", "parts/edge", "changed after", "min/change", "lost min/part")

    def cells(row: Row) -> list[str]:
        figures = ((row["minutes_per_part"], 2), (row["life_min"], 1), (row["parts_per_edge"], 1))
        lost = row["change_min_per_part"] + row["look_min_per_part"]
        more = ((row["parts_between"], 0), (row["change_min"], 1), (lost, 3))
        return [row["operation"], row["cutter"], *(number(*pair) for pair in (*figures, *more))]

    return grid("Cutter sets", columns, _with_headings(_rows(desk.sets), desk, cells))


def _operations(desk: Desk) -> RenderableType:
    """Minutes and pace of the operations."""
    has_first = bool((desk.operations["first_piece_min"] > 0.0).any())
    has_over = bool((desk.operations["changeover_min"] > 0.0).any())
    columns = [Column("operation", True, 16)]
    columns += number_columns("mach.", "handling", "cutting", "gauging", "cycle min", "changes")
    columns += number_columns(
        *(["first piece"] if has_first else []),
        *(["over"] if has_over else []),
        "repairs",
        "min/part",
        "parts/h",
        "load %",
    )

    def cells(row: Row) -> list[str]:
        minutes = ("handling_min", "cutting_min", "gauging_min", "cycle_min")
        changes = row["change_min"] + row["look_min"]
        first = [row["first_piece_min"]] if has_first else []
        first += [row["changeover_min"]] if has_over else []
        rest = (changes, *first, row["breakdown_min"], row["minutes_per_part"], row["parts_per_hour"])
        figures = [number(row[name], 2) for name in minutes] + [number(value, 2) for value in rest]
        return [row["operation"], str(row["machines"]), *figures, number(row["load_percent"], 0)]

    over = "; over: changing over" if has_over else ""
    mix = ", in the mean of all part types" if len(desk.types) else ""
    return grid(
        f"Operations: minutes per part on one machine{mix}{over}",
        columns,
        _with_headings(_rows(desk.operations), desk, cells),
    )


def _constraints(desk: Desk, works: Works | None) -> Iterator[RenderableType]:
    """The operation that holds back each line."""
    for row in _rows(desk.constraints):
        rate, minutes = number(row["parts_per_hour"], 2), number(row["minutes_per_part"], 2)
        way = "the way to " if row["is_way"] else ""
        name, met = str(row["operation"]), plain(meeting_words(row))
        called = f'"{name}"' if works is None else called_at(works, str(row["line"]), name)
        holding = f"{plain(row['line'])}: {way}{plain(called)} holds the line back"
        yield Text(f"{holding}, at {rate} parts per hour (one every {minutes} min).{met}", style="bold")


def _part_types(desk: Desk) -> Iterator[RenderableType]:
    """What would hold back each part type by itself, and what it earns at the constraint of the mix."""
    if len(desk.types) == 0:
        return
    columns = [Column("part type", True, 14)]
    columns += number_columns("share %")
    columns += [Column("alone held by", True, 14)]
    columns += number_columns("parts/h", "margin", "constr. min", "margin/constr. h")

    def cells(row: Row) -> list[str]:
        figures = ((row["parts_per_hour"], 2), (row["margin"], 2), (row["constraint_min"], 2))
        earned = number(row["margin_per_constraint_hour"], 2)
        head = [row["part_type"], number(100.0 * row["share"], 1), row["operation"]]
        return [*head, *(number(*pair) for pair in figures), earned]

    title = (
        "Part types: each by itself, without changeovers; margin is worth less casting, constr. the mix's constraint"
    )
    yield grid(title, columns, _with_headings(_rows(desk.types), desk, cells))
