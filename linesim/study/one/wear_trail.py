"""What an edge makes from its first part to its last: the true sizes and finishes by parts since the change."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from linesim.plan.stations import kinds_of
from linesim.study.interim import Interim, last_of
from linesim.study.one.runs import check_key
from linesim.study.one.tryout import run
from linesim.works import Works
from linesim.works.model import Line

__all__ = ["WearTrail", "trail", "trail_steps"]

_LEAST_SHIFTS = 3
_MOST_SHIFTS = 24
_GROWTH = 2


@dataclass(frozen=True, eq=False)
class WearTrail:
    """True values of the parts of some shifts, by how long the edge that made them had been in.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Under which cutters were changed.
    shifts : int
        Counted shifts that were followed, of one run.
    values : DataFrame
        line, feature, place, operation, cutter, machine, serial, minute, parts_since_change (1 is the first part that a
        sharp edge made), error_um (per side, from the aim) and ra_um, as the last operation that cuts the feature
        left them.
    """

    works: Works
    policy: str
    shifts: int
    values: pd.DataFrame

    def by_parts(self, line: str, feature: str, value: str, bins: int = 12) -> pd.DataFrame:
        """Mean and spread of a value within an edge's life.

        Parameters
        ----------
        line, feature : str
            Which.
        value : {"error_um", "ra_um"}
            Which value.
        bins : int
            Into how many stretches the life is cut.

        Returns
        -------
        DataFrame
            ``from_part``, ``to_part``, mean, sd (n - 1), n.
        """
        own = self.values[(self.values["line"] == line) & (self.values["feature"] == feature)].dropna(subset=[value])
        columns = ["from_part", "to_part", "mean", "sd", "n"]
        if own.empty:
            return pd.DataFrame(columns=columns)
        most = int(own["parts_since_change"].max())
        width = max(1, -(-most // bins))
        at = (own["parts_since_change"] - 1) // width
        table = own.groupby(at)[value].agg(["mean", "std", "count"]).reset_index(names="bin")
        return pd.DataFrame(
            {
                "from_part": table["bin"] * width + 1,
                "to_part": (table["bin"] + 1) * width,
                "mean": table["mean"],
                "sd": table["std"],
                "n": table["count"],
            }
        )


def trail(works: Works, policy: str | None = None, seed: int | None = None, replication: int = 0) -> WearTrail:
    """Follow what edges make; see `trail_steps`."""
    return last_of(trail_steps(works, policy, seed, replication))


def trail_steps(
    works: Works, policy: str | None = None, seed: int | None = None, replication: int = 0
) -> Iterator[Interim[WearTrail]]:
    """Follow what edges make over a few shifts, then over more.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; today's practice unless given.
    seed, replication : int
        Key of all chance; the scenario's seed unless given.

    Yields
    ------
    Interim of WearTrail
        After 3, 6, 12 and 24 shifts, or as many as the scenario's run has.

    Raises
    ------
    ScenarioError
        The policy is not known, or a cut cannot be made as described.
    """
    name = works.chosen_policy(policy)
    key = works.run.seed if seed is None else seed
    check_key(key, replication)
    most = max(1, min(_MOST_SHIFTS, int(works.run.length // works.calendar.shift)))
    shifts, began_s = min(_LEAST_SHIFTS, most), time.monotonic()
    while True:
        length = min(works.run.length, shifts * works.calendar.shift)
        shorter = works.model_copy(update={"run": works.run.model_copy(update={"length": length})})
        answer = WearTrail(works, name, shifts, _values(shorter, name, key, replication))
        is_last = shifts >= most
        yield Interim(shifts, most, time.monotonic() - began_s, answer, "following the edges", is_last)
        if is_last:
            return
        shifts = min(most, shifts * _GROWTH)


def _values(works: Works, policy: str, seed: int, replication: int) -> pd.DataFrame:
    """One watched run, part by part."""
    result = run(works, policy, seed, replication, trace=True, engine="fast")
    assert result.trace is not None
    parts, changes = result.trace.parts, result.trace.changes
    tables = [
        table
        for line_name, line in works.lines.items()
        for feature, operation, cutter in _makers(line)
        for table in _of_feature(line_name, line, feature, operation, cutter, parts, changes, works.run.warm_up)
    ]
    columns = ["line", "feature", "place", "operation", "cutter", "machine", "serial", "minute", "parts_since_change"]
    return pd.concat(tables, ignore_index=True) if tables else pd.DataFrame(columns=[*columns, "error_um", "ra_um"])


def _makers(line: Line) -> Iterator[tuple[str, str, str]]:
    """For each feature the operation that cuts it last, and the cutter of that cut."""
    for feature in line.features:
        last = [
            (name, cut.cutter)
            for name, operation in line.operations.items()
            for stroke in operation.strokes.values()
            for cut in stroke.cuts.values()
            if cut.feature == feature
        ]
        if last and last[-1][1] in kinds_of(line.operations[last[-1][0]]):
            yield feature, *last[-1]


def _of_feature(
    line_name: str,
    line: Line,
    feature: str,
    operation: str,
    cutter: str,
    parts: pd.DataFrame,
    changes: pd.DataFrame,
    warm_up_min: float,
) -> Iterator[pd.DataFrame]:
    """Values of each place of a feature, machine by machine."""
    places = line.features[feature].places
    done = parts[(parts["line"] == line_name) & (parts["operation"] == operation)].dropna(subset=["complete_min"])
    own = changes[(changes["line"] == line_name) & (changes["operation"] == operation) & (changes["cutter"] == cutter)]
    for machine, group in done.groupby("machine", sort=False):
        built = group.sort_values("complete_min")
        moments = np.sort(own.loc[own["machine"] == machine, "now_min"].to_numpy(dtype=np.float64))
        since = _since_change(built["complete_min"].to_numpy(dtype=np.float64), moments)
        counted = built["complete_min"].to_numpy(dtype=np.float64) >= warm_up_min
        for place in range(places):
            column = feature if places == 1 else f"{feature} {place + 1}"
            table = pd.DataFrame(
                {
                    "line": line_name, "feature": feature, "place": place + 1, "operation": operation,
                    "cutter": cutter, "machine": machine, "serial": built["serial"].to_numpy(),
                    "minute": built["complete_min"].to_numpy(), "parts_since_change": since,
                    "error_um": built[f"{column} error_um"].to_numpy(), "ra_um": built[f"{column} ra_um"].to_numpy(),
                }
            )  # fmt: skip
            yield table[counted]


def _since_change(complete_min: np.ndarray, changes_min: np.ndarray) -> np.ndarray:
    """Parts done since the last change, this one included; a change at the moment of a part comes after it."""
    edge = np.searchsorted(changes_min, complete_min, side="left")
    starts = np.searchsorted(edge, np.unique(edge), side="left")
    lengths = np.diff([*starts, len(edge)])
    return np.concatenate([np.arange(1, length + 1) for length in lengths]) if len(edge) else np.zeros(0, dtype=int)
