"""A trial for the terminal: foretold, and answered."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import interval, number
from linesim.study.trial.answer import Trial
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.quantities import QUANTITIES
from linesim.study.trial.words import BASIS, cautions, weeks_shown

__all__ = ["answered_text", "trial_text"]

_DECIMALS = {of.name: of.decimals for of in QUANTITIES}


def trial_text(trial: Trial) -> Group:
    """What is foretold, laid out for a terminal of 100 columns.

    Parameters
    ----------
    trial : Trial
        What to show.

    Returns
    -------
    rich.console.Group
    """
    head = Text.assemble((f"{plain(trial.works.name)}: a trial of {plain(trial.place.key)}", "bold"))
    for sentence in trial.sentences:
        head.append(f"\n{plain(sentence)}")
    runs = f"{len(trial.during)} runs of either, seed {trial.seed}."
    foot = Text("\n".join((*cautions(trial), runs, *BASIS)), style="dim")
    parts: list[RenderableType] = [head, _quantities(trial), _totals(trial), foot]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _quantities(trial: Trial) -> RenderableType:
    """Before and during, and when it is seen."""
    columns = [
        Column("a week", True, 34),
        *number_columns("today", "trial", "95 weeks of 100", "change", "weeks to see"),
    ]
    rows = []
    for row in trial.table.to_dict(orient="records"):
        places = _DECIMALS[row["name"]] + 1
        weeks = weeks_shown(row["weeks_to_see"])
        unit = f", {row['unit']}" if row["unit"] else ""
        band = f"{number(row['week_low'], places - 1)} to {number(row['week_high'], places - 1)}"
        figures = (number(row["today"], places), number(row["trial"], places))
        rows.append([f"{row['quantity']}{unit}", *figures, band, interval(row["change"], row["half_width"]), weeks])
    return grid("Today's practice and the trial, means of a week or of a reading", columns, rows)


def _totals(trial: Trial) -> RenderableType:
    """Running totals, which are held against what is written down."""
    shown = [of for of in trial.quantities if of.is_total]
    columns = number_columns("week", *(of.words for of in shown))
    rows = [
        [str(week), *(_band(trial.total(of.name, week), of.decimals) for of in shown)]
        for week in range(1, trial.n_weeks + 1)
    ]
    return grid("Totals up to the end of each week: the mean, and between what 95 trials of 100 lie", columns, rows)


def _band(total: tuple[float, float, float], decimals: int) -> str:
    mean, low, high = (number(each, decimals) for each in total)
    return f"{mean} ({low} to {high})"


def answered_text(answer: TrialAnswered) -> Group:
    """What a trial has come to, laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : TrialAnswered
        What to show.

    Returns
    -------
    rich.console.Group
    """
    trial = answer.trial
    head = Text.assemble((f"{plain(trial.works.name)}: the trial of {plain(trial.place.key)} answered", "bold"))
    for sentence in answer.sentences:
        head.append(f"\n{plain(sentence)}")
    columns = [Column("quantity", True, 40), *number_columns("foretold", "band", "seen", "rows"), Column("")]
    rows = []
    for each in answer.judged:
        places = each.of.decimals
        band = f"{number(each.low, places)} to {number(each.high, places)}"
        rows.append([each.of.words, number(each.expected, places), band, number(each.seen, places), str(each.count),
                     each.where])  # fmt: skip
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in (head, grid("Foretold and seen", columns, rows))))
