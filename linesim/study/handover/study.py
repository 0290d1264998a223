"""What other systems take over of one policy: replications of its indicators, and the data of its cutters."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from linesim.fast.choice import choose_engine
from linesim.plan.build import make_plan
from linesim.result.indicators import indicator_table
from linesim.study.answer import Answer, origin_of
from linesim.study.crew.own_rules import load_rules
from linesim.study.handover.tools import PROPERTIES, interval_table, tool_table
from linesim.study.interim import Interim, Study
from linesim.study.one.runs import run_plan
from linesim.study.options import USUAL, StudyOptions
from linesim.study.statistics.intervals import mean_intervals
from linesim.works import Works

__all__ = ["LEFT_OUT", "Handover", "HandoverStudy"]

LEFT_OUT: tuple[tuple[str, str], ...] = (
    ("worker efficiency", "how long each person works is not known apart from the machine that he serves"),
    ("actual to planned scrap ratio", "no scrap is planned"),
    (
        "machine and process capability",
        "given by characteristic, not by machine: the table of characteristics of a run",
    ),
    ("comprehensive energy consumption", "energy is no part of the model"),
    ("finished goods ratio", "material is not weighed; a casting is one part"),
    ("integrated goods ratio", "material is not weighed; a casting is one part"),
    ("production loss ratio", "material is not weighed; scrap is counted in parts"),
    ("storage and transportation loss ratio", "no part is lost in stock or on its way"),
    ("other loss ratio", "nothing is lost that is not scrap"),
    ("equipment load ratio", "the greatest output that a machine's maker states is no entry of a scenario"),
    ("corrective maintenance ratio", "planned overhauls are counted in minutes of the machine, not in jobs"),
)
"""Indicators of ISO 22400-2 that are not given, and why; the list of names is from memory."""


@dataclass(frozen=True, eq=False, repr=False)
class Handover(Answer):
    """Indicators with intervals, change intervals, and the data of the cutters.

    Attributes
    ----------
    works, policy : Works, str
        Of which.
    seed, n_replications : int
        Key of all chance, and runs.
    confidence : float
        Of the intervals of the indicators.
    indicators : DataFrame
        level, line, operation, machine, indicator, value (mean), half_width, unit, formula.
    """

    works: Works
    policy: str
    seed: int
    n_replications: int
    confidence: float
    indicators: pd.DataFrame

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.policy, seed=self.seed, replications=self.n_replications, confidence=self.confidence
        )

    @cached_property
    def tables(self) -> dict[str, pd.DataFrame]:
        """Indicators first."""
        return {
            "indicators": self.indicators,
            "not_given": pd.DataFrame(LEFT_OUT, columns=["indicator", "why"]),
            "intervals": interval_table(self.works, self.policy),
            "tools": tool_table(self.works),
            "properties": pd.DataFrame(PROPERTIES),
        }

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is given and what is not."""
        named = self.indicators["indicator"].nunique()
        given = (
            f"{named} indicators of ISO 22400-2 by line and machine, means of {self.n_replications} runs; "
            f"{len(LEFT_OUT)} that cannot be known here are left out, and listed with the reason."
        )
        return (
            given,
            "Data of the cutters bear the symbols of ISO 13399 where one is known, from memory.",
            "QIF is not written, as nothing here checks it against the published schema.",
        )

    @property
    def further(self) -> dict[str, Any]:
        """Currency of the prices."""
        return {"currency": self.works.currency}


@dataclass(frozen=True, eq=False)
class HandoverStudy(Study[Handover]):
    """Runs of one policy, for what other systems take over.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Name of one of its policies; today's practice unless given.
    options : StudyOptions
        How it is carried out; the scenario's replications unless the options say otherwise.
    """

    kind = "handover"
    is_stored = False
    works: Works
    policy: str | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Handover]]:
        """Carry it out, one replication after another."""
        began_s, works, options = time.monotonic(), self.works, self.options
        chosen, count = works.chosen_policy(self.policy), options.count_for(works.run.replications)
        seed = options.seed_for(works, count)
        for file in options.rules:
            load_rules(file)
        plan = make_plan(works, chosen)
        engine = choose_engine(plan, options.engine).engine
        tables: list[pd.DataFrame] = []
        for replication in range(count):
            yield Interim(replication, count, time.monotonic() - began_s, None, "running the policy")
            tables.append(indicator_table(works, plan, run_plan(plan, seed, replication, engine=engine)))
        means, half_widths = mean_intervals(np.array([table["value"] for table in tables]), options.confidence)
        heads = list(tables[0].columns)
        heads.insert(heads.index("value") + 1, "half_width")
        table = tables[0].assign(value=means, half_width=half_widths)[heads]
        answer = Handover(works, chosen, seed, count, options.confidence, table)
        yield Interim(count, count, time.monotonic() - began_s, answer, "done", is_final=True)
