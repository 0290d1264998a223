"""The figures of a forecast, each worked out when it is first asked for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import pandas as pd

from linesim.cards import CardSet, ToolCard, tool_cards
from linesim.desk import desk_figures
from linesim.study.coming.ending import rows_at_end
from linesim.study.coming.figures import Foretold, due_table, output_table, sets_table, standstill_table
from linesim.study.coming.leave import LeftIn
from linesim.study.coming.people import clash_table, grouping_table, hours_table
from linesim.study.coming.standing import StandingRow
from linesim.study.coming.surviving import Survived
from linesim.works import Works

__all__ = ["ForecastFigures"]


@dataclass(frozen=True, eq=False, repr=False)
class ForecastFigures:
    """What the runs of a forecast say.

    Attributes
    ----------
    works : Works
        The scenario, beginning as stated.
    policy : str
        By which sets are changed.
    seed : int
        Key of all chance.
    rows : list of StandingRow
        How the line stands, as it was stated.
    of : Foretold
        The runs.
    survived : Survived
        Which runs go with the state.
    left_in : LeftIn or None
        What leaving a set in brings, if that was asked.
    """

    works: Works
    policy: str
    seed: int
    rows: list[StandingRow]
    of: Foretold
    survived: Survived
    left_in: LeftIn | None

    @property
    def n(self) -> int:
        """Runs."""
        return len(self.of.runs)

    @cached_property
    def due(self) -> pd.DataFrame:
        """When each set will be due; see `linesim.study.coming.figures.due_table`."""
        return due_table(self.of)

    @cached_property
    def output(self) -> pd.DataFrame:
        """Good parts; see `linesim.study.coming.figures.output_table`."""
        return output_table(self.of)

    @cached_property
    def sets(self) -> pd.DataFrame:
        """Sharp sets; see `linesim.study.coming.figures.sets_table`."""
        return sets_table(self.of)

    @cached_property
    def hours(self) -> pd.DataFrame:
        """Who is wanted when; see `linesim.study.coming.people.hours_table`."""
        return hours_table(self.of, self.works)

    @cached_property
    def clashes(self) -> pd.DataFrame:
        """Two at once; see `linesim.study.coming.people.clash_table`."""
        return clash_table(self.of)

    @cached_property
    def grouping(self) -> pd.DataFrame:
        """One stop for two; see `linesim.study.coming.people.grouping_table`."""
        counts = {place: each.count for place, each in self.card_sets.items()}
        return grouping_table(self.of, self.due, counts)

    @cached_property
    def standstill(self) -> pd.DataFrame:
        """For what operations stand; see `linesim.study.coming.figures.standstill_table`."""
        return standstill_table(self.of)

    @cached_property
    def at_end(self) -> list[StandingRow]:
        """How the line stands at the end; see `linesim.study.coming.ending.rows_at_end`."""
        return rows_at_end(self.of, self.rows)

    @cached_property
    def cards(self) -> tuple[ToolCard, ...]:
        """The tool-change cards of the policy."""
        return tool_cards(self.works, self.policy).cards

    @cached_property
    def card_sets(self) -> dict[tuple[str, str], CardSet]:
        """What the cards say of each set, by operation and cutter."""
        return {(card.operation, each.cutter): each for card in self.cards for each in card.sets}

    @cached_property
    def constraints(self) -> dict[str, str]:
        """By line: the operation that sets its pace on paper."""
        table = desk_figures(self.works, self.policy).constraints
        return {str(row["line"]): str(row["operation"]) for row in table.to_dict(orient="records")}
