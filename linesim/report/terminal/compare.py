"""A comparison for the terminal: the answer, then the figures it stands on."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.ledger import ITEMS
from linesim.plan.tally import State
from linesim.report.terminal.compare_details import detail_tables
from linesim.report.theme.grid import Column, chunks, grid, plain
from linesim.report.theme.shown import number, pair, within
from linesim.study import MEASURES, WHOLE_WORKS, Comparison, Measure
from linesim.study.advice.remarks import remarks_on
from linesim.study.comparing.course import plural_of
from linesim.words import keep

__all__ = ["HEADS", "comparison_text", "shown", "span_lines"]

HEADS = {
    "good_per_hour": "good/h",
    "cost_per_good_part": "cost money /part",
    "quality_loss_per_good_part": "loss in it money /part",
    "contribution_per_hour": "contrib. money /h",
    "first_pass_yield": "first pass %",
    "planned_per_100": "planned changes /100",
    "unplanned_per_100": "unplanned /100",
}
"""Short heads of the measures, for narrow tables."""

_POLICIES_ABREAST = 5
_NAME = 11
_FOUND_OF_ONE, _FOUND_IN_ALL = 6, 12
"""Findings that are shown of one policy, and up to which all are."""


def comparison_text(answer: Comparison) -> Group:
    """A comparison laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Comparison
        What to show.

    Returns
    -------
    rich.console.Group
    """
    parts: list[RenderableType] = [_answer(answer), _policies(answer)]
    if len(answer.names) > 1 and answer.best.policy is not None:
        parts.append(_differences(answer, answer.best.policy))
    if not answer.types.empty:
        parts.append(_types(answer))
    parts += [*_ledger(answer), *_times(answer), *detail_tables(answer), _basis(answer)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def shown(measure: Measure, mean: float, half_width: float) -> tuple[str, str]:
    """A figure and its half width as they stand in a table, shares in per cent.

    >>> from linesim.study.comparing.measures import measure
    >>> shown(measure("first_pass_yield"), 0.9123, 0.0041)
    ('91.23', '± 0.41')
    """
    factor, usual = (100.0, 1) if measure.is_share else (1.0, 2)
    return pair(factor * mean, factor * half_width, usual)


def _answer(answer: Comparison) -> Text:
    """What must be said before the best is praised, then the sentences, the first one in bold."""
    first, *rest = [plain(sentence) for sentence in answer.sentences]
    best = answer.best.policy
    before = [] if best is None else [f"{plain(text)}\n" for text in remarks_on(answer, best)]
    head = Text.assemble((plain(answer.works.name), "bold"), "\n", *before, (first, "bold"))
    return head.append("".join(f"\n{line}" for line in rest))


def _columns(answer: Comparison, head: str) -> list[Column]:
    money = answer.works.currency
    return [
        Column(head, True, 24),
        *(Column(HEADS[measure.name].replace("money", money)) for measure in MEASURES),
    ]


def _policies(answer: Comparison) -> RenderableType:
    """Every policy by every measure."""

    def rows() -> Iterator[list[str]]:
        lines = [*answer.works.lines, WHOLE_WORKS] if len(answer.works.lines) > 1 else [WHOLE_WORKS]
        for line in lines:
            if len(lines) > 1:
                yield [line]
            for name in answer.names:
                pairs = [shown(measure, *answer.mean(name, measure.name, line)) for measure in MEASURES]
                mark = "*" if name == answer.best.policy and answer.best.is_clear else " "
                yield [f"{mark} {name}", *("\n".join(pair) for pair in pairs)]

    return grid(f"Policies ({_level(answer)}; * best)", _columns(answer, "policy"), rows())


def _differences(answer: Comparison, best: str) -> RenderableType:
    """Every policy less the best one, pair by pair."""
    table = answer.differences[answer.differences["against"] == best]
    cells = {(row["policy"], row["measure"]): row for row in table.to_dict(orient="records")}
    others = [name for name in answer.names if name != best]
    rows = [[name, *(_difference(measure, cells[name, measure.name]) for measure in MEASURES)] for name in others]
    title = f'Difference from "{best}" (paired; all intervals of a column hold at once; ~ not significant)'
    return grid(title, _columns(answer, "policy less the best"), rows)


def _types(answer: Comparison) -> RenderableType:
    """Good parts of each type an hour, and what they are more than under the best policy, pair by pair."""
    table = answer.types
    kinds = list(dict.fromkeys(zip(table["line"], table["part_type"], strict=True)))
    cells = {(row["policy"], row["line"], row["part_type"]): row for row in table.to_dict(orient="records")}
    columns = [Column("good parts per hour", True, 24), *(Column(kind, least=_NAME) for _, kind in kinds)]
    rows = [
        [name, *(_of_type(cells[name, *kind]) for kind in kinds if (name, *kind) in cells)] for name in answer.names
    ]
    title = f'Part types, and the difference from "{table["against"].iloc[0]}" (paired; ~ not significant)'
    return grid(title, columns, rows)


def _of_type(row: dict[Hashable, Any]) -> str:
    """Good parts of one type an hour; under it the difference."""
    mean = number(float(row["good_per_hour"]), 2)
    if row["policy"] == row["against"]:
        return mean
    return f"{mean}\n{within(row['mean'], row['half_width'], is_open=not row['is_apart'])}"


def _difference(measure: Measure, row: dict[Hashable, Any]) -> str:
    """One difference with its half width, and a sign if it is not significant."""
    mean, width = shown(measure, row["mean"], row["half_width"])
    return f"{mean}\n{width}{'' if row['is_apart'] or not width else ' ~'}"


def _ledger(answer: Comparison) -> Iterator[RenderableType]:
    """Money per good part by item, policies side by side."""
    table = answer.ledger[answer.ledger["line"] == WHOLE_WORKS].set_index(["policy", "item"])["per_good_part"]
    items = [item for item in ITEMS if item in set(table.index.get_level_values("item"))]
    for names in chunks(answer.names, _POLICIES_ABREAST):
        columns = [
            Column(f"per good part, {answer.works.currency}", True, 24),
            *(Column(name, least=_NAME) for name in names),
        ]
        rows = [[item, *(number(float(table[name, item]), 2) for name in names)] for item in items]
        sums = [number(answer.mean(name, "cost_per_good_part")[0], 2) for name in names]
        yield grid("Ledger", columns, [*rows, ["all together", *sums]])


def _times(answer: Comparison) -> Iterator[RenderableType]:
    """Where the time of the constraint's machines goes."""
    table = answer.times[answer.times["is_constraint"]]
    for (line, operation), own in table.groupby(["line", "operation"], sort=False):
        means = own.groupby(["policy", "state"])["share"].mean()
        states = [state.words for state in State if means.xs(state.words, level="state").max() >= 0.0005]
        for names in chunks(answer.names, _POLICIES_ABREAST):
            columns = [Column("share of time, %", True, 28), *(Column(name, least=_NAME) for name in names)]
            rows = [[state, *(number(100.0 * float(means[name, state]), 1) for name in names)] for state in states]
            yield grid(f"{line}: {operation} holds the line back", columns, rows)


def _level(answer: Comparison) -> str:
    if answer.n_replications == 1:
        return "one replication, no intervals"
    few = f"{min(answer.counts.values())} to " if answer.selection and len(set(answer.counts.values())) > 1 else ""
    return f"mean ± half width at {100.0 * answer.confidence:g} %, {few}{answer.n_replications} replications"


def span_lines(answer: Comparison) -> list[str]:
    """Warm-up and counted time with their reasons, a line each.

    Parameters
    ----------
    answer : Comparison

    Returns
    -------
    list of str
    """
    spans, calendar = answer.lengths, answer.works.calendar
    counts = [(span, span.minutes / calendar.shift) for span in (spans.warm_up, spans.length)]
    (before, first), (counted, then) = [(span, keep("spans.shifts", count=n, shown=n)) for span, n in counts]
    return [
        keep("spans.warm_up", minutes=before.minutes, shifts=first, why=before.why),
        keep("spans.counted", minutes=counted.minutes, shifts=then, why=counted.why),
    ]


def _basis(answer: Comparison) -> Text:
    """What the figures stand on, and what was found in the runs."""
    last = answer.n_replications - 1
    is_of_policies = answer.noun == "policy" and len(answer.names) > 1
    today = f'Today\'s practice: "{plain(answer.base)}". ' if is_of_policies else ""
    runs = f"{today}Seed {answer.seed}, replication{f's 0 to {last}' if last else ' 0'}"
    lines = [
        f"{runs}; common random numbers: every {answer.noun} meets the same castings and edges.",
        *span_lines(answer),
    ]
    return Text("\n".join([*lines, *_findings(answer)]), style="dim")


def _findings(answer: Comparison) -> Iterator[str]:
    """What was found in single runs: problems, and of today's practice and the best what comes often."""
    of_whom, notes = (answer.base, answer.best.policy), answer.notes.to_dict(orient="records")
    counts: dict[str, int] = {}
    left_out = 0
    for row in notes:
        name, runs = row["policy"], answer.counts[row["policy"]]
        is_often = name in of_whom and 2 * row["runs"] >= runs and counts.get(name, 0) < _FOUND_OF_ONE
        if not row["is_problem"] and not is_often and len(notes) > _FOUND_IN_ALL:
            left_out += 1
            continue
        counts[name] = counts.get(name, 0) + 1
        mark = "PROBLEM: " if row["is_problem"] else "- "
        yield f'{mark}"{plain(name)}", {row["runs"]} of {runs} runs: {plain(row["text"])}'
    if left_out:
        others = plural_of(answer.noun)
        yield f"{left_out} further findings, of other {others} or of fewer runs: --html FILE, or --csv DIR."
