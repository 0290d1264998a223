"""Studies in a store, read again: their runs as a table, the scenario as a works, what they found in short."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pandas as pd

from linesim.errors import StoreError
from linesim.store import OWNER, Store, StoredStudy
from linesim.study.comparing.measures import MEASURES
from linesim.study.crew.summary import WHOLE_WORKS, figures_in
from linesim.study.statistics.intervals import mean_interval
from linesim.works import Works, works_from_text

__all__ = ["named_runs", "policy_runs", "run_key", "run_table", "scenario_text", "settings_text", "works_of"]

_HEADS = ["run", "works", "version", "kept_at", "policy", "seed", "replication"]


def run_table(store: Store, study: StoredStudy | None = None) -> pd.DataFrame:
    """The runs of a study, or all, as a table.

    Parameters
    ----------
    store : Store
        Open.
    study : StoredStudy, optional
        All runs unless given.

    Returns
    -------
    DataFrame
        One row per run and line, and one for the whole works: run (its key), works (digest), version, kept_at, policy,
        seed, replication, and the figures of `linesim.study.crew.outcome.Outcome`.

    Raises
    ------
    StoreError
        The store cannot be read.
    StudyError
        A run in it cannot be.
    """
    rows = []
    for run in store.runs_of(None if study is None else study.number):
        named = vars(run) | {"run": run.key}
        head = {name: named[name] for name in _HEADS}
        rows += [head | row for row in figures_in(run.outcome)]
    return pd.DataFrame(rows) if rows else pd.DataFrame(columns=[*_HEADS, "line"])


def policy_runs(table: pd.DataFrame, confidence: float = 0.95) -> pd.DataFrame:
    """Mean of every measure of the whole works by policy, each with its interval.

    Parameters
    ----------
    table : DataFrame
        As `run_table` gives it.
    confidence : float
        Of the intervals, between 0 and 1.

    Returns
    -------
    DataFrame
        works (digest), policy, measure, mean, half_width (not a number for a single run), confidence, n.
    """
    columns = ["works", "policy", "measure", "mean", "half_width", "confidence", "n"]
    whole = table[table["line"] == WHOLE_WORKS]
    rows = []
    for (works, policy), own in whole.groupby(["works", "policy"], sort=False):
        for measure in MEASURES:
            values = own[measure.name].to_numpy(dtype=float)
            answer = mean_interval(values, confidence)
            rows.append((works, policy, measure.name, answer.mean, answer.half_width, confidence, answer.n))
    return pd.DataFrame(rows, columns=columns)


def run_key(works: str, policy: str) -> str:
    """What was run, as an answer in the store calls it: digest of the works, and the policy."""
    return f"{works} {policy}"


def named_runs(means: pd.DataFrame, called: Mapping[str, str]) -> pd.DataFrame:
    """Means of what a study has given names, each under its name instead of its policy's.

    Parameters
    ----------
    means : DataFrame
        As `policy_runs` gives it.
    called : mapping
        Names by `run_key`; of what has none nothing is left, unless nothing has.

    Returns
    -------
    DataFrame
    """
    names = [called.get(run_key(works, policy)) for works, policy in zip(means["works"], means["policy"], strict=True)]
    if not any(names):
        return means
    named = means.assign(policy=pd.Series(names, index=means.index, dtype=object))
    return named[named["policy"].notna()].reset_index(drop=True)


def scenario_text(store: Store, study: StoredStudy) -> str:
    """The scenario of a study as a file would say it, complete in itself.

    Raises
    ------
    StoreError
        It is not there.
    """
    stored = store.works(study.works)
    if stored is None:
        raise StoreError(f"{store.location}: the scenario of study {study.number} is not there; the store is damaged")
    return stored.text


def works_of(store: Store, study: StoredStudy) -> Works:
    """The works of a study, to be run again.

    Raises
    ------
    StoreError
        It is not there.
    ScenarioError
        This version of linesim reads it no more.
    """
    return works_from_text(scenario_text(store, study), f"study {study.number}")


def settings_text(study: StoredStudy) -> str:
    """What a study was asked, in one line; what was left to the scenario is left out."""
    given = {name: value for name, value in study.settings.items() if value is not None and name != OWNER}
    return ", ".join(f"{name} {json.dumps(value, ensure_ascii=False)}" for name, value in given.items())
