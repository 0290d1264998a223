"""A routing study for the terminal: the answer, then the figures it stands on."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.compare import HEADS, shown
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import BEYOND, beyond_capability, number
from linesim.routing import RoutingAnswer
from linesim.routing.answer import COMPARED
from linesim.routing.sentences import sentences_of
from linesim.study.comparing.measures import measure

__all__ = ["routing_text"]


def routing_text(answer: RoutingAnswer) -> Group:
    """A routing study laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : RoutingAnswer
        What to show.

    Returns
    -------
    rich.console.Group
    """
    parts = [
        _answer(answer),
        _content(answer),
        _measures(answer),
        _differences(answer),
        _capability(answer),
        _basis(answer),
    ]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _answer(answer: RoutingAnswer) -> Text:
    """Question and sentences, the verdict in bold."""
    first, *rest = [plain(text) for text in sentences_of(answer)]
    head = (plain(answer.variants.question), "italic")
    return Text.assemble(head, "\n", (first, "bold"), *(f"\n{line}" for line in rest))


def _content(answer: RoutingAnswer) -> RenderableType:
    """Minutes, machines and change intervals."""
    columns = [Column("variant", True, 22), *number_columns("cuts", "cutting min", "machine min", "machines")]
    columns += [*number_columns("kW", "idle %"), Column("changed at this share of life", True)]
    rows = [
        [
            row["variant"], number(row["cuts"], 0), number(row["cut_min"], 2), number(row["operation_min"], 2),
            number(row["machines"], 0), number(row["power_kw"], 1), number(row["idle_percent"], 0),
            row["changed_at"] or "as the policy says",
        ]
        for row in answer.content.to_dict(orient="records")
    ]  # fmt: skip
    idle = "idle: waiting for a part (starved) or held up (blocked), in the runs"
    title = f"What {', '.join(answer.variants.features)} takes per part, on paper; {idle}"
    return grid(title, columns, rows)


def _columns(answer: RoutingAnswer, head: str) -> list[Column]:
    heads = [HEADS[name].replace("money", answer.currency) for name in COMPARED]
    return [Column(head, True, 24), *(Column(text) for text in heads)]


def _measures(answer: RoutingAnswer) -> RenderableType:
    """Every variant by every measure."""
    cells = {(row["variant"], row["measure"]): row for row in answer.table.to_dict(orient="records")}
    rows = []
    for name in answer.variants.names:
        is_best = answer.is_clear and name == answer.leader.variant.name and answer.holds_drawing(answer.leader)
        mark = "*" if is_best else " "
        of = [cells[name, each] for each in COMPARED]
        pairs = [shown(measure(str(row["measure"])), row["mean"], row["half_width"]) for row in of]
        rows.append([f"{mark} {name}", *("\n".join(pair) for pair in pairs)])
    level = f"mean ± half width at {100.0 * answer.confidence:g} %, {answer.n_replications} runs"
    return grid(f"Variants ({level}; * best, and holds the drawing)", _columns(answer, "variant"), rows)


def _differences(answer: RoutingAnswer) -> RenderableType:
    """Every variant less the first."""
    cells = {(row["variant"], row["measure"]): row for row in answer.table.to_dict(orient="records")}
    first = answer.variants.names[0]
    rows = []
    for name in answer.variants.names[1:]:
        texts = []
        for each in COMPARED:
            row = cells[name, each]
            mean, width = shown(measure(each), row["less_first"], row["less_first_half_width"])
            texts.append(f"{mean}\n{width}{'' if row['is_apart'] or not width else ' ~'}")
        rows.append([name, *texts])
    title = f'Less "{first}" (paired; all intervals of a column hold at once; ~ not significant)'
    return grid(title, _columns(answer, "variant"), rows)


def _capability(answer: RoutingAnswer) -> RenderableType:
    """Characteristics of the features, variant by variant."""
    columns = [Column("characteristic", True, 20), Column("variant", True, 16), Column("unit", True, 4)]
    columns += number_columns("mean", "sd", "±", "Cpk", "±", "out %", "±", f"loss {answer.currency}", "±")
    rows, before = [], ""
    table = answer.capability.sort_values(["feature", "characteristic"], kind="stable")
    for row in table.to_dict(orient="records"):
        name = f"{row['feature']}, {row['characteristic']}"
        decimals = 4 if row["unit"] == "mm" else 3
        beyond = beyond_capability(row["cpk"])
        capable = [beyond, ""] if beyond else [number(row["cpk"], 2), number(row["cpk_half_width"], 2)]
        rows.append(
            [
                name if name != before else "", row["variant"], row["unit"], number(row["mean"], decimals),
                number(row["sd"], decimals), number(row["sd_half_width"], decimals), *capable,
                number(100.0 * row["share_out"], 2),
                number(100.0 * row["share_out_half_width"], 2), number(row["loss_per_part"], 2),
                number(row["loss_half_width"], 2),
            ]
        )  # fmt: skip
        before = name
    is_beyond = any(map(beyond_capability, table["cpk"]))
    title = "Capability of the shipped parts, true values"
    return grid(f"{title}. {BEYOND}" if is_beyond else title, columns, rows)


def _basis(answer: RoutingAnswer) -> Text:
    """What the figures stand on."""
    last = answer.n_replications - 1
    policy = f'Policy "{plain(answer.variants.policy)}" but for the intervals of the sets in question. '
    runs = f"{policy}Seed {answer.seed}, replications 0 to {last}; intervals were sought on other replications."
    return Text(f"{runs} Machines are charged for the whole time, whether they work or wait.", style="dim")
