"""Claims on gauges: the last one pays, and the depth gauge holds volume and compression."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from linesim.plan.times import mean_minutes
from linesim.study.practice.alter import without_gauge
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw
from linesim.study.practice.here import held_up, one_after_another
from linesim.study.practice.seen import Seen
from linesim.words import keep
from linesim.works import Works
from linesim.works.checks_later import later_cost_at_limit
from linesim.works.model import Line
from linesim.works.operations import Gauge
from linesim.works.rejecting import cost_of_rejecting
from linesim.works.walks import operations_of

__all__ = ["DEPTH_GAUGE", "LAST_GAUGE"]

_READ = ("size", "roughness", "position", "tilt", "form")


class _At(NamedTuple):
    """A gauge and where it stands."""

    line_name: str
    line: Line
    operation: str
    name: str
    gauge: Gauge

    @property
    def words(self) -> str:
        """As it is called in tables."""
        return f"{self.line_name} / {self.gauge.feature}: {self.name}"


def _gauges(works: Works) -> Iterator[_At]:
    for at in operations_of(works):
        for name, gauge in at.operation.gauges.items():
            yield _At(at.line_name, at.line, at.name, name, gauge)


def _without(draw: Draw, at: _At) -> Seen:
    """What is seen without that gauge."""
    return draw.seen(f"without {at.words}", lambda works: without_gauge(works, at.line_name, at.operation, at.name))


# --- the last gauge ---------------------------------------------------------------------------------------------------


def _last_gauges(works: Works) -> list[_At]:
    """The last gauge of each feature, where it turns parts down."""
    last = {(at.line_name, at.gauge.feature): at for at in _gauges(works)}
    return [at for at in last.values() if at.gauge.reject != "pass"]


def _is_worth_rejecting(at: _At) -> bool:
    """Whether a part at the limit costs at least as much as turning it down."""
    feature = at.line.features[at.gauge.feature]
    asked = {name: getattr(feature, name) for name in _READ if name in at.gauge.reads}
    costs = [
        each.loss_at_limit + later_cost_at_limit(at.line, at.gauge.feature, name)
        for name, each in asked.items()
        if each is not None
    ]
    return bool(costs) and max(costs) >= cost_of_rejecting(at.line, at.operation, at.gauge)


def _last(draw: Draw) -> Iterator[Pair]:
    for at in filter(_is_worth_rejecting, _last_gauges(draw.works)):
        money = _without(draw, at).contribution, draw.as_it_stands.contribution
        yield Pair(at.words, keep("practice.what_gauge"), draw.money, *money)


def _last_here(works: Works, of: str, earned: float) -> str:
    """Minutes of the gauge, and its error against what is allowed."""
    at = next(each for each in _last_gauges(works) if each.words == of)
    gauge, size = at.gauge, at.line.features[at.gauge.feature].size
    minutes = mean_minutes(gauge.minutes) / gauge.every
    words = held_up(works, keep("practice.gauge", name=at.name), (at.line_name, at.operation), minutes, earned)
    if gauge.every > 1:
        words = one_after_another(words, keep("practice.reads_one", every=gauge.every))
    if size is not None and "size" in gauge.reads and gauge.error > 0.0:
        allowed_um = 1000.0 * (size.limits[1] - size.limits[0])
        share = 100.0 * gauge.error / allowed_um
        words = one_after_another(words, keep("practice.gauge_error", error=gauge.error, share=share))
    return words


def _no_last_gauge(works: Works) -> str:
    last = _last_gauges(works)
    if not last:
        return keep("practice.no_reject")
    if any(map(_is_worth_rejecting, last)):
        return ""
    return keep("practice.no_costly")


LAST_GAUGE = Claim(
    "e",
    _no_last_gauge,
    _last,
    _last_here,
)


# --- the depth gauge --------------------------------------------------------------------------------------------------


def _depth_gauges(works: Works) -> list[_At]:
    """Gauges that correct a depth, and so a volume."""
    return [
        at
        for at in _gauges(works)
        if at.gauge.corrects is not None and at.line.features[at.gauge.feature].kind == "depth"
    ]


def _depth(draw: Draw) -> Iterator[Pair]:
    """By the distance from the aim and not by the scatter: an edge that stands off for weeks hardly scatters."""
    for at in _depth_gauges(draw.works):
        with_it, without = (
            seen.off_aim(at.line_name, at.gauge.feature, "size") for seen in (draw.as_it_stands, _without(draw, at))
        )
        yield Pair(at.words, keep("practice.what_depth"), "mm", with_it, without)


def _no_depth_gauge(works: Works) -> str:
    return "" if _depth_gauges(works) else keep("practice.no_depth_gauge")


DEPTH_GAUGE = Claim(
    "j",
    _no_depth_gauge,
    _depth,
)
