"""Economic speed and feed for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.compare import shown
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import number
from linesim.routing.speed import SpeedAnswer
from linesim.routing.speed_paper import AS_IT_STANDS
from linesim.study.comparing.measures import measure, with_unit
from linesim.works.doing import called_at

__all__ = ["speed_text"]


def speed_text(answer: SpeedAnswer) -> Group:
    """Speeds and feeds laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : SpeedAnswer
        What to show.

    Returns
    -------
    rich.console.Group
    """
    parts = [_answer(answer), _paper(answer), _line(answer), _basis(answer)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _answer(answer: SpeedAnswer) -> Text:
    """What the line makes of it, in sentences."""
    line, operation, _, cut = answer.paper.key
    first, *rest = [plain(sentence) for sentence in answer.sentences]
    head = f"{plain(line)}, {plain(called_at(answer.paper.works, line, operation))}, {plain(cut)}"
    return Text.assemble((head, "bold"), "\n", (first, "bold"), *(f"\n{sentence}" for sentence in rest))


def _paper(answer: SpeedAnswer) -> RenderableType:
    """The optima on paper."""
    money = answer.paper.works.currency
    columns = [Column("conditions", True, 13), *number_columns("m/min", "feed mm", "min /part", "life min")]
    columns += number_columns("change min/part", "kW", f"at rate {money}", f"edges {money}")
    columns.append(Column("held by", True))
    rows = [
        [
            row["conditions"], number(row["speed_m_min"], 1), number(row["feed_mm"], 3), number(row["cut_min"], 2),
            number(row["life_min"], 0), number(row["change_min_per_part"], 2), number(row["power_kw"], 2),
            number(row["cost_at_rate"], 2), number(row["edge_cost"], 2), row["bound_by"] or "nothing",
        ]
        for row in answer.paper.table.to_dict(orient="records")
    ]  # fmt: skip
    return grid("On paper, per part; the blades of one stroke go together", columns, rows)


def _line(answer: SpeedAnswer) -> RenderableType:
    """What the runs give."""
    money = answer.paper.works.currency
    names = ("good_per_hour", "cost_per_good_part", "contribution_per_hour")
    heads = [with_unit(measure(name), money) for name in names]
    columns = [Column("conditions", True, 13), *(Column(head) for head in heads)]
    columns += [Column("contribution less as it stands")]
    rows = {(row["conditions"], row["measure"]): row for row in answer.table.to_dict(orient="records")}
    body = []
    for name in answer.samples:
        cells = [shown(measure(each), rows[name, each]["mean"], rows[name, each]["half_width"]) for each in names]
        last = rows[name, "contribution_per_hour"]
        less, width = shown(measure("contribution_per_hour"), last["less_as_it_stands"], last["less_half_width"])
        mark = "" if last["is_apart"] else " ~"
        tail = "" if name == AS_IT_STANDS else f"{less}\n{width}{mark}"
        body.append([name, *("\n".join(cell) for cell in cells), tail])
    level = f"mean ± half width at {100.0 * answer.confidence:g} %, {answer.n_replications} replications"
    return grid(f"In the line ({level}; differences paired, ~ not significant)", columns, body)


def _basis(answer: SpeedAnswer) -> Text:
    """What the figures stand on."""
    return Text(
        "Life by Taylor's law extended in feed; least cost where the life is (1/n - 1) (tc + Ct/Co), most output where "
        "it is (1/n - 1) tc (Gilbert 1950), within power, spindle, finish and the range of speed and feed in which "
        "coefficients are trusted. The finish is asked of a worn edge at the last cut of a feature; its quality loss "
        f'counts for the line. Seed {answer.seed}; policy "{plain(answer.paper.policy)}", sets at the same '
        "share of their life. Never past the speed that the cutter's or the machine's maker allows.",
        style="dim",
    )
