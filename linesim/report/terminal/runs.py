"""Studies in a store for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import pandas as pd
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import UNKNOWN, within
from linesim.store import Pruned, StoredStudy
from linesim.study.comparing.measures import measure, with_unit
from linesim.study.comparing.past import settings_text

__all__ = ["pruned_text", "studies_text", "study_text"]

_SHOWN = ("good_per_hour", "cost_per_good_part", "quality_loss_per_good_part", "contribution_per_hour")


def studies_text(studies: Sequence[StoredStudy], place: str, n_runs: int) -> RenderableType:
    """All studies of a store, one in a row; the one that last got on first."""
    if not studies:
        return Text(f"{plain(place)} holds no study yet, and {n_runs} runs.")
    columns = [
        Column("No."), Column("study", True, 14), Column("name", True), Column("scenario", True), Column("runs"),
        Column("state", True), Column("last got on", True),
    ]  # fmt: skip
    rows = [
        (
            str(study.number),
            study.kind,
            study.name or UNKNOWN,
            study.works_name,
            str(study.runs),
            study.status,
            _moment(study.changed_at),
        )
        for study in studies
    ]
    foot = Text("linesim runs show NUMBER tells of one of them.", style="dim")
    return Group(grid(f"Studies in {place}, {n_runs} runs in all", columns, rows), foot)


def study_text(study: StoredStudy, means: pd.DataFrame, currency: str) -> Group:
    """One study: what was asked, how far it is, what it has found.

    Parameters
    ----------
    study : StoredStudy
    means : DataFrame
        As `linesim.study.comparing.past.policy_runs` gives it.
    currency : str
        Of the scenario.
    """
    name = f' "{plain(study.name)}"' if study.name else ""
    asked = settings_text(study)
    head = [
        f'Study {study.number}{name}: {study.kind} of "{plain(study.works_name)}", {study.status}, {study.runs} runs',
        f"Begun {_moment(study.begun_at)}, last got on {_moment(study.changed_at)}, by linesim {study.version}",
        f"Asked: {plain(asked)}" if asked else "Asked as the scenario says",
    ]
    parts: list[RenderableType] = [Text("\n".join(head))]
    sentences = study.answer.get("sentences", [])
    if sentences:
        parts.append(Text("\n".join(plain(sentence) for sentence in sentences)))
    if len(means):
        parts.append(_means(means, currency))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _means(means: pd.DataFrame, currency: str) -> RenderableType:
    """Means with their half widths, a policy in a row."""
    columns = [Column("policy", True), Column("runs"), *(Column(with_unit(measure(name), currency)) for name in _SHOWN)]
    rows = []
    for (_, policy), own in means.groupby(["works", "policy"], sort=False):
        by_measure = {row["measure"]: within(row["mean"], row["half_width"]) for row in own.to_dict("records")}
        cells = [by_measure[name] for name in _SHOWN]
        rows.append((str(policy), str(int(own["n"].iloc[0])), *cells))
    confidence = 100.0 * float(means["confidence"].iloc[0])
    return grid(f"Runs of the whole works: mean ± half width of the {confidence:g} % interval", columns, rows)


def pruned_text(pruned: Pruned, is_tried: bool) -> str:
    """What pruning has taken away, or would take."""
    verb = "would go" if is_tried else "have gone"
    sentence = (
        f"{_counted(pruned.studies, 'study', 'studies')}, {_counted(pruned.runs, 'run', 'runs')} that no study needs "
        f"and {_counted(pruned.works, 'scenario', 'scenarios')} {verb}, {pruned.kilobytes} kB in all."
    )
    return f"{sentence} Add --yes to take them away." if is_tried and any(pruned[:3]) else sentence


def _counted(count: int, one: str, many: str) -> str:
    """A number with its noun."""
    return f"{count or 'no'} {one if count <= 1 else many}"


def _moment(text: str) -> str:
    """A moment as the user's clock shows it.

    >>> len(_moment("2026-03-01T08:15:30.000+00:00"))
    16
    """
    return datetime.fromisoformat(text).astimezone().strftime("%Y-%m-%d %H:%M")
