"""Output against quality loss over a grid of rules and intervals: what is not beaten, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from linesim.result.plain import plain_table
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.compare import compare_alternatives_steps
from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.words import amount, listing, number_word
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.interim import Interim, last_of
from linesim.study.statistics.pareto import BEATEN, ON, OPEN, Knee, Places, knee_of, not_beaten, places_of

__all__ = ["Frontier", "frontier", "frontier_steps"]

_OUTPUT, _LOSS = "good_per_hour", "quality_loss_per_good_part"
_SHOWN = (_OUTPUT, _LOSS, "contribution_per_hour", "cost_per_good_part")
_MOST_NAMED = 4


@dataclass(frozen=True, eq=False)
class Frontier:
    """Policies by output and quality loss.

    Attributes
    ----------
    found : Comparison
        The runs of all of them.
    """

    found: Comparison

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Policies that shipped parts in every replication and are no one's twin, in the order of their names."""
        shipped = [name for name in self.found.names if not math.isnan(self.found.mean(name, _LOSS)[0])]
        return tuple(name for name in shipped if name not in self.twins)

    @cached_property
    def twins(self) -> dict[str, str]:
        """Policies that did exactly the same as an earlier one in every replication, by name, and that one."""
        rows = self.found.replications[self.found.replications["line"] == WHOLE_WORKS]
        first: dict[bytes, str] = {}
        found = {}
        for name in self.found.names:
            key = rows.loc[rows["policy"] == name, list(_SHOWN)].to_numpy(dtype=np.float64).tobytes()
            if first.setdefault(key, name) != name:
                found[name] = first[key]
        return found

    @cached_property
    def places(self) -> Places:
        """Where each of `names` stands, as far as the runs carry it."""
        return places_of(self._values(_OUTPUT), self._values(_LOSS), self.found.confidence)

    @cached_property
    def line(self) -> tuple[str, ...]:
        """Policies that no other one beats in the mean, by rising output."""
        kept = not_beaten(self._values(_OUTPUT).mean(axis=1), self._values(_LOSS).mean(axis=1))
        return tuple(self.names[at] for at in kept)

    @cached_property
    def knee(self) -> Knee:
        """The knee among `names`, and how often it is the same in resampled replications."""
        return knee_of(self._values(_OUTPUT), self._values(_LOSS), self.found.seed)

    @property
    def knee_name(self) -> str | None:
        """Name of the knee, if there is one."""
        return None if self.knee.point < 0 else self.names[self.knee.point]

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per policy, by rising output.

        Columns policy, words; mean and half width of good parts per hour, quality loss per good part, contribution per
        hour and cost per good part (each interval by itself); twins (names of those that did exactly the same); place
        ("on it", "open", "dominated"; all that is said of all of them holds at once), beaten_by, is_in_line (not beaten
        in the mean), is_knee, confidence, n.
        """
        rows = [self._row(at, name) for at, name in enumerate(self.names)]
        table = pd.DataFrame(rows).sort_values(_OUTPUT, kind="stable").reset_index(drop=True)
        return table.assign(confidence=self.found.confidence, n=self.found.n_replications)

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""
        return self.found.provenance

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        return tuple(self._sentences())

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON; what is not a number becomes None."""
        knee = {"policy": self.knee_name, "share_of_resamples": None if self.knee_name is None else self.knee.share}
        head = {"provenance": self.provenance, "currency": self.found.works.currency}
        return head | {"sentences": list(self.sentences), "knee": knee, "policies": plain_table(self.table)}

    def _values(self, measure: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        """One figure, shape (policies, replications)."""
        rows = self.found.replications[self.found.replications["line"] == WHOLE_WORKS]
        wide = rows.pivot(index="policy", columns="replication", values=measure)
        return wide.loc[list(self.names)].to_numpy(dtype=np.float64)

    def _row(self, at: int, name: str) -> dict[str, Any]:
        """One policy."""
        row: dict[str, Any] = {"policy": name, "words": self.found.words[name]}
        for measure in _SHOWN:
            row[measure], row[f"{measure}_half_width"] = self.found.mean(name, measure)
        by = self.places.beaten_by[at]
        return row | {
            "twins": ", ".join(twin for twin, own in self.twins.items() if own == name),
            "place": self.places.place[at],
            "beaten_by": "" if by < 0 else self.names[by],
            "is_in_line": name in self.line,
            "is_knee": name == self.knee_name,
        }

    def _sentences(self) -> Iterator[str]:
        """How many stand where, the ends, and the knee."""
        if not self.names:
            yield "No policy shipped a good part in every replication, so that there is no frontier."
            return
        counts = {place: self.places.place.count(place) for place in (ON, OPEN, BEATEN)}
        level = f"{100.0 * self.found.confidence:g} % confidence in all of this at once"
        if self.found.n_replications < 2:
            yield f"There is one replication of each of {len(self.names)} policies, which settles nothing."
        else:
            dominated, on, undecided = (_counted(counts[place]) for place in (BEATEN, ON, OPEN))
            yield (
                f"Of {len(self.names)} policies {dominated} dominated, beaten by another one in output and quality at "
                f"once; {on} surely on the frontier, and {undecided} not settled by the runs, with {level}."
            )
        first, last = self.line[0], self.line[-1]
        if first == last:
            yield f'"{first}" beats all others in the mean: {self._stand(first)}.'
            return
        yield f'The frontier goes from "{first}" ({self._stand(first)}) to "{last}" ({self._stand(last)}).'
        yield self._knee_sentence()
        if self.twins:
            yield f"{len(self.twins)} more do exactly the same as one of these and are not shown by themselves."
        open_ones = [name for name, place in zip(self.names, self.places.place, strict=True) if place == OPEN]
        if 0 < len(open_ones) <= _MOST_NAMED:
            yield f"Not settled: {listing(open_ones)}; more replications would."

    def _stand(self, name: str) -> str:
        """Where one stands, in words."""
        money = self.found.works.currency
        output, loss = (amount(*self.found.mean(name, measure)) for measure in (_OUTPUT, _LOSS))
        return f"{output} good parts per hour at {loss} {money} of quality loss each"

    def _knee_sentence(self) -> str:
        """The knee, and how sure it is."""
        knee = self.knee_name
        if knee is None:
            return "It has no knee: nothing on it bulges out beyond the line through its ends."
        sure = "" if math.isnan(self.knee.share) else f"; the same in {self._share()} of resampled sets of replications"
        return (
            f'Its knee, the point farthest out from the line through its ends, is "{knee}" ({self._stand(knee)}){sure}.'
        )

    def _share(self) -> str:
        """Share of resamples in per cent."""
        return f"{100.0 * self.knee.share:.0f} %"


def _counted(count: int) -> str:
    """How many, with the verb that belongs to it."""
    return f"{number_word(count) if count else 'none'} {'is' if count < 2 else 'are'}"


def frontier(
    alternatives: Sequence[Alternative],
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    crew: Crew | None = None,
) -> Frontier:
    """Run policies, and see which are not beaten in both output and quality.

    Parameters
    ----------
    alternatives : sequence of Alternative
        Such as `grid_of` makes them.
    replications : int, optional
        Runs of each; the scenario's unless given.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of all places together, and of each interval by itself.
    rules : sequence of str or pathlib.Path
        Python files with rules of one's own.
    engine : {"fast", "simpy"}
        Which engine runs it.
    crew : Crew, optional
        Who carries the runs out.

    Returns
    -------
    Frontier

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for `compare`.
    """
    return last_of(frontier_steps(alternatives, replications, seed, confidence, rules, engine, crew))


def frontier_steps(
    alternatives: Sequence[Alternative],
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    crew: Crew | None = None,
) -> Iterator[Interim[Frontier]]:
    """`frontier`, telling after each run how far it is and what the complete replications say.

    Parameters
    ----------
    alternatives, replications, seed, confidence, rules, engine, crew
        As for `frontier`.

    Yields
    ------
    Interim of Frontier
    """
    steps = compare_alternatives_steps(
        alternatives, replications, seed, confidence, rules, engine, crew=crew, noun="policy"
    )
    before: Comparison | None = None
    answer: Frontier | None = None
    for step in steps:
        if step.answer is not None and step.answer is not before:
            before, answer = step.answer, Frontier(step.answer)
        yield Interim(step.done, step.total, step.elapsed_s, answer, step.words, step.is_final)
