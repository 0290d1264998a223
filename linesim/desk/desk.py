"""All desk figures of a works in one place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from linesim.desk.assumed import assumed_sentences, assumed_table
from linesim.desk.cuts import cut_table
from linesim.desk.first_pieces import on_first_pieces
from linesim.desk.operations import constraint_table, operation_table
from linesim.desk.part_types import on_part_types, type_constraint_table, type_minute_table
from linesim.desk.process_remarks import on_blades
from linesim.desk.remarks import remarks_on
from linesim.desk.sets import set_table
from linesim.desk.sources import source_table
from linesim.desk.standing_remarks import on_drifting_gauges, on_trial_cuts
from linesim.plan.build import make_plan
from linesim.plan.figures import cut_figures
from linesim.result.plain import plain_table
from linesim.words import Series, keep, recognised
from linesim.works import Works

__all__ = ["LEFT_OUT", "TYPICAL", "Desk", "desk_figures"]

LEFT_OUT = (
    "Each operation is taken by itself, with means in place of random times. Left out: scrap, recuts, "
    "breakages, hidden faults, and all waiting: for parts, for room, for people (setters, fitters, whoever gauges "
    "first pieces) and for sharp cutters. Each set is changed in a stop of its own."
)


TYPICAL = keep("assumed.typical_follow")
"""Stands over them."""


@dataclass(frozen=True)
class Desk:
    """What can be said of a works without running it; every table is tidy, units stand in the column names.

    Attributes
    ----------
    works_name : str
        Name of the works.
    policy : str or None
        Whose tool changes are counted; None: every set changed at its full life.
    cuts : pandas.DataFrame
        One row per cut: speeds, minutes, power, forces, stiffness, copying, life, roughness when sharp.
    sets : pandas.DataFrame
        One row per operation and cutter set: parts per edge, parts between changes, minutes lost per part.
    operations : pandas.DataFrame
        One row per operation: minutes per part, parts per hour, share of the constraint's load.
    constraints : pandas.DataFrame
        One row per line: the operation that holds it back, and its parts per hour.
    types : pandas.DataFrame
        One row per part type of lines that make several: what would hold it back by itself, what it earns in an hour of
        the constraint.
    type_minutes : pandas.DataFrame
        One row per part type and operation of such lines: minutes and parts per hour of the type by itself.
    sources : pandas.DataFrame
        One row per handbook figure that the works leans on: where it comes from and how far that goes.
    assumed : pandas.DataFrame
        One row per typical figure that stands in for what the works does not say: value, for what, source.
    remarks : tuple of str
        What a production engineer would remark on.
    basis : str
        How the figures are to be read.
    """

    works_name: str
    policy: str | None
    cuts: pd.DataFrame
    sets: pd.DataFrame
    operations: pd.DataFrame
    constraints: pd.DataFrame
    sources: pd.DataFrame
    assumed: pd.DataFrame
    remarks: tuple[str, ...]
    basis: str
    types: pd.DataFrame
    type_minutes: pd.DataFrame

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        names = ("cuts", "sets", "operations", "constraints", "sources", "assumed", "types", "type_minutes")
        return {name: getattr(self, name) for name in names}

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What the scenario leaves to the handbook, each with the cuts that it holds for."""
        cuts: dict[str, list[str]] = {}
        for cut, text in zip(self.cuts["cut"], self.cuts["assumed"], strict=True):
            if text:
                cuts.setdefault(str(text), []).append(str(cut))
        groups = ("desk", "taken", "typical")
        taken = {text: Series(recognised(each, *groups) for each in text.split("; ")) for text in cuts}
        return tuple(keep("desk.of_cuts", taken=taken[text], cuts=names) for text, names in cuts.items())

    @property
    def typical(self) -> tuple[str, ...]:
        """The typical figures in sentences, with their sources."""
        return tuple(assumed_sentences(self.assumed))

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON; what is not a finite number becomes None."""
        tables = {name: plain_table(table) for name, table in self.tables.items()}
        head = {"works": self.works_name, "policy": self.policy, "basis": self.basis}
        return {**head, **tables, "remarks": list(self.remarks)}


def desk_figures(works: Works, policy: str | None = None, *, at_full_life: bool = False) -> Desk:
    """Work out a works on paper; nothing is run.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        By which tools are changed; today's practice unless given. Where a rule sets no interval (run out, on the gauge,
        a rule of one's own), the set is taken to be changed at its full life (life share 1).
    at_full_life : bool, optional
        Take every set to be changed at its full life, whatever the policies say.

    Returns
    -------
    Desk

    Raises
    ------
    ScenarioError
        A cut cannot be made as described, or the policy is not known.
    """
    figures = cut_figures(works)
    chosen = works.chosen_policy(policy)
    followed = None if at_full_life else chosen
    plan = make_plan(works, chosen)
    sets = set_table(works, plan, followed)
    operations = operation_table(works, plan, sets)
    constraints = constraint_table(works, operations)
    type_minutes = type_minute_table(works, plan, sets)
    remarks = (
        *remarks_on(works, plan, sets, operations, constraints),
        *on_drifting_gauges(works, plan, constraints),
        *on_part_types(works, plan, operations),
    )
    changes = "every set is changed at its full life"
    if followed is not None:
        changes = f'sets are changed by policy "{followed}"'
    return Desk(
        works_name=works.name,
        policy=followed,
        cuts=cut_table(works, figures, sets),
        sets=sets,
        operations=operations,
        constraints=constraints,
        sources=source_table(works),
        assumed=assumed_table(works),
        remarks=(*remarks, *on_first_pieces(works, sets), *on_trial_cuts(works), *on_blades(figures)),
        basis=f"It is assumed that {changes}. {LEFT_OUT}",
        types=type_constraint_table(works, plan, type_minutes, constraints),
        type_minutes=type_minutes,
    )
