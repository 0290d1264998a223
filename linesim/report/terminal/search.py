"""Searches for the terminal: best intervals, how many sets and people, what drives the result."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.compare import shown
from linesim.report.terminal.levers import levers_grid, range_words, set_shown
from linesim.report.theme.cautions import CAUTIONS
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number, within
from linesim.study.comparing.measures import Measure, with_unit
from linesim.study.search import BestIntervals, Circulation, Drivers
from linesim.study.search.intervals.best import BEST
from linesim.study.search.numbers.figures import counted_words
from linesim.works.doing import called_anywhere

__all__ = [
    "circulation_text", "drivers_text", "flat_words", "gain_words", "intervals_text", "item_words",
]  # fmt: skip

Row = dict[Any, Any]

_MOST_DRIVERS = 25


def intervals_text(answer: BestIntervals) -> Group:
    """Best intervals laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : BestIntervals
        What to show.

    Returns
    -------
    rich.console.Group
    """
    parts: list[RenderableType] = [_head(answer.works.name, answer.sentences), _intervals(answer)]
    if answer.verdict is not None:
        parts.append(_verdict(answer))
    if answer.levers:
        parts.append(levers_grid(answer))
    parts += [_to_paste(answer), _basis(answer), *(Text(plain(CAUTIONS[at]), style="dim") for at in (2, 0))]
    return _padded(parts)


def flat_words(row: Row) -> str:
    """A flat range as it is read; ≤ and ≥ where it may go further than is known.

    >>> flat_words({"flat_low": 80, "flat_high": 120, "low_is_sure": True, "high_is_sure": False})
    '80 to ≥ 120'
    >>> flat_words({"flat_low": None})
    '–'
    """
    if row["flat_low"] is None or math.isnan(row["flat_low"]):
        return UNKNOWN
    return range_words(f"{row['flat_low']:.0f}", f"{row['flat_high']:.0f}", row)


def circulation_text(answer: Circulation) -> Group:
    """Numbers of sets, grinders and setters laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Circulation
        What to show.

    Returns
    -------
    rich.console.Group
    """
    columns = [
        Column("", True, 30),
        *number_columns("now", "best", "least"),
        *(Column(head, least=16) for head in (f"one more costs {answer.works.currency}/year", "one more gains")),
        Column("one fewer gains", least=16),
    ]
    hours = answer.works.calendar.minutes_per()["year"] / 60.0
    rows = [
        [
            item_words(row),
            *(str(row[name]) for name in ("now", "best", "least")),
            number(row["hourly_cost"] * hours, 0),
            *(gain_words(row, head) for head in ("one_more", "one_fewer")),
        ]
        for row in answer.table.to_dict(orient="records")
    ]
    title = f"Numbers (gains against the best, {answer.unit}, paired; ~ not significant)"
    holding = answer.holding
    share = f"a set is written off and bears interest at {100.0 * holding.set_share:g} % of its price a year"
    basis = (
        f'Policy "{plain(answer.policy)}", seed {answer.seed}, {answer.runs} runs. Assumed: {share}; one more setter '
        f"costs {100.0 * holding.idle_share:g} % of his wage while idle. The verdict is in replications of its own."
    )
    parts: list[RenderableType] = [
        _head(answer.works.name, answer.sentences),
        grid(title, columns, rows),
        Text(basis, style="dim"),
    ]
    return _padded(parts)


def drivers_text(answer: Drivers) -> Group:
    """What drives the result (a sensitivity study), laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Drivers
        What to show.

    Returns
    -------
    rich.console.Group
    """
    parts: list[RenderableType] = [_head(answer.works.name, answer.sentences)]
    if answer.screened:
        parts.append(_screening(answer))
    parts.append(_alone(answer))
    basis = (
        f'Policy "{plain(answer.policy)}", its shares of life written in minutes; seed {answer.seed}, '
        f"{answer.replications} replications of every run, {answer.runs} runs; all meet the same castings and edges. "
        "Factors are on the scenario's own figures; --json tells where each range comes from."
    )
    return _padded([*parts, Text(basis, style="dim")])


# --- best intervals ------------------------------------------------------------------------------------------------


def _intervals(answer: BestIntervals) -> RenderableType:
    """Every set with its interval and flat range."""
    percent = f"{100.0 * answer.tolerance:g} %"
    columns = [
        Column("operation", True, 30),
        Column("cutter", True, 26),
        *(Column(head, least=12) for head in ("change after parts", "share of life")),
        Column(f"flat within {percent}", least=14),
        Column("by itself"),
    ]
    rows = [
        [
            called_anywhere(answer.works, str(row["operation"])),
            set_shown(row),
            number(row["parts"], 0),
            number(row["life_share"], 2),
            flat_words(row),
            number(row["by_itself"], 0),
        ]
        for row in answer.intervals.to_dict(orient="records")
    ]
    group = answer.setting.group_past
    grouped = "each set by itself" if group is None else f"with it whatever is past {group:g} of its interval"
    return grid(
        f"Best intervals so far, {grouped}" if not answer.is_settled else f"Best intervals, {grouped}", columns, rows
    )


def _verdict(answer: BestIntervals) -> RenderableType:
    """Found and base by every measure, in fresh replications."""
    verdict = answer.verdict
    assert verdict is not None
    columns = [Column("", True, 44), *(Column(head, least=14) for head in ("best intervals", "before", "difference"))]
    rows = []
    for measure in answer.measures:
        apart = verdict.differences[measure.name]
        mark = "" if apart.is_apart else " ~"
        cells = [_pair(measure, verdict.best[measure.name]), _pair(measure, verdict.base[measure.name])]
        rows.append([_measure_words(measure, answer.works.currency), *cells, f"{_pair(measure, apart)}{mark}"])
    level = f"{100.0 * answer.confidence:g} %, {verdict.replications} fresh replications; ~ not significant"
    return grid(f'Against "{answer.against}" (mean ± half width at {level})', columns, rows)


def _measure_words(measure: Measure, currency: str) -> str:
    words = with_unit(measure, currency)
    return f"{words[0].upper()}{words[1:]}"


def _pair(measure: Measure, of: Any) -> str:
    """Mean and half width in one cell."""
    return " ".join(part for part in shown(measure, of.mean, of.half_width) if part)


def _to_paste(answer: BestIntervals) -> Text:
    """The policy as it stands in a scenario."""
    lines = "\n".join(f"  {line}" for line in plain_lines(answer.policy_yaml))
    return Text.assemble(
        (f'To paste under policies: (or --write FILE for a scenario with "{BEST}")', "bold"), f"\n{lines}"
    )


def plain_lines(text: str) -> list[str]:
    """Lines of a text without signs that a terminal would obey."""
    return [plain(line) for line in text.rstrip("\n").split("\n")]


def _basis(answer: BestIntervals) -> Text:
    """What the figures stand on."""
    sentence = (
        f'Set out from policy "{plain(answer.base)}". Seed {answer.seed}, {answer.runs} runs; every setting meets '
        "the same castings, edges and breakdowns. The "
        "verdict is in replications that the search has not seen, so that it is not flattered. Flat range: each "
        "interval moved alone, all others at their best; every interval tried within it is known to cost no more; "
        "≤ or ≥ where the range may go further than the runs show. By itself: the interval of the set alone, by "
        "renewal reward."
    )
    return Text(sentence, style="dim")


# --- numbers and drivers -------------------------------------------------------------------------------------------


def item_words(row: Row) -> str:
    """What is counted, in words."""
    return counted_words(str(row["kind"]), str(row["name"]))


def gain_words(row: Row, head: str) -> str:
    """A gain with its half width, and a sign if it is not told apart from none."""
    gain = row[f"{head}_gain"]
    is_known = gain is not None and not math.isnan(gain)
    return within(gain, row[f"{head}_half_width"], is_open=is_known and not row[f"{head}_is_told"])


def _screening(answer: Drivers) -> RenderableType:
    """Morris's figures, the strongest first."""
    factor = 100.0 if answer.measure.is_share else 1.0
    columns = [Column("", True, 52), *number_columns("factors", "mu*", "", "mu", "sigma")]
    rows = [
        [
            str(row["words"]),
            f"{row['low']:g} to {row['high']:g}",
            number(factor * row["mu_star"], 2),
            f"± {number(factor * row['half_width'], 2)}",
            number(factor * row["mu"], 2),
            number(factor * row["sigma"], 2),
        ]
        for row in answer.screening.head(_MOST_DRIVERS).to_dict(orient="records")
    ]
    title = f"Screening after Morris, {answer.trajectories} trajectories: effect on {_measured(answer)} over the range"
    return grid(title, columns, rows)


def _alone(answer: Drivers) -> RenderableType:
    """Every input alone, the widest swing first."""
    columns = [
        Column("", True, 50),
        Column("low"),
        Column("difference", least=16),
        Column("high"),
        Column("difference"),
    ]
    rows = [
        [
            str(row["words"]),
            f"× {row['low']:g}",
            _difference(answer, row, "at_low"),
            f"× {row['high']:g}",
            _difference(answer, row, "at_high"),
        ]
        for row in answer.one_at_a_time.head(_MOST_DRIVERS).to_dict(orient="records")
    ]
    rest = len(answer.one_at_a_time) - len(rows)
    more = f", the first {len(rows)} of {len(answer.one_at_a_time)}" if rest > 0 else ""
    return grid(f"One at a time: {_measured(answer)} less the base, paired{more} (~ not significant)", columns, rows)


def _difference(answer: Drivers, row: Row, end: str) -> str:
    factor = 100.0 if answer.measure.is_share else 1.0
    return within(factor * row[end], factor * row[f"{end}_half_width"], is_open=not row[f"{end}_is_told"])


def _measured(answer: Drivers) -> str:
    return with_unit(answer.measure, answer.works.currency)


# --- shared --------------------------------------------------------------------------------------------------------


def _head(name: str, sentences: Sequence[str]) -> Text:
    """The name, and the answer with its first sentence in bold."""
    first, *rest = [plain(sentence) for sentence in sentences]
    return Text.assemble((plain(name), "bold"), "\n", (first, "bold"), *(f"\n{line}" for line in rest))


def _padded(parts: Iterable[RenderableType]) -> Group:
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))
