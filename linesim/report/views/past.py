"""Studies of the store on the desk: a list, one opened again, two side by side, and what goes with one taken away."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.report.charts.frame import finish, hover_names, name_rows, spans
from linesim.report.files.run_files import write_table
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture, short
from linesim.report.theme.shown import interval, number
from linesim.store import Store, StoredStudy
from linesim.study.comparing.measures import MEASURES, Measure, measure, with_unit
from linesim.study.comparing.past import settings_text
from linesim.words import in_a_row, keep, retell, say
from linesim.works import Works

__all__ = [
    "asked_words", "between_sheet", "called", "excel_of", "gone_words", "latest_words", "list_sheet", "means_picture",
    "means_sheet", "measure_names", "state_words",
]  # fmt: skip

_KINDS: dict[str, str] = {
    "policies": keep("past.kind_policies"), "compare": keep("past.kind_policies"),
    "frontier": keep("past.kind_frontier"), "worth": keep("past.kind_worth"), "advise": keep("past.kind_advise"),
    "change": keep("past.kind_change"), "best_intervals": keep("past.kind_intervals"),
    "intervals": keep("past.kind_intervals"), "interval": keep("past.kind_interval"),
    "circulation": keep("past.kind_sets"), "sets": keep("past.kind_sets"), "drivers": keep("past.kind_drivers"),
    "variants": keep("past.kind_cuts"), "routing": keep("past.kind_cuts"), "cut_speed": keep("past.kind_speed"),
    "speed": keep("past.kind_speed"),
}  # fmt: skip
_STATES: dict[str, str] = {
    "running": keep("past.state_running"), "stopped": keep("past.state_stopped"),
    "failed": keep("past.state_failed"), "finished": keep("past.state_finished"),
}  # fmt: skip
_SHOWN = ("good_per_hour", "cost_per_good_part", "quality_loss_per_good_part", "contribution_per_hour")
_HEADS = ("number", "name", "asked", "scenario", "runs", "state", "at")
_MOST_SHOWN = 30
_LONGEST_SETTING = 300


def called(study: StoredStudy) -> str:
    """A study as it stands in a list to choose from; its number makes it unlike all others.

    Parameters
    ----------
    study : StoredStudy

    Returns
    -------
    str
    """
    return keep(
        "past.called_named" if study.name else "past.called", number=study.number, name=short(study.name, 40),
        kind=_kind(study), works=short(study.works_name, 40), at=_moment(study.changed_at),
    )  # fmt: skip


def state_words(study: StoredStudy) -> str:
    """How far a study is, when it was begun and last got on."""
    return say(
        "past.state", state=_STATES.get(study.status, study.status), runs=number(study.runs, 0),
        begun=_moment(study.begun_at), changed=_moment(study.changed_at), version=study.version,
    )  # fmt: skip


def asked_words(study: StoredStudy) -> str:
    """What was asked, in one line."""
    asked = {name: value for name, value in study.settings.items() if len(str(value)) <= _LONGEST_SETTING}
    words = short(settings_text(replace(study, settings=asked)), 400)
    key = "past.asked_so" if words else "past.asked"
    return say(key, kind=_kind(study), works=short(study.works_name, 80), settings=words)


def latest_words(studies: Sequence[StoredStudy]) -> str:
    """How many studies are kept, and what the last of them asked."""
    last = studies[0]
    shown = number(len(studies), 0)
    return say("past.latest", count=len(studies), shown=shown, kind=_kind(last), works=short(last.works_name, 80))


def list_sheet(studies: Sequence[StoredStudy]) -> Sheet:
    """All studies, the one that last got on first.

    Parameters
    ----------
    studies : sequence of StoredStudy

    Returns
    -------
    Sheet
    """
    rows: list[list[Cell]] = [
        [
            str(study.number), study.name or "–", retell(_kind(study)), study.works_name,
            *numbers(number(study.runs, 0)),
            retell(_STATES.get(study.status, study.status)), retell(_moment(study.changed_at)),
        ]
        for study in studies
    ]  # fmt: skip
    number_, name, asked, scenario, runs, state, at = (say(f"past.head_{each}") for each in _HEADS)
    heads = [number_, name, asked, scenario, *numbers(runs), state, at]
    plain = [
        {name: value for name, value in asdict(study).items() if name not in ("settings", "answer")}
        for study in studies
    ]
    return Sheet(say("past.list", count=len(studies)), heads, rows, pd.DataFrame(plain))


def measure_names() -> dict[str, str]:
    """Measures to choose from: name by words."""
    return {each.words: each.name for each in MEASURES}


def means_sheet(means: pd.DataFrame, works: Works) -> Sheet:
    """Means of every policy of a study, as its runs in the store have them.

    Parameters
    ----------
    means : DataFrame
        As `linesim.study.comparing.past.policy_runs` gives it.
    works : Works
        Of the study.

    Returns
    -------
    Sheet
    """
    rows: list[list[Cell]] = []
    for (_, policy), own in means.groupby(["works", "policy"], sort=False):
        cells = {row["measure"]: _cell(row, "mean", "half_width") for row in own.to_dict(orient="records")}
        rows.append([str(policy), *numbers(str(int(own["n"].iloc[0])), *(cells[name] for name in _SHOWN))])
    measures = (retell(with_unit(measure(name), works.currency)) for name in _SHOWN)
    heads = [say("past.head_policy"), *numbers(say("past.head_runs"), *measures)]
    caption = say("past.means_several" if _is_repeated(means) else "past.means")
    return Sheet(caption, heads, rows, means)


def means_picture(means: pd.DataFrame, name: str, works: Works, light: Light = DAY) -> Picture:
    """One measure of every policy of a study with its interval.

    Parameters
    ----------
    means : DataFrame
        As `linesim.study.comparing.past.policy_runs` gives it; not empty.
    name : str
        Of the measure.
    works : Works
        Of the study.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Those with the most runs, which a search has tried longest, thirty at the most; all are in the table behind it.
    """
    of = measure(name)
    factor = 100.0 if of.is_share else 1.0
    own = means[means["measure"] == name]
    own = own[own["n"] == own["n"].max()].head(_MOST_SHOWN)
    names = [str(policy) for policy in own["policy"]]
    figure = go.Figure(
        go.Scatter(
            x=factor * own["mean"], y=list(range(len(names))), mode="markers", showlegend=False,
            error_x=spans((factor * own["half_width"]).to_list()),
            marker={"size": 11, "symbol": "diamond", "color": light.accent},
            hovertext=hover_names(names), hovertemplate="%{hovertext}<br>%{x:.4g}<extra></extra>",
        )
    )  # fmt: skip
    figure.update_xaxes(title=in_picture(retell(with_unit(of, works.currency)), 80))
    name_rows(figure, names, 28)
    finish(figure, light, 110 + 34 * max(len(names), 2))
    words = say("past.picture", what=with_unit(of, works.currency), count=len(names))
    return Picture(figure, words, means_sheet(means, works))


def between_sheet(table: pd.DataFrame, name: str, works: Works, first: StoredStudy, second: StoredStudy) -> Sheet:
    """Two studies side by side by one measure.

    Parameters
    ----------
    table : DataFrame
        As `linesim.study.comparing.past_between.between_studies` gives it.
    name : str
        Of the measure.
    works : Works
        Of the first study.
    first, second : StoredStudy
        The studies.

    Returns
    -------
    Sheet
    """
    of = measure(name)
    rows: list[list[Cell]] = []
    for row in table[table["measure"] == name].to_dict(orient="records"):
        cells = [_cell(row, "first", "first_half_width", of), _cell(row, "second", "second_half_width", of)]
        verdict = _verdict(row)
        difference = _cell(row, "difference", "half_width", of) if row["n"] > 1 else "–"
        rows.append([str(row["policy"]), *numbers(*cells, difference, str(row["n"])), verdict])
    studies = (say("past.head_study", number=each.number) for each in (first, second))
    figures = numbers(*studies, say("past.head_difference"), say("past.head_paired"))
    heads = [say("past.head_policy"), *figures, ""]
    what = with_unit(of, works.currency)
    caption = say("past.between", what=what, first=first.number, second=second.number)
    return Sheet(caption, heads, rows, table)


def _verdict(row: dict[Any, Any]) -> str:
    """Whether two studies differ by a policy."""
    if row["n"] > 1 and row["difference"] == 0.0 and row["half_width"] == 0.0:
        return say("advice.same_in_all")
    if row["is_apart"]:
        return say("past.significant")
    return say("past.not_significant" if row["n"] > 1 else "past.none_in_common")


def gone_words(store: Store, study: StoredStudy) -> str:
    """What goes for good with a study that is taken away.

    Parameters
    ----------
    store : Store
        Open.
    study : StoredStudy
        Which.

    Returns
    -------
    str
    """
    without, alone = store.prune(chosen=[study.number]), store.prune()
    runs, works = without.runs - alone.runs, without.works - alone.works
    name = f' "{short(study.name, 60)}"' if study.name else ""
    others = study.runs - runs
    gone = say("past.gone", number=study.number, name=name, kind=_kind(study), works=short(study.works_name, 60),
               runs=number(runs, 0), scenarios=say("past.gone_scenarios", count=works) if works > 0 else "",
               size=number(max(without.kilobytes - alone.kilobytes, 0), 0),
               needed=say("past.gone_needed", runs=number(others, 0)) if others > 0 else "")  # fmt: skip
    return in_a_row([gone, *([say("past.under_way")] if study.status == "running" else [])])


def excel_of(table: pd.DataFrame, study: StoredStudy) -> bytes:
    """The runs of a study as an Excel workbook, where from on a sheet of its own; texts are no formulas."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "runs.xlsx"
        write_table(path, table, asdict(study))
        return path.read_bytes()


def _kind(study: StoredStudy) -> str:
    return _KINDS.get(study.kind, study.kind)


def _cell(row: dict[Any, Any], mean: str, half_width: str, of: Measure | None = None) -> str:
    factor = 100.0 if (of or measure(row["measure"])).is_share else 1.0
    return interval(factor * row[mean], factor * row[half_width])


def _is_repeated(means: pd.DataFrame) -> bool:
    pairs = means[["works", "policy"]].drop_duplicates()
    return bool(pairs["policy"].duplicated().any())


def _moment(text: str) -> str:
    """A moment as the clock of the server shows it."""
    at = datetime.fromisoformat(text).astimezone()
    day = keep("format.date", year=at.year, month=at.month, day=at.day)
    return keep("days.day_and_time", day=day, time=f"{at:%H:%M}")
