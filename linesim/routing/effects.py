"""What the parts mean in the engine: compression ratio, piston clearance, bearing lines, valve seats, gasket faces.

From the true values of shipped parts, in the order in which they were shipped: the first block meets the first head and
the first crankcase, and so on. A bore's error is one figure, µm per side; on the line of a row of bores it is taken as
the place of the wall on which the shaft lies.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.errors import StudyError
from linesim.routing.effect_words import sentences_of
from linesim.routing.engine_values import EFFECTS, Shipped, classes_of, effects_of
from linesim.study import USUAL, Answer, Interim, Study, StudyOptions, run
from linesim.study.answer import origin_of
from linesim.study.statistics.intervals import mean_interval
from linesim.works import Works

__all__ = ["EFFECTS", "EngineEffects", "EngineStudy"]


USUAL_REPLICATIONS = 4


@dataclass(frozen=True, eq=False, repr=False)
class EngineEffects(Answer):
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
    measured: tuple[pd.DataFrame, ...]
    classes: tuple[pd.DataFrame, ...]

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per effect: mean with half width, sd, extremes, share outside with half width."""
        rows = []
        whole = pd.concat([table.assign(replication=at) for at, table in enumerate(self.measured)])
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
        return tuple(sentences_of(self.table, self.piston_classes))

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, seed=self.seed, replications=len(self.measured), confidence=self.confidence
        )

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"effects": self.table, "piston_classes": self.piston_classes}

    @property
    def further(self) -> dict[str, Any]:
        """Where the formula of each effect comes from."""
        return {"sources": {name: effect.source for name, effect in EFFECTS.items()}}


@dataclass(frozen=True, eq=False)
class EngineStudy(Study[EngineEffects]):
    """A works run to see what its parts mean in the engine.

    Attributes
    ----------
    works : Works
        With the entry ``engine``.
    policy : str or None
        Under which sets are changed; today's practice unless given.
    options : StudyOptions
        Replications (4 unless given; without a second one there are no intervals), seed, confidence and engine. The
        runs are done in this process, as every part is looked at.
    """

    kind = "engine"
    is_stored = False
    works: Works
    policy: str | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[EngineEffects]]:
        """Carry it out, with an answer after each run.

        Raises
        ------
        StudyError
            The scenario says nothing of an engine, or no part was shipped.
        """
        works, options = self.works, self.options
        if works.engine is None:
            entry = "add the entry engine: with stroke, bores and what else is known of it, as in scenarios/works.yaml"
            raise StudyError(f"{works.name}: this scenario says nothing of an engine; {entry}")
        chosen, count = works.chosen_policy(self.policy), options.count_for(USUAL_REPLICATIONS)
        seed = options.seed_for(works, count - 1)
        began_s, tables, classes = time.monotonic(), [], []
        for replication in range(count):
            result = run(works, chosen, seed, replication, trace=True, engine=options.engine)
            assert result.trace is not None
            shipped = Shipped(works, result.trace.parts)
            tables.append(effects_of(works.engine, shipped))
            classes.append(classes_of(works.engine, shipped))
            answer = EngineEffects(works, chosen, seed, options.confidence, tuple(tables), tuple(classes))
            spent_s, is_last = time.monotonic() - began_s, replication + 1 == count
            yield Interim(replication + 1, count, spent_s, answer, "looking at every part", is_last)
