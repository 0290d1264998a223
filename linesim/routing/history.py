"""The life history of a feature: operation by operation, where its error came from.

The variance of an error that is a sum of parts is the sum of the covariances of each part with the whole: that is the
account. A source can take variance out, and then stands with a minus: a gauge that resets a cut is there for that.
Source: elementary; the covariance is additive in each argument.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim import __version__
from linesim.errors import StudyError, nearest, said
from linesim.floor.run import Floor
from linesim.plan.build import make_plan
from linesim.plan.tables import Plan
from linesim.quality.limits import aim_mm as aim_of
from linesim.quality.limits import drawing_scale, per_side
from linesim.result.plain import plain_table
from linesim.routing.bench import check_runs
from linesim.routing.following import AS_CAST, Follower, Life, Step
from linesim.routing.sources import Source
from linesim.study import Interim, last_of
from linesim.study.comparing.words import amount
from linesim.study.statistics.intervals import mean_interval
from linesim.works import Works, digest

__all__ = ["Account", "History", "account_of_run", "history", "history_steps", "place_of"]

Floats = npt.NDArray[np.float64]

USUAL_REPLICATIONS = 3


@dataclass(frozen=True, eq=False)
class Account:
    """The account of one run.

    Attributes
    ----------
    steps : tuple of Step
        In the order of the routing, the casting first.
    origins : tuple of str
        Where an error can arise: the casting, then each operation.
    parts : numpy.ndarray
        Shape (places of shipped parts, origins, sources): the final errors, µm per side.
    mean : numpy.ndarray
        Shape (steps, sources): mean error after each step, by source, µm.
    variance : numpy.ndarray
        Shape (steps, sources): covariance of each source with the error after the step, µm²; sums to its variance.
    surface : numpy.ndarray
        Shape (operations, 3): mean Ra (µm), share of places scratched, mean depth of those scratches (µm) when parts
        are passed on.
    """

    steps: tuple[Step, ...]
    origins: tuple[str, ...]
    parts: Floats
    mean: Floats
    variance: Floats
    surface: Floats

    @property
    def arising(self) -> Floats:
        """Covariance with the final error by origin and source, µm²; sums to the variance of the final error."""
        whole = self.parts.sum(axis=(1, 2))
        centred = whole - whole.mean()
        total: Floats = np.einsum("n,nos->os", centred, self.parts) / max(len(whole) - 1, 1)
        return total


@dataclass(frozen=True, eq=False)
class History:
    """Where the error of a feature came from, over several runs.

    Attributes
    ----------
    works : Works
        What was run.
    policy, line, feature : str
        Under which policy; whose history it is.
    seed : int
        Key of all chance.
    confidence : float
        Of the intervals over the runs.
    accounts : tuple of Account
        One per replication, from 0.
    """

    works: Works
    policy: str
    line: str
    feature: str
    seed: int
    confidence: float
    accounts: tuple[Account, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps that any of the runs has seen, in the order of the routing."""
        return self.accounts[0].steps

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per step and source: mean (µm) and part of the variance (µm²), with half widths over the runs."""
        rows = []
        for at, step in enumerate(self.steps):
            for source in Source:
                means = [account.mean[at, source] for account in self.accounts]
                parts = [account.variance[at, source] for account in self.accounts]
                if not any(means) and not any(parts):
                    continue
                rows.append({"operation": step.operation, "step": step.what, "source": source.words}
                            | self._interval("mean_um", means) | self._interval("variance_um2", parts))  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def totals(self) -> pd.DataFrame:
        """One row per step: mean error and variance with half widths, and the standard deviation."""
        rows = []
        for at, step in enumerate(self.steps):
            means = [float(account.mean[at].sum()) for account in self.accounts]
            variances = [float(account.variance[at].sum()) for account in self.accounts]
            row = self._interval("mean_um", means) | self._interval("variance_um2", variances)
            rows.append({"operation": step.operation, "step": step.what} | row | {"sd_um": _root(row["variance_um2"])})
        return pd.DataFrame(rows)

    @cached_property
    def arising(self) -> pd.DataFrame:
        """One row per operation and source in which the final error arose: part of its variance, share, half width."""
        arrays = [account.arising for account in self.accounts]
        whole = float(np.mean([array.sum() for array in arrays]))
        rows = []
        for at, origin in enumerate(self.accounts[0].origins):
            for source in Source:
                values = [float(array[at, source]) for array in arrays]
                if any(values):
                    row = self._interval("variance_um2", values)
                    share = row["variance_um2"] / whole if whole else math.nan
                    rows.append({"operation": origin, "source": source.words} | row | {"share": share})
        return pd.DataFrame(rows)

    @cached_property
    def surface(self) -> pd.DataFrame:
        """One row per operation: Ra, share of places scratched and depth of the scratches, when parts are passed on."""
        rows = []
        for at, name in enumerate(self.accounts[0].origins[1:]):
            values = [account.surface[at] for account in self.accounts]
            row = self._interval("ra_um", [float(value[0]) for value in values])
            row |= self._interval("scratched", [float(value[1]) for value in values])
            row |= self._interval("scratch_um", [float(value[2]) for value in values])
            rows.append({"operation": name} | row)
        return pd.DataFrame(rows)

    @property
    def limits_um(self) -> tuple[float, float]:
        """Limits of the error per side, µm; infinite where the drawing gives none."""
        feature = self.works.lines[self.line].features[self.feature]
        if feature.size is None:
            return -math.inf, math.inf
        return per_side(feature, feature.size.limits, aim_of(feature))

    @property
    def scale(self) -> float:
        """How much the drawing's size grows for each µm of metal left on per side."""
        return drawing_scale(self.works.lines[self.line].features[self.feature])

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The account in words, the greatest sources first."""
        last = self.totals.iloc[-1]
        table = self.arising.sort_values("variance_um2", ascending=False)
        count = sum(len(account.parts) for account in self.accounts)
        width = last["variance_um2_half_width"] / (2.0 * last["sd_um"]) if last["sd_um"] else math.nan
        runs = "runs" if len(self.accounts) > 1 else "run"
        told = [
            (
                f"The error of {self.feature} has a standard deviation of {amount(last['sd_um'], width)} µm per side "
                f"about a mean of {amount(last['mean_um'], last['mean_um_half_width'])} µm (metal left on counts as "
                f"plus), over {count} places of shipped parts in {len(self.accounts)} {runs}."
            )
        ]
        for row in table.head(3).to_dict(orient="records"):
            if row["share"] > 0.0:
                where = "the casting" if row["operation"] == AS_CAST.operation else row["operation"]
                told.append(f"{100.0 * row['share']:.0f} % of the variance is {row['source']}, from {where}.")
        taken = float(table.loc[table["variance_um2"] < 0.0, "share"].sum())
        if taken < -0.005:
            names = ", ".join(dict.fromkeys(table.loc[table["variance_um2"] < 0.0, "source"]))
            told.append(f"Against that, {100.0 * -taken:.0f} % is taken out again ({names}).")
        return tuple(told)

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""
        return {
            "works": self.works.name, "digest": digest(self.works), "policy": self.policy, "line": self.line,
            "feature": self.feature, "seed": self.seed, "replications": len(self.accounts),
            "confidence": self.confidence, "engine": "simpy", "linesim": __version__,
        }  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"history": self.table, "totals": self.totals, "arising": self.arising, "surface": self.surface}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON; what is not a finite number becomes None."""
        tables = {name: plain_table(table) for name, table in self.tables.items()}
        return {"provenance": self.provenance, "sentences": list(self.sentences), **tables}

    def _interval(self, name: str, values: Sequence[float]) -> dict[str, Any]:
        found = mean_interval(values, self.confidence)
        return {name: found.mean, f"{name}_half_width": found.half_width, "n": found.n, "confidence": self.confidence}


def account_of_run(plan: Plan, line: int, feature: int, seed: int, replication: int) -> Account:
    """Run a plan once on the SimPy floor and keep the account of one feature.

    Parameters
    ----------
    plan : Plan
        What to run.
    line, feature : int
        Numbers in the plan.
    seed, replication : int
        Key of all chance.

    Returns
    -------
    Account
        Of the parts shipped in the counted time.

    Raises
    ------
    RunError
        The account does not agree with the run, which would be an error of linesim.
    StudyError
        Nothing was shipped.
    """
    follower = Follower(line, feature)
    floor = Floor(plan, seed, replication, [follower])
    follower.follow(floor)
    end_min = plan.warm_up_min + plan.length_min
    floor.run_until(end_min)
    lives = [life for moment, life in follower.shipped if plan.warm_up_min <= moment < end_min]
    if not lives:
        raise StudyError(f'"{plan.names.features[feature]}": no part was shipped, so that there is no history to tell')
    return _account(plan, line, lives)


def _account(plan: Plan, line: int, lives: Sequence[Life]) -> Account:
    """Put the accounts of many parts together."""
    first, end = int(plan.casts.first_operation[line]), int(plan.casts.end_operation[line])
    names = plan.names.operations[first:end]
    steps = _in_order({step: None for life in lives for step in life.steps}, names)
    means, variances = [], []
    state = np.array([tags.sum(axis=0) for life in lives for tags in life.steps[AS_CAST]])
    places = len(lives[0].tags)
    for step in steps:
        for at, life in enumerate(lives):
            if step in life.steps:
                state[at * places : (at + 1) * places] = [tags.sum(axis=0) for tags in life.steps[step]]
        whole = state.sum(axis=1)
        means.append(state.mean(axis=0))
        variances.append((whole - whole.mean()) @ state / max(len(whole) - 1, 1))
    parts = np.array([tags for life in lives for tags in life.tags])
    surface = np.array([_surface_after(lives, name) for name in names])
    return Account(steps, (AS_CAST.operation, *names), parts, np.array(means), np.array(variances), surface)


def _surface_after(lives: Sequence[Life], operation: str) -> tuple[float, float, float]:
    """Mean Ra, share scratched and mean depth of the scratches when parts are passed on by an operation."""
    ra = np.array([value for life in lives for value in life.surface[operation][0]])
    scratch = np.array([value for life in lives for value in life.surface[operation][1]])
    hit = scratch > 0.0
    return float(ra.mean()), float(hit.mean()), float(scratch[hit].mean()) if hit.any() else 0.0


def _in_order(steps: dict[Step, None], operations: Sequence[str]) -> tuple[Step, ...]:
    """Steps by their operation; within one, cuts as they come, then disturbance, then salvage."""
    late = {"disturbed": 1, "salvaged": 2}
    order = {AS_CAST.operation: -1, **{name: at for at, name in enumerate(operations)}}
    return tuple(sorted(steps, key=lambda step: (order[step.operation], late.get(step.what, 0))))


def history_steps(
    works: Works,
    feature: str,
    line: str | None = None,
    policy: str | None = None,
    replications: int = USUAL_REPLICATIONS,
    seed: int | None = None,
    confidence: float = 0.95,
) -> Iterator[Interim[History]]:
    """Follow the parts of several runs and tell where the error of a feature came from, run by run.

    Parameters
    ----------
    works : Works
        The checked scenario.
    feature : str
        The feature.
    line : str, optional
        Its line; the first that has such a feature unless given.
    policy : str, optional
        Under which policy; today's practice unless given.
    replications : int
        Runs, 1 or more; without a second one there are no intervals.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of the intervals.

    Yields
    ------
    Interim
        After each run; the last one is final. The runs are made in this process, as they are listened to.

    Raises
    ------
    StudyError
        The feature or the line is not known, or no part was shipped.
    """
    place = place_of(works, feature, line)
    chosen = works.chosen_policy(policy)
    key = works.run.seed if seed is None else seed
    check_runs(replications, key, confidence)
    plan = make_plan(works, chosen)
    numbers = plan.names.lines.index(place), _feature_number(works, place, feature)
    began, accounts = time.monotonic(), []
    for replication in range(replications):
        accounts.append(account_of_run(plan, *numbers, key, replication))
        found = History(works, chosen, place, feature, key, confidence, _alike(accounts))
        spent, is_last = time.monotonic() - began, replication + 1 == replications
        yield Interim(replication + 1, replications, spent, found, "following the parts", is_last)


def history(works: Works, feature: str, **options: Any) -> History:
    """Where the error of a feature came from; see `history_steps` for what may be given."""
    return last_of(history_steps(works, feature, **options))


def _alike(accounts: Sequence[Account]) -> tuple[Account, ...]:
    """Accounts over the same steps: a run that has not seen a step stays as it was before it."""
    known: dict[Step, None] = {step: None for account in accounts for step in account.steps}
    steps = _in_order(known, accounts[0].origins[1:])
    return tuple(_spread_out(account, steps) for account in accounts)


def _spread_out(account: Account, steps: tuple[Step, ...]) -> Account:
    rows, at = [], -1
    for step in steps:
        at = account.steps.index(step) if step in account.steps else at
        rows.append(at)
    return Account(steps, account.origins, account.parts, account.mean[rows], account.variance[rows], account.surface)


def place_of(works: Works, feature: str, line: str | None) -> str:
    """The line of a feature.

    Raises
    ------
    StudyError
        The line or the feature is not known.
    """
    if line is not None and line not in works.lines:
        near = nearest(line, works.lines)
        hint = f"; did you mean {said(near)}?" if near else f"; one of {', '.join(works.lines)} was expected"
        raise StudyError(f"{said(line)} is not a line of this works{hint}")
    lines = list(works.lines) if line is None else [line]
    for name in lines:
        if feature in works.lines[name].features:
            return name
    known = [name for each in lines for name in works.lines[each].features]
    near = nearest(feature, known)
    hint = f"; did you mean {said(near)}?" if near else f"; one of {', '.join(known) or 'none'} was expected"
    raise StudyError(f"{said(feature)} is not a feature of {' or '.join(lines)}{hint}")


def _feature_number(works: Works, line: str, feature: str) -> int:
    """Number of a feature over the whole works."""
    names = [(name, each) for name, of in works.lines.items() for each in of.features]
    return names.index((line, feature))


def _root(variance: float) -> float:
    return math.sqrt(variance) if variance >= 0.0 else math.nan
