"""What the parts mean in the engine: compression ratio, piston clearance, bearing lines, valve seats, gasket faces.

From the true values of shipped parts, in the order in which they were shipped: the first block meets the first head and
the first crankcase, and so on. A bore's error is one figure, µm per side; on the line of a row of bores it is taken as
the place of the wall on which the shaft lies.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim import __version__
from linesim.errors import StudyError
from linesim.result.plain import plain_table
from linesim.routing.bench import check_runs
from linesim.routing.engine_values import EFFECTS, Shipped, classes_of, effects_of
from linesim.study import Interim, last_of, run
from linesim.study.statistics.intervals import mean_interval
from linesim.works import Works, digest

__all__ = ["EFFECTS", "EngineEffects", "engine_effects", "engine_steps"]


USUAL_REPLICATIONS = 4


@dataclass(frozen=True, eq=False)
class EngineEffects:
    """Engine builder's figures over several runs.

    Attributes
    ----------
    works : Works
        The scenario, with its engine.
    policy : str
        Under which it was run.
    seed : int
        Key of all chance.
    confidence : float
        Of the intervals over the runs.
    found : tuple of DataFrame
        One per replication: effect, of, mean, sd, least, greatest, low, high, share_outside, n_values.
    classes : tuple of DataFrame
        One per replication: piston class (mm) and the share of bores that take it.
    """

    works: Works
    policy: str
    seed: int
    confidence: float
    found: tuple[pd.DataFrame, ...]
    classes: tuple[pd.DataFrame, ...]

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per effect: mean with half width, sd, extremes, share outside with half width."""
        rows = []
        whole = pd.concat([table.assign(replication=at) for at, table in enumerate(self.found)])
        for (name, of), group in whole.groupby(["effect", "of"], sort=False):
            mean = mean_interval(group["mean"].to_numpy(dtype=np.float64), self.confidence)
            out = mean_interval(group["share_outside"].to_numpy(dtype=np.float64), self.confidence)
            rows.append(
                {
                    "effect": name, "of": of, "unit": EFFECTS[str(name)].unit, "mean": mean.mean,
                    "half_width": mean.half_width, "sd": float(np.sqrt((group["sd"] ** 2).mean())),
                    "least": group["least"].min(), "greatest": group["greatest"].max(), "low": group["low"].iloc[0],
                    "high": group["high"].iloc[0], "share_outside": out.mean, "share_half_width": out.half_width,
                    "confidence": self.confidence, "n": mean.n, "values": int(group["n_values"].sum()),
                }
            )  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def piston_classes(self) -> pd.DataFrame:
        """Share of bores by piston class, with half width; the last row has none that fits."""
        if not self.classes or self.classes[0].empty:
            return pd.DataFrame(columns=["piston_mm", "share", "half_width", "confidence", "n"])
        rows = []
        whole = pd.concat(self.classes)
        for name, group in whole.groupby("piston_mm", sort=False):
            share = mean_interval(group["share"].to_numpy(dtype=np.float64), self.confidence)
            rows.append(
                {"piston_mm": name, "share": share.mean, "half_width": share.half_width}
                | {"confidence": self.confidence, "n": share.n}
            )
        return pd.DataFrame(rows)

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What an engine builder would say."""
        return tuple(_words(self.table, self.piston_classes))

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""
        return {
            "works": self.works.name, "digest": digest(self.works), "policy": self.policy, "seed": self.seed,
            "replications": len(self.found), "confidence": self.confidence, "linesim": __version__,
        }  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"effects": self.table, "piston_classes": self.piston_classes}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""
        tables = {name: plain_table(table) for name, table in self.tables.items()}
        sources = {name: effect.source for name, effect in EFFECTS.items()}
        return {"provenance": self.provenance, "sentences": list(self.sentences), "sources": sources, **tables}


def engine_steps(
    works: Works,
    policy: str | None = None,
    replications: int = USUAL_REPLICATIONS,
    seed: int | None = None,
    confidence: float = 0.95,
    engine: str = "fast",
) -> Iterator[Interim[EngineEffects]]:
    """Run a works and tell what its parts mean in the engine, run by run.

    Parameters
    ----------
    works : Works
        With the entry ``engine``.
    policy : str, optional
        Under which sets are changed; the scenario's first unless given.
    replications : int
        Runs, 1 or more; without a second one there are no intervals.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of the intervals.
    engine : {"fast", "simpy"}
        Which engine runs it.

    Yields
    ------
    Interim
        After each run; the last one is final. The runs are made in this process, as every part is looked at.

    Raises
    ------
    StudyError
        The scenario says nothing of an engine, or no part was shipped.
    """
    if works.engine is None:
        told = "stroke, bores and what else is known of it, as in scenarios/works.yaml"
        raise StudyError(f"{works.name}: this scenario says nothing of an engine; add the entry engine: with {told}")
    chosen = works.chosen_policy(policy)
    key = works.run.seed if seed is None else seed
    check_runs(replications, key, confidence)
    began, found, classes = time.monotonic(), [], []
    for replication in range(replications):
        result = run(works, chosen, key, replication, trace=True, engine=engine)
        assert result.trace is not None
        shipped = Shipped(works, result.trace.parts)
        found.append(effects_of(works.engine, shipped))
        classes.append(classes_of(works.engine, shipped))
        answer = EngineEffects(works, chosen, key, confidence, tuple(found), tuple(classes))
        spent, is_last = time.monotonic() - began, replication + 1 == replications
        yield Interim(replication + 1, replications, spent, answer, "looking at every part", is_last)


def engine_effects(works: Works, **options: Any) -> EngineEffects:
    """What the parts mean in the engine; see `engine_steps` for what may be given."""
    return last_of(engine_steps(works, **options))


def _words(table: pd.DataFrame, classes: pd.DataFrame) -> Iterator[str]:
    """Sentences in an engine builder's words."""
    rows = {(row["effect"], row["of"]): row for row in table.to_dict(orient="records")}
    whole = rows.get(("compression ratio", "all cylinders"))
    if whole is not None:
        spread = rows["spread in an engine", "all cylinders"]
        yield (
            f"Compression comes to {whole['mean']:.2f} to 1, with a standard deviation of {whole['sd']:.3f} from "
            f"cylinder to cylinder; within one engine the highest and the lowest lie {spread['mean']:.3f} apart in the "
            "mean and "
            f"{spread['greatest']:.3f} at most."
        )
    if len(classes):
        misfit = float(classes["share"].iloc[-1])
        taken = [
            f"{100.0 * row['share']:.0f} % take {row['piston_mm']}" for row in classes.iloc[:-1].to_dict("records")
        ]
        tail = f"; {100.0 * misfit:.1f} % of the bores find no piston that fits" if misfit > 0.0 else ""
        yield f"Pistons by class, mm: {', '.join(taken)}{tail}."
    yield from (_share_words(row, what) for (name, _), row in rows.items() for what in _SHARES.get(str(name), ()))


_SHARES: dict[str, tuple[str, ...]] = {
    "bearing off line": ("of the rows have a bearing off the line by more than",),
    "bearing step": ("of the rows have a step between neighbours of more than",),
    "seat run-out": ("of the valve seats run out by more than",),
    "gasket face Ra": ("of the faces are outside what the gasket asks for:",),
    "gasket face scratch": ("of the faces have a scratch deeper than",),
}


def _share_words(row: dict[Any, Any], what: str) -> str:
    """One sentence of shares outside."""
    low, high = row["low"], row["high"]
    bound = f"{high:g} {row['unit']}" if not math.isfinite(low) else f"Ra {low:g} to {high:g} {row['unit']}"
    if row["share_outside"] == 0.0:
        single = what.replace("have", "has").replace("run out", "runs out").replace(" are ", " is ")
        return f"{row['of']}: none {single} {bound} ({row['values']} looked at)."
    width = "" if math.isnan(row["share_half_width"]) else f" ± {100.0 * row['share_half_width']:.1f}"
    return f"{row['of']}: {100.0 * row['share_outside']:.1f}{width} % {what} {bound}."
