"""Watching: new records week by week against the figures of a scenario, what has moved, and what that changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time

import pandas as pd

from linesim.records.edge_life import edge_life
from linesim.records.fitted import Fitted
from linesim.records.handbook_prior import grade_of
from linesim.records.lives import lives_from_book
from linesim.records.overlay import overlay_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record, Records
from linesim.records.spreads import change_figures, mean_of
from linesim.records.using import with_figures
from linesim.study.options import StudyOptions
from linesim.study.search.common.set_at import all_sets_at
from linesim.study.search.intervals.one_set import SetCurve, SetStudy
from linesim.study.watching.chart import RUN_LENGTH_WEEKS, Chart, charted
from linesim.study.watching.expected import LIFE, Expected, expected_in
from linesim.words import KeptText, keep
from linesim.works import Works

_FEWEST = 3

__all__ = ["Advised", "Watched", "Watching", "in_order", "watch", "watch_each"]


@dataclass(frozen=True)
class Advised:
    """The best interval of a set before and after its life has moved.

    Attributes
    ----------
    before, after : SetCurve
        Under the standing figure and under the new one.
    """

    before: SetCurve
    after: SetCurve

    @property
    def words(self) -> str:
        """The advice in a sentence."""
        old, new, key = self.before.best, self.after.best, self.before.set_at.key
        if old == new:
            return keep("watch.still_best", set=key, parts=old)
        flat = self.after.flat
        is_within = flat is not None and flat.low <= old <= flat.high
        return keep("watch.new_best_near" if is_within else "watch.new_best", set=key, parts=new, before=old)


@dataclass(frozen=True)
class Watched:
    """One quantity on its chart.

    Attributes
    ----------
    expected : Expected
        What is watched.
    chart : Chart
        Week by week.
    now : Interval or None
        The figure since it moved, with 95 %; None as long as it has not moved, or if too few records tell.
    advised : Advised or None
        What that does to the set's best interval.
    """

    expected: Expected
    chart: Chart
    now: Interval | None = None
    advised: Advised | None = None

    @property
    def name(self) -> KeptText:
        """What is watched of which set."""
        return keep("watch.quantity", of=self.expected.of, what=keep(f"watch.{self.expected.what}"))

    @property
    def words(self) -> str:
        """How it stands, in a sentence."""
        expected, chart = self.expected, self.chart
        in_unit = "in_min" if expected.unit == "min" else "in_um"
        standing = {"name": self.name, "value": keep(f"watch.{in_unit}", value=expected.value)}
        if chart.since is None or chart.since_low is None or chart.since_high is None:
            return keep("watch.as_foretold", count=len(chart.weeks), **standing)
        moved = {"since": _day(chart.since), "low": _day(chart.since_low), "high": _day(chart.since_high)}
        if self.now is None:
            return keep("watch.too_few", **standing, **moved)
        now = {"now": self.now.value, "least": self.now.low, "most": self.now.high}
        return keep("watch.has_moved", **standing, **moved, **now)


@dataclass(frozen=True)
class Watching:
    """All that is watched.

    Attributes
    ----------
    watched : tuple of Watched
        Quantity by quantity; what has moved first.
    """

    watched: tuple[Watched, ...] = field(default_factory=tuple)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""
        if not self.watched:
            return (keep("watch.none"),)
        moved = [each for each in self.watched if each.chart.since is not None]
        first = keep("watch.moved", count=len(moved), all=len(self.watched)) if moved else keep("watch.hold")
        advice = [each.advised.words for each in self.watched if each.advised is not None]
        limits = keep("watch.alarm", weeks=RUN_LENGTH_WEEKS / len(self.watched))
        return (first, *(each.words for each in self.watched), *advice, limits)

    @property
    def table(self) -> pd.DataFrame:
        """Every week of every quantity."""
        rows = [
            (each.expected.of, each.expected.what, str(week.monday), week.count, week.error, week.mean, week.limit,
             week.is_out)
            for each in self.watched for week in each.chart.weeks
        ]  # fmt: skip
        return pd.DataFrame(rows, columns=["of", "what", "week", "records", "error", "mean", "limit", "is_out"])


def _day(day: date) -> KeptText:
    return keep("format.date", year=day.year, month=day.month, day=day.day)


def watch(works: Works, records: Records, policy: str | None = None, options: StudyOptions | None = None) -> Watching:
    """Hold new records against the figures of a scenario.

    Parameters
    ----------
    works : Works
        With the standing figures.
    records : Records
        New records, with dates.
    policy : str, optional
        Under which intervals are judged anew; today's practice unless given.
    options : StudyOptions, optional
        How the runs are carried out; nothing is run, and no interval judged, unless given.
    """
    return in_order(watch_each(works, records, policy, options))


def watch_each(
    works: Works, records: Records, policy: str | None = None, options: StudyOptions | None = None
) -> Iterator[Watched]:
    """The same, one figure after another; see `watch`."""
    for expected in expected_in(works, records):
        chart = charted(expected.errors)
        if chart.weeks:
            each = Watched(expected, chart)
            yield each if chart.since is None else _moved(each, works, policy, options)


def in_order(watched: Iterable[Watched]) -> Watching:
    """What has moved first."""
    return Watching(tuple(sorted(watched, key=lambda each: each.chart.since is None)))


def _moved(each: Watched, works: Works, policy: str | None, options: StudyOptions | None) -> Watched:
    """The figure since it moved, and what that changes."""
    assert each.chart.since is not None
    start = datetime.combine(each.chart.since, time())
    rows = [row for row in each.expected.rows if row.when is not None and row.when.replace(tzinfo=None) >= start]
    if each.expected.what != LIFE:
        return replace(each, now=_mean_now(each.expected, rows))
    data = lives_from_book(each.expected.of, rows)
    life = None if data is None else edge_life(data, grade_of(works, each.expected.of))
    if life is None or life.mean_min is None:
        return each
    advised = None
    set_at = next((set_at for set_at in all_sets_at(works) if set_at.cutter == each.expected.of), None)
    if options is not None and set_at is not None:
        fitted = Fitted(coefficients=list(life.coefficients), lives={each.expected.of: life})
        then = with_figures(works, overlay_of(fitted, works))
        before, after = (SetStudy(one, set_at.key, policy, options=options).run() for one in (works, then))
        advised = Advised(before, after)
    return replace(each, now=life.mean_min, advised=advised)


def _mean_now(expected: Expected, rows: Sequence[Record]) -> Interval | None:
    """Mean of the values since then."""
    figures = change_figures(expected.of, rows)
    if expected.what == "change minutes":
        return figures[0].interval if figures else None
    values = pd.Series([row.number(expected.what) for row in rows], dtype=float).to_numpy()
    return mean_of(values) if values.size >= _FEWEST else None
