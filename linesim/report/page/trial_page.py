"""The sheet of a trial, to hang at the machine and to write on; and the sheet of its answer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from linesim import __version__
from linesim.report.page.paper_page import PaperPage, paper_html
from linesim.report.theme.grid import chunks
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Section, Table
from linesim.report.theme.shown import interval, number
from linesim.study.trial.answer import Trial
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.quantities import QUANTITIES, Quantity
from linesim.study.trial.words import BASIS, cautions, first_words, steps, unlike, weeks_shown
from linesim.works import digest

__all__ = ["answered_page", "trial_page"]

_ACROSS = 4
_DECIMALS = {of.name: of.decimals for of in QUANTITIES}
_BY_HAND: Cell = ("", "hand")
_SIGNED = (("Set up by", ""), ("Setters", ""), ("Quality", ""), ("Safety", ""), ("First day", ""), ("Ended, why", ""))


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
    first = tuple(first_words(trial))
    others = [text for text in trial.sentences if text not in (*first, unlike(trial))]
    page = PaperPage(
        kind=f"A trial of {trial.n_weeks} week{'s' if trial.n_weeks != 1 else ''}",
        title=trial.works.name,
        whose=trial.place.key,
        first=first,
        answer=unlike(trial),
        sentences=others,
        sections=list(_sections(trial)),
        signatures=_SIGNED,
        origin=f"Made {today:%Y-%m-%d} by linesim {__version__} from scenario {digest(trial.works)[:10]}, "
        f'policy "{trial.policy}", {len(trial.during)} runs of either, seed {trial.seed}.',
    )
    return paper_html(page, paper)


def _sections(trial: Trial) -> Iterator[Section]:
    yield Section("Who does what", [Bullets(list(steps(trial)))])
    yield Section("Be careful", [Bullets(list(cautions(trial)))])
    yield Section("Week by week: foretold, and to be written down", _weeks(trial))
    yield Section("Today's practice and the trial", [_quantities(trial)])
    yield Section("What this rests on", [Bullets(BASIS)])


def _weeks(trial: Trial) -> list[Table]:
    """Totals and means up to each week beside a box to write in; so many quantities side by side."""
    written = [of for of in trial.quantities if of.name not in ("money", "loss", "parts")]
    named = {of.name: of for of in written}
    tables = []
    for names in chunks(list(named), _ACROSS):
        heads: list[Cell] = ["up to week"]
        for name in names:
            heads += [*numbers(_head(named[name])), ("seen", "hand")]
        rows = []
        for week in range(1, trial.n_weeks + 1):
            cells: list[Cell] = [str(week)]
            for name in names:
                cells += [*numbers(_band(trial.total(name, week), named[name].decimals)), _BY_HAND]
            rows.append(cells)
        caption = "From the first day up to the end of the week; in brackets between what 95 trials of 100 lie"
        tables.append(Table(caption, heads, rows))
    return tables


def _head(of: Quantity) -> str:
    kind = "in all" if of.is_total else f"mean{', ' + of.unit if of.unit else ''}"
    return f"{of.words}, {kind}"


def _band(total: tuple[float, float, float], decimals: int) -> str:
    mean, low, high = (number(each, decimals) for each in total)
    return f"{mean} ({low}–{high})" if "\N{MINUS SIGN}" not in f"{low}{high}" else f"{mean} ({low} to {high})"


def _quantities(trial: Trial) -> Table:
    heads = ["a week, or a reading", *numbers("today", "trial", "95 weeks of 100", "change", "weeks to see it")]
    rows: list[list[Cell]] = []
    for row in trial.table.to_dict(orient="records"):
        places = _DECIMALS[row["name"]] + 1
        unit = f", {row['unit']}" if row["unit"] else ""
        band = f"{number(row['week_low'], places - 1)} to {number(row['week_high'], places - 1)}"
        weeks = weeks_shown(row["weeks_to_see"])
        change = interval(row["change"], row["half_width"])
        figures = (number(row["today"], places), number(row["trial"], places), band, change, weeks)
        rows.append([f"{row['quantity']}{unit}", *numbers(*figures)])
    return Table("Means, each change with its interval", heads, rows)


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
    rows: list[list[Cell]] = [
        [
            f"{each.of.words}{', ' + each.of.unit if each.of.unit else ''}",
            *numbers(
                number(each.expected, each.of.decimals),
                f"{number(each.low, each.of.decimals)} to {number(each.high, each.of.decimals)}",
                number(each.seen, each.of.decimals), str(each.count),
            ),
            each.where,
        ]
        for each in answer.judged
    ]  # fmt: skip
    heads = ["quantity", *numbers("foretold", "95 trials of 100", "seen", "rows"), "where it lies"]
    page = PaperPage(
        kind=f"The trial answered: {answer.weeks_done} of {trial.n_weeks} weeks",
        title=trial.works.name,
        whose=trial.place.key,
        first=(),
        answer=verdict,
        sentences=others,
        sections=[Section("Foretold and seen", [Table("In all, or the mean of what was read", heads, rows)])],
        signatures=(("Decided by", ""), ("Quality", ""), ("From", "")),
        origin=f"Made {today:%Y-%m-%d} by linesim {__version__} from scenario {digest(trial.works)[:10]} and "
        f"{', '.join(answer.records.files)}; {len(trial.during)} runs of either, seed {trial.seed}.",
    )
    return paper_html(page, paper)
