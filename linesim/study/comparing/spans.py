"""How long the beginning is that is not counted, and how long the time that is; each with its reason."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from linesim.errors import StudyError
from linesim.study.comparing.alternatives import Alternative
from linesim.study.comparing.pilot import SHIPPED, Pilot, pilots_of
from linesim.study.interim import Interim
from linesim.study.options import SpanWanted
from linesim.words import keep
from linesim.works import Works

__all__ = ["Span", "Spans", "given_spans", "series_words", "spans_steps"]

_MOST_TIMES = 4
"""The pilot and the counted time grow to no more than so many times what the scenario says."""
_LEAST_CHANGES = 5.0
_WARM_UPS = 10.0


@dataclass(frozen=True)
class Span:
    """A length of time with its reason.

    Attributes
    ----------
    minutes : float
        Worked minutes.
    why : str
        How it was chosen, as the end of a sentence.
    """

    minutes: float
    why: str


@dataclass(frozen=True, eq=False)
class Spans:
    """Warm-up and counted time of a study.

    Attributes
    ----------
    warm_up, length : Span
        What is cut off before anything is counted; what is counted.
    alternatives : tuple of Alternative
        What is compared, with these lengths.
    pilots : tuple of Pilot
        What they were chosen by; empty if nothing was.
    """

    warm_up: Span
    length: Span
    alternatives: tuple[Alternative, ...]
    pilots: tuple[Pilot, ...] = ()

    @property
    def series(self) -> pd.DataFrame:
        """The pilots' series with Welch's moving average; see `Pilot.table`."""
        tables = [pilot.table() for pilot in self.pilots]
        return (
            pd.concat(tables) if tables else pd.DataFrame(columns=["policy", "series", "minute", "value", "smoothed"])
        )


def given_spans(alternatives: Sequence[Alternative]) -> Spans:
    """Warm-up and length as the scenario says.

    Parameters
    ----------
    alternatives : sequence of Alternative
        At least one.

    Returns
    -------
    Spans
    """
    run = alternatives[0].works.run
    text = {name: _spelled(alternatives[0].works, name) for name in ("warm_up", "length")}
    return Spans(Span(run.warm_up, text["warm_up"]), Span(run.length, text["length"]), tuple(alternatives))


def spans_steps(
    alternatives: Sequence[Alternative], seed: int, warm_up: SpanWanted, length: SpanWanted, engine: str = "fast"
) -> Iterator[Interim[Spans]]:
    """Settle warm-up and length, by pilot runs where a rule is to choose them.

    Parameters
    ----------
    alternatives : sequence of Alternative
        What is to be compared; all get the same spans.
    seed : int
        Key of all chance.
    warm_up : float, "auto" or None
        Minutes, 0 or more. "auto": the longest of MSER-5's cuts over all alternatives and both series (parts shipped,
        quality loss per good part), each a mean over pilot runs, rounded up to whole shifts.
    length : float, "auto" or None
        Minutes above 0. "auto": long enough that every set that is changed at all is changed five times in the mean,
        and ten times the warm-up, in whole weeks, up to four times the scenario's length (common practice, no source).
    engine : {"fast", "simpy"}
        Which engine makes the pilot runs.

    Yields
    ------
    Interim of Spans
        One for each alternative's pilot; the last one has the answer.

    Raises
    ------
    StudyError
        A length of time cannot be.
    """
    _check(warm_up, 0.0, "a warm-up")
    _check(length, 1e-9, "a counted time")
    began_s = time.perf_counter()
    given = given_spans(alternatives)
    pilots: list[Pilot] = []
    if "auto" in (warm_up, length):
        first_min = given.length.minutes + given.warm_up.minutes
        for times in (1, 2, _MOST_TIMES):
            pilots = []
            for pilot in pilots_of(alternatives, seed, times * first_min, engine):
                pilots.append(pilot)
                total, took_s = len(alternatives), time.perf_counter() - began_s
                yield Interim(len(pilots), total, took_s, None, "pilot runs for the warm-up")
            if all(cut.is_settled for pilot in pilots for cut in pilot.truncations().values()):
                break
    settled = _settled(given, pilots, warm_up, length)
    yield Interim(len(pilots), len(pilots), time.perf_counter() - began_s, settled, "pilot runs", is_final=True)


def _settled(given: Spans, pilots: Sequence[Pilot], warm_up: SpanWanted, length: SpanWanted) -> Spans:
    """Spans as given or as chosen, laid over the works of all alternatives."""
    works = given.alternatives[0].works
    cut = _by_mser(works, pilots) if warm_up == "auto" else _as_asked(given.warm_up, warm_up)
    counted = _by_changes(works, pilots, cut) if length == "auto" else _as_asked(given.length, length)
    changed: dict[int, Works] = {}
    for each in given.alternatives:
        run = each.works.run.model_copy(update={"warm_up": cut.minutes, "length": counted.minutes})
        changed.setdefault(id(each.works), each.works.model_copy(update={"run": run}))
    alternatives = tuple(replace(each, works=changed[id(each.works)]) for each in given.alternatives)
    return Spans(cut, counted, alternatives, tuple(pilots))


def _by_mser(works: Works, pilots: Sequence[Pilot]) -> Span:
    """The longest cut of MSER-5, in whole shifts."""
    cuts = [
        (cut.d_observations * pilot.slice_min, cut.is_settled, kind, pilot)
        for pilot in pilots
        for kind, cut in pilot.truncations().items()
    ]
    longest_min, _, kind, pilot = max(cuts, key=lambda cut: cut[0])
    shift_min = works.calendar.shift
    minutes = math.ceil(longest_min / shift_min - 1e-9) * shift_min
    slices = keep("spans.slices", runs=pilot.replications, minutes=pilot.slice_min)
    of = series_words(kind)
    if not all(is_settled for _, is_settled, _, _ in cuts):
        why = keep("spans.restless", slices=slices, series=of, policy=pilot.name, minutes=pilot.length_min)
        return Span(minutes, why)
    if minutes == 0.0:
        return Span(0.0, keep("spans.nothing", slices=slices))
    return Span(minutes, keep("spans.settles", slices=slices, series=of, policy=pilot.name))


def series_words(kind: str) -> str:
    """What a series of the pilot runs is of."""
    return keep("spans.shipped") if kind == SHIPPED else keep("measures.quality_loss_per_good_part")


def _by_changes(works: Works, pilots: Sequence[Pilot], cut: Span) -> Span:
    """Long enough for changes of every set and against the warm-up, in whole weeks."""
    rates = np.concatenate([pilot.changes_per_min for pilot in pilots])
    rarest = float(rates[rates > 0.0].min()) if (rates > 0.0).any() else math.inf
    wanted = max(_LEAST_CHANGES / rarest, _WARM_UPS * cut.minutes)
    most = _MOST_TIMES * works.run.length
    week = works.calendar.minutes_per()["week"]
    weeks = max(1, math.ceil(min(wanted, most) / week - 1e-9))
    goal = keep("spans.five_times")
    if wanted > most:
        return Span(weeks * week, keep("spans.too_short", times=_MOST_TIMES, goal=goal))
    reason = goal if _LEAST_CHANGES / rarest >= _WARM_UPS * cut.minutes else keep("spans.ten_times")
    return Span(weeks * week, keep("spans.so_long", reason=reason))


def _as_asked(given: Span, wanted: SpanWanted) -> Span:
    """As the command or the caller has it, or else as the scenario does."""
    return given if wanted is None else Span(float(wanted), keep("spans.asked"))


def _spelled(works: Works, name: str) -> str:
    """Where a figure of the run comes from."""
    return keep("spans.as_scenario") if name in works.run.model_fields_set else keep("spans.usual")


def _check(wanted: SpanWanted, least: float, what: str) -> None:
    """See to it that a length of time can be."""
    if isinstance(wanted, (int, float)) and not (least <= wanted <= 1e9):
        raise StudyError(
            f"{what} of {wanted:g} minutes cannot be; {'0 or more' if least == 0.0 else 'more than 0'} was expected"
        )
