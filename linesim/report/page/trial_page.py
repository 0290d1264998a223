"""The sheet of a trial, to hang at the machine and to write on; and the sheet of its answer."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from linesim.report.page.made import made_values
from linesim.report.page.paper_page import PaperPage, paper_html
from linesim.report.theme.grid import chunks
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Section, Table
from linesim.report.theme.shown import interval, number
from linesim.study.trial.afterwards import Judged
from linesim.study.trial.answer import Trial
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.quantities import QUANTITIES, Quantity
from linesim.study.trial.words import (
    BASIS,
    cautions,
    first_words,
    further_words,
    quantity_words,
    steps,
    unlike,
    weeks_shown,
    with_unit_words,
)  # fmt: skip
from linesim.words import retell, say
from linesim.works import digest

__all__ = ["answered_page", "trial_page"]

_ACROSS = 4
_USUAL_PT, _SMALLER_PT, _SMALLEST_PT = 10.0, 9.0, 8.0
_WEEKS_ON_ONE, _LONG_NAME = 8, 60
"""Weeks whose sheet stays on one page in smaller lettering; signs of a name that takes a line more each time."""
_DECIMALS = {of.name: of.decimals for of in QUANTITIES}
_BY_HAND: Cell = ("", "hand")
_SIGNED = ("set_up_by", "setters", "quality", "safety", "first_day", "ended")


def trial_page(trial: Trial, today: date, paper: str = "A4") -> str:
    """The sheet as one self-contained HTML page, for paper.

    Parameters
    ----------
    trial : Trial
        What to show.
    today : datetime.date
        When it is made.
    paper : {"A4", "Letter"}
        On which it is printed.

    Returns
    -------
    str
    """
    page = PaperPage(
        kind=say("trial.kind", count=trial.n_weeks),
        title=trial.works.name,
        whose=trial.set_at.key,
        first=tuple(first_words(trial)),
        answer=unlike(trial),
        sentences=list(further_words(trial)),
        sections=list(_sections(trial)),
        signatures=[(say(f"trial.{key}"), "") for key in _SIGNED],
        origin=say(
            "trial.made", policy=trial.policy, runs=len(trial.during), seed=trial.seed,
            **made_values(digest(trial.works), today),
        ),
    )  # fmt: skip
    return paper_html(page, paper, _size_pt(trial))


def _size_pt(trial: Trial) -> float:
    """Lettering with which the names at the foot stay on the page of the weeks, if there are not too many."""
    if trial.n_weeks > _WEEKS_ON_ONE:
        return _USUAL_PT
    return _SMALLER_PT if len(trial.set_at.key) <= _LONG_NAME else _SMALLEST_PT


def _sections(trial: Trial) -> Iterator[Section]:
    yield Section(say("trial.who"), [Bullets(list(steps(trial)))])
    yield Section(say("trial.careful"), [Bullets(list(cautions(trial)))])
    yield Section(say("trial.weeks"), _weeks(trial))
    yield Section(say("trial.today_and_trial"), [_quantities(trial)])
    yield Section(say("sheet.rests_on"), [Bullets([retell(text) for text in BASIS])])


def _weeks(trial: Trial) -> list[Table]:
    """Totals and means up to each week beside a box to write in; so many quantities side by side."""
    written = [of for of in trial.quantities if of.name not in ("money", "loss", "parts")]
    named = {of.name: of for of in written}
    tables = []
    for names in chunks(list(named), _ACROSS):
        heads: list[Cell] = [say("trial.up_to_week")]
        for name in names:
            heads += [*numbers(_head(named[name])), (say("trial.seen"), "hand")]
        rows = []
        for week in range(1, trial.n_weeks + 1):
            cells: list[Cell] = [str(week)]
            for name in names:
                cells += [*numbers(_band(trial.total(name, week), named[name].decimals)), _BY_HAND]
            rows.append(cells)
        tables.append(Table(say("trial.weeks_caption"), heads, rows))
    return tables


def _head(of: Quantity) -> str:
    key = "trial.in_all" if of.is_total else "trial.mean_unit" if of.unit else "trial.mean"
    return say(key, what=quantity_words(of.name), unit=of.unit)


def _band(total: tuple[float, float, float], decimals: int) -> str:
    mean, low, high = (number(each, decimals) for each in total)
    return (
        f"{mean} ({low}–{high})"
        if "\N{MINUS SIGN}" not in f"{low}{high}"
        else f"{mean} ({say('trial.band', low=low, high=high)})"
    )


def _quantities(trial: Trial) -> Table:
    names = ("today", "trial", "band_head", "change", "weeks_to_see")
    heads = [say("trial.quantity"), *numbers(*(say(f"trial.{name}") for name in names))]
    rows: list[list[Cell]] = []
    for row in trial.table.to_dict(orient="records"):
        places = min(_DECIMALS[row["name"]] + 1, _places(row["today"]))
        coarse = max(0, places - 1)
        band = say("trial.band", low=number(row["week_low"], coarse), high=number(row["week_high"], coarse))
        weeks = weeks_shown(row["weeks_to_see"])
        change = interval(row["change"], row["half_width"], None if row["half_width"] else places)
        figures = (number(row["today"], places), number(row["trial"], places), band, change, weeks)
        rows.append([with_unit_words(str(row["name"]), str(row["unit"]), trial.works.currency), *numbers(*figures)])
    return Table(say("trial.quantities_caption"), heads, rows)


def _places(value: float) -> int:
    """Decimals with which three digits of a mean are seen; more than that no week shows."""
    return 2 if value == 0.0 or not math.isfinite(value) else max(0, 2 - math.floor(math.log10(abs(value))))


def answered_page(answer: TrialAnswered, today: date, paper: str = "A4") -> str:
    """The answer as one self-contained HTML page, for paper.

    Parameters
    ----------
    answer : TrialAnswered
        What to show.
    today, paper
        As for `trial_page`.

    Returns
    -------
    str
    """
    trial = answer.trial
    verdict, *others = answer.sentences
    names = ("quantity", "foretold", "trials_of_100", "seen", "rows", "where")
    first, *middle, last = (say(f"answered.{name}") for name in names)
    table = Table(say("answered.caption"), [first, *numbers(*middle), last], [_judged(each) for each in answer.judged])
    page = PaperPage(
        kind=say("answered.kind", done=answer.weeks_done, count=trial.n_weeks),
        title=trial.works.name,
        whose=trial.set_at.key,
        first=(),
        answer=verdict,
        sentences=others,
        sections=[Section(say("answered.title"), [table])],
        signatures=[(say(f"answered.{name}"), "") for name in ("decided_by", "quality", "from")],
        origin=say(
            "answered.made", files=list(answer.records.files), runs=len(trial.during), seed=trial.seed,
            **made_values(digest(trial.works), today),
        ),
    )  # fmt: skip
    return paper_html(page, paper)


def _judged(each: Judged) -> list[Cell]:
    """One quantity: foretold, its band, seen, and where that lies."""
    places, what = each.of.decimals, quantity_words(each.of.name)
    band = say("trial.band", low=number(each.low, places), high=number(each.high, places))
    figures = (number(each.expected, places), band, number(each.seen, places), str(each.count))
    named = say("trial.with_unit", what=what, unit=each.of.unit) if each.of.unit else what
    return [named, *numbers(*figures), say(f"answered.{each.where}")]
