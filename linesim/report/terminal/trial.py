"""A trial for the terminal: foretold, and answered."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import interval, number
from linesim.study.trial.after_words import after_sentences
from linesim.study.trial.answer import Trial
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.quantities import QUANTITIES
from linesim.study.trial.words import BASIS, cautions, quantity_words, sentences_of, weeks_shown, with_unit_words
from linesim.words import retell, say

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
    head = Text.assemble((say("trial.of", works=plain(trial.works.name), set=plain(trial.set_at.key)), "bold"))
    for sentence in sentences_of(trial):
        head.append(f"\n{plain(sentence)}")
    runs = say("trial.runs", runs=len(trial.during), seed=trial.seed)
    foot = Text("\n".join((*cautions(trial), runs, *map(retell, BASIS))), style="dim")
    parts: list[RenderableType] = [head, _quantities(trial), _totals(trial), foot]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _quantities(trial: Trial) -> RenderableType:
    """Before and during, and when it is seen."""
    heads = (say(f"trial.{name}") for name in ("today", "trial", "band_head", "change", "head_weeks"))
    columns = [Column(say("trial.head_a_week"), True, 34), *number_columns(*heads)]
    rows = []
    for row in trial.table.to_dict(orient="records"):
        places = _DECIMALS[row["name"]] + 1
        weeks = weeks_shown(row["weeks_to_see"])
        band = say("trial.band", low=number(row["week_low"], places - 1), high=number(row["week_high"], places - 1))
        figures = (number(row["today"], places), number(row["trial"], places))
        rows.append(
            [
                with_unit_words(str(row["name"]), str(row["unit"]), trial.works.currency),
                *figures,
                band,
                interval(row["change"], row["half_width"]),
                weeks,
            ]
        )
    return grid(say("trial.quantities_title"), columns, rows)


def _totals(trial: Trial) -> RenderableType:
    """Running totals, which are held against what is written down."""
    shown = [of for of in trial.quantities if of.is_total]
    columns = number_columns(say("trial.head_week"), *(quantity_words(of.name) for of in shown))
    rows = [
        [str(week), *(_band(trial.total(of.name, week), of.decimals) for of in shown)]
        for week in range(1, trial.n_weeks + 1)
    ]
    return grid(say("trial.totals_title"), columns, rows)


def _band(total: tuple[float, float, float], decimals: int) -> str:
    mean, low, high = (number(each, decimals) for each in total)
    return say("format.banded", middle=mean, low=low, high=high)


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
    head = Text.assemble((say("answered.of", works=plain(trial.works.name), set=plain(trial.set_at.key)), "bold"))
    for sentence in after_sentences(answer):
        head.append(f"\n{plain(retell(sentence))}")
    heads = (say(f"answered.{name}") for name in ("foretold", "head_band", "seen", "rows"))
    columns = [Column(say("answered.quantity"), True, 40), *number_columns(*heads), Column("")]
    rows = []
    for each in answer.judged:
        places = each.of.decimals
        band = say("trial.band", low=number(each.low, places), high=number(each.high, places))
        seen = [number(each.seen, places), str(each.count), say(f"answered.{each.where}")]
        rows.append([quantity_words(each.of.name), number(each.expected, places), band, *seen])
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in (head, grid(say("answered.title"), columns, rows))))
