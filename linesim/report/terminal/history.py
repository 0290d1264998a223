"""The life history of a feature for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.cutting.component import Component
from linesim.report.charts.error_history import figure_columns, per_side, sources_in
from linesim.report.terminal.called import operations_key
from linesim.report.theme.grid import Column, chunks, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.routing import History

__all__ = ["history_text"]

_SOURCES_ABREAST = 5
"""More columns of sources leave no room to read the names of the operations."""


def history_text(answer: History) -> Group:
    """A history laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : History
        What to show.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = answer.sentences
    head = Text.assemble((f"{plain(answer.line)}, {plain(answer.feature)}", "bold"), "\n", (plain(first), "bold"))
    for line in rest:
        head.append(f"\n{plain(line)}")
    portions = chunks(sources_in(answer), _SOURCES_ABREAST) or [[]]
    steps = [_steps(answer, used, number == 0) for number, used in enumerate(portions)]
    names = [(answer.line, str(name)) for name in answer.totals["operation"]]
    key = operations_key(
        answer.works, [(line, name) for line, name in names if name in answer.works.lines[line].operations]
    )
    parts: list[RenderableType] = [head, *key, *steps, _arising(answer), _surface(answer), _basis(answer)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _steps(answer: History, used: Sequence[str], is_first: bool) -> RenderableType:
    """Mean and spread after each step, and the share of some sources; the rest in tables below."""
    figures, of = figure_columns(answer) if is_first else {}, answer.measured
    columns = [Column("operation", True, 10, 8), Column("after", True, 16, 14)]
    columns += number_columns(*(f"{head} µm" for head in figures))
    columns += number_columns(*(f"{name} %" for name in used))
    cells = {(row["operation"], row["step"], row["source"]): row for row in answer.table.to_dict(orient="records")}
    rows = []
    for row in answer.totals.to_dict(orient="records"):
        shares = []
        for name in used:
            part = cells.get((row["operation"], row["step"], name))
            whole = row[of.shared]
            shares.append(number(None if part is None or not whole else 100.0 * part[of.shared] / whole, 1))
        rows.append([row["operation"], row["step"], *(number(row[name], 2) for name in figures.values()), *shares])
    what = "error" if answer.of is Component.SIZE else answer.of.words
    title = f"Step by step: {what}{per_side(answer)}, and the share of each source in its {of.shared_words}"
    return grid(title if is_first else "Step by step: the shares of further sources", columns, rows)


def _arising(answer: History) -> RenderableType:
    """Where the final value arose."""
    of = answer.measured
    columns = [Column("arose at", True, 12), Column("in", True, 18), Column("source", True, 22)]
    columns += number_columns(*(["mean µm"] if answer.of.is_signed else []), f"{of.shared_words} µm²", "±", "share %")
    ordered = answer.arising.sort_values(of.shared, ascending=False, key=abs, kind="stable")
    rows = [
        [
            row["operation"], row["step"], row["source"],
            *([number(row[of.mean], 2)] if answer.of.is_signed else []),
            number(row[of.shared], 3), number(row[f"{of.shared}_half_width"], 3), number(100.0 * row["share"], 1),
        ]
        for row in ordered.head(14).to_dict(orient="records")
    ]  # fmt: skip
    mean = [number(float(answer.arising[of.mean].sum()), 2)] if answer.of.is_signed else []
    whole = float(answer.arising[of.shared].sum())
    rows.append(["all together", "", "", *mean, number(whole, 3), UNKNOWN, number(100.0, 1)])
    minus = " (a minus takes variance out)" if answer.of.is_signed else ""
    what = "error" if answer.of is Component.SIZE else answer.of.words
    return grid(f"The final {what}: where each part of its {of.shared_words} arose{minus}", columns, rows)


def _surface(answer: History) -> RenderableType:
    """Roughness and scratches after each operation, which handling brings."""
    columns = [Column("after", True, 12), *number_columns("Ra µm", "±", "scratched %", "±", "depth of those µm")]
    rows = [
        [
            row["operation"], number(row["ra_um"], 3), number(row["ra_um_half_width"], 3),
            number(100.0 * row["scratched"], 2), number(100.0 * row["scratched_half_width"], 2),
            number(row["scratch_um"], 1),
        ]
        for row in answer.surface.to_dict(orient="records")
    ]  # fmt: skip
    return grid("The surface when a part is passed on: roughness, and scratches of handling and chips", columns, rows)


def _basis(answer: History) -> Text:
    """What the figures stand on."""
    built = answer.provenance
    last = built["replications"] - 1
    sentence = (
        f'Policy "{plain(answer.policy)}", seed {answer.seed}, replications 0 to {last}; every part followed on the '
        "SimPy floor and its account held against its true value at every operation. ± is half the "
        f"{100 * answer.confidence:g} % interval over the runs. Handling scratches a surface and does not "
        "move it, so it has no part in the error."
    )
    return Text(sentence, style="dim")
