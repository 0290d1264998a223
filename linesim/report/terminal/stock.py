"""A stock plan for the terminal."""

from __future__ import annotations

import pandas as pd
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.called import operations_key
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.routing import StockPlan

__all__ = ["stock_text"]


def stock_text(answer: StockPlan, simulated: pd.DataFrame) -> Group:
    """A stock plan laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : StockPlan
        What to show.
    simulated : pandas.DataFrame
        Runs of the plan, from `linesim.routing.check_stock_plan`; may be empty.

    Returns
    -------
    rich.console.Group
    """
    first, *rest = answer.sentences
    head = Text.assemble((f"{plain(answer.line)}, {plain(answer.feature)}", "bold"), "\n", (plain(first), "bold"))
    for text in (*rest, *answer.warnings):
        head.append(f"\n- {plain(text)}")
    names = [(answer.line, str(name)) for name in answer.as_it_stands["operation"]]
    parts: list[RenderableType] = [
        head,
        *operations_key(answer.works, names),
        _cuts("The routing as it stands", answer.as_it_stands),
        _choices(answer),
    ]
    if len(answer.plan):
        parts.append(_cuts(f"The plan: fewest cuts for a Cpk of {answer.wanted_cpk:g}", answer.plan))
    if len(simulated):
        parts.append(_simulated(answer, simulated))
    parts.append(_basis(answer))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _cuts(title: str, table: pd.DataFrame) -> RenderableType:
    """Depth, least stock and its terms, and the state after each cut."""
    columns = [Column("operation", True, 9), Column("cut", True, 18)]
    columns += number_columns("depth mm", "least mm", "Rz µm", "skin µm", "ρ µm", "ε µm", "scratch µm")
    columns += number_columns("copies %", "mean µm", "sd µm", "Ra µm", "kW")
    rows = [
        [
            row["operation"], row["cut"], number(row["depth_mm"], 3), number(row["least_mm"], 3),
            *(number(row[name], 0) for name in ("rz_um", "damaged_um", "form_um", "set_up_um", "scratch_um")),
            number(row["copying_percent"], 1), number(row["mean_um"], 1), number(row["sd_um"], 2),
            number(row["ra_um"], 2), number(row["power_kw"], 1),
        ]
        for row in table.to_dict(orient="records")
    ]  # fmt: skip
    return grid(title, columns, rows)


def _choices(answer: StockPlan) -> RenderableType:
    """The best choice for each number of cuts."""
    columns = [Column("cuts"), Column("which", True, 48)]
    columns += [*number_columns("sd µm", "Cp", "Cpk", "Ra µm", "Ra Cpk"), Column("what it lacks", True)]
    rows = [
        [
            number(row["cuts"], 0), row["which"], number(row["sd_um"], 2), number(row["cp"], 2), number(row["cpk"], 2),
            number(row["ra_um"], 2), number(row["ra_cpk"], 2), row["lacks"] or "nothing",
        ]
        for row in answer.choices.to_dict(orient="records")
    ]  # fmt: skip
    return grid("The best choice of the routing's cuts, for each number of them, on paper", columns, rows)


def _simulated(answer: StockPlan, simulated: pd.DataFrame) -> RenderableType:
    """Runs of the plan beside the figures on paper."""
    columns = [Column("run", True), *number_columns("sd µm per side", "Cpk", "not cleaned up %")]
    rows = [
        [
            f"replication {row['replication']:.0f}", number(row["sd_um"], 2), number(row["cpk"], 2),
            number(100.0 * row["share_not_cleaned_up"], 3),
        ]
        for row in simulated.to_dict(orient="records")
    ]  # fmt: skip
    count = len(answer.plan)
    paper = answer.choices[answer.choices["cuts"] == count].iloc[0]
    rows.append(["on paper", number(float(paper["sd_um"]), 2), number(float(paper["cpk"]), 2), UNKNOWN])
    return grid("The plan in the line", columns, rows)


def _basis(answer: StockPlan) -> Text:
    """What the figures stand on."""
    rules = answer.rules
    return Text(
        "Least stock per side: Rz + T + ρ + ε for a face, Rz + T + √(ρ² + ε²) for a bore (Kovan, from memory); a "
        "scratch, a torn layer (5 Ra) and the least metal that a worn edge cuts count where they are deeper than "
        f"Rz + T. Rz = {rules.rz_per_ra:g} Ra; T {rules.skin_um:g} µm under the skin, {rules.damaged_um:g} µm after a "
        f"cut; ρ and ε at {rules.sigmas:g} sigma, the bend of the clamps in ε. Mean and spread on paper: wear over the "
        "change interval in, chips, recuts and "
        f'salvage out; sets are changed as the policy "{plain(answer.policy)}" changes them; where a gauge resets a '
        "cut, drift is set out down to its dead band. Figures per side.",
        style="dim",
    )
