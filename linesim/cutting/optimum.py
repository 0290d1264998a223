"""Cheapest and fastest speed and feed of a cut whose edge lives by Taylor's extended law, within the machine's bounds.

With cutting minutes Tm = K / (v f) and life T = T₀ (v / v₀)^(-1/n) (f / f₀)^(-p), the money of one part is
Co (Tm + tc Tm / T) + Ct Tm / T. At a given feed it is least at T = (1/n - 1) (tc + Ct / Co), and the minutes are least
at T = (1/n - 1) tc (Gilbert 1950). The money is a sum of powers of v and f (a posynomial), so that in their logarithms
it is convex, and there is one least value within bounds that are powers or sums of them too: power, that of a worn edge
added, spindle speed, roughness by feed, whose square is a sum of powers of the feed.
Source: W. W. Gilbert, "Economics of machining", ASM 1950; for the convexity, R. J. Duffin, E. L. Peterson and C. Zener,
*Geometric Programming*, Wiley 1967 (from memory).

Plain Python on SciPy: these are answers to a question, and no engine calls them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

__all__ = ["Conditions", "CutPrices", "SpeedBounds", "best_conditions", "best_speed_m_min", "conditions_at"]

_NEAR = 1e-6


@dataclass(frozen=True)
class Conditions:
    """A cut at a speed and a feed.

    Attributes
    ----------
    speed_m_min, feed_mm : float
        v and f, above 0.
    cut_min : float
        Minutes Tm of one part.
    life_min : float
        Life T of the edge.
    power_kw : float
        At the motor, sharp edge; 0 if not known.
    n, p : float
        Exponents: life goes as speed^(-1/n) and feed^(-p).
    mc : float
        Kienzle's exponent: power goes as speed and feed^(1 - mc).
    bound_by : tuple of str
        Which bounds hold it: "spindle speed", "power", "feed", "roughness", "time", "slowest speed", "fastest speed".
    worn_kw : float
        What an edge at the end of its life adds to the power; it goes with the speed, and not with the feed.
    """

    speed_m_min: float
    feed_mm: float
    cut_min: float
    life_min: float
    power_kw: float
    n: float
    p: float
    mc: float
    bound_by: tuple[str, ...] = ()
    worn_kw: float = 0.0


def _no_loss(_feed_mm: float) -> float:
    """Nothing is lost by the finish, whatever the feed."""
    return 0.0


@dataclass(frozen=True)
class CutPrices:
    """What time and edges cost.

    Attributes
    ----------
    per_min : float, money/min
        Co, 0 or more, infinite allowed: then only minutes count.
    change_min : float
        Minutes tc of a change.
    edge : float, money
        Ct of one edge, with the setter's time.
    finish_loss : callable
        Quality loss of the finish of one part, money, at a feed in mm; it goes with Ra².
    """

    per_min: float
    change_min: float
    edge: float
    finish_loss: Callable[[float], float] = _no_loss

    def of_part(self, cut: Conditions) -> float:
        """Money of one part: Co (Tm + tc Tm / T) + Ct Tm / T; minutes where only minutes count.

        >>> CutPrices(0.5, 2.0, 3.0).of_part(Conditions(42.0, 0.25, 15.0, 60.0, 0.0, 0.125, 0.0, 0.0))
        8.5
        """
        edges = cut.cut_min / cut.life_min
        minutes = cut.cut_min + self.change_min * edges
        if math.isinf(self.per_min):
            return minutes
        return self.per_min * minutes + self.edge * edges + self.finish_loss(cut.feed_mm)


@dataclass(frozen=True)
class SpeedBounds:
    """Within what a speed and a feed must lie.

    Attributes
    ----------
    slowest_m_min, fastest_m_min : float
        Range of speed in which the coefficients are trusted.
    finest_mm, coarsest_mm : float
        Range of feed.
    spindle_m_min : float
        Speed at the spindle's greatest revolutions; infinite if not known.
    rough_mm : float
        Feed that just gives the finish asked for; infinite if none is.
    rating_kw : float
        Of the machine; infinite if not known.
    most_min : float
        Cutting minutes that may be spent; infinite if there is no such bound.
    """

    slowest_m_min: float
    fastest_m_min: float
    finest_mm: float
    coarsest_mm: float
    spindle_m_min: float = math.inf
    rough_mm: float = math.inf
    rating_kw: float = math.inf
    most_min: float = math.inf


def conditions_at(base: Conditions, speed_m_min: float, feed_mm: float) -> Conditions:
    """The same cut at another speed and feed.

    Parameters
    ----------
    base : Conditions
        As it stands.
    speed_m_min, feed_mm : float
        Above 0.

    >>> base = Conditions(100.0, 0.2, 1.0, 60.0, 2.0, 0.25, 1.0, 0.0)
    >>> cut = conditions_at(base, 200.0, 0.1)
    >>> cut.cut_min, cut.life_min, cut.power_kw
    (1.0, 7.5, 2.0)
    """
    v, f = speed_m_min / base.speed_m_min, feed_mm / base.feed_mm
    return replace(
        base,
        speed_m_min=speed_m_min,
        feed_mm=feed_mm,
        cut_min=base.cut_min / (v * f),
        life_min=base.life_min * v ** (-1.0 / base.n) * f ** (-base.p),
        power_kw=base.power_kw * v * f ** (1.0 - base.mc),
        worn_kw=base.worn_kw * v,
        bound_by=(),
    )


def best_speed_m_min(base: Conditions, feed_mm: float, prices: CutPrices) -> float:
    """Best speed at a feed, no bounds: where the life is (1/n - 1) (tc + Ct / Co).

    Parameters
    ----------
    base : Conditions
        As the cut stands.
    feed_mm : float
        Above 0.
    prices : CutPrices
        Co infinite: the fastest production; Co 0: the slower the better, so 0.

    Returns
    -------
    float, m/min

    >>> base = Conditions(70.0, 0.25, 1.0, 1.0, 0.0, 0.125, 1.0, 0.0)
    >>> round(best_speed_m_min(base, 0.25, CutPrices(0.5, 2.0, 3.0)), 2)
    42.32
    """
    if prices.per_min == 0.0:
        return 0.0
    lost = prices.change_min + (0.0 if math.isinf(prices.per_min) else prices.edge / prices.per_min)
    life_min = (1.0 / base.n - 1.0) * lost
    here = base.life_min * (feed_mm / base.feed_mm) ** (-base.p)
    return base.speed_m_min * (here / life_min) ** base.n if life_min > 0.0 else math.inf


def best_conditions(base: Conditions, prices: CutPrices, bounds: SpeedBounds) -> Conditions:
    """Best speed and feed within bounds.

    Parameters
    ----------
    base : Conditions
        As the cut stands.
    prices : CutPrices
        What is to be least.
    bounds : SpeedBounds
        Where it may lie.

    Returns
    -------
    Conditions
        With the bounds that hold it. Where the bounds leave no speed at any feed, the one that comes nearest: the bound
        of time gives way first, that of the slowest speed next; never power or the spindle.
    """
    coarsest = min(bounds.coarsest_mm, bounds.rough_mm)
    finest = min(bounds.finest_mm, coarsest)

    def at(log_feed: float) -> Conditions:
        return _at_feed(base, prices, bounds, math.exp(log_feed))

    ends = (math.log(finest), math.log(coarsest))
    feeds = list(ends)
    if ends[1] - ends[0] > _NEAR:
        from scipy import optimize  # noqa: PLC0415 - a quarter of what a command loads, and used here alone

        optimum = optimize.minimize_scalar(lambda x: prices.of_part(at(x)), bounds=ends, method="bounded")
        feeds.append(float(optimum.x))
    best = min((at(x) for x in feeds), key=prices.of_part)
    return replace(best, bound_by=(*best.bound_by, *_feed_bounds(best.feed_mm, bounds, coarsest)))


def _at_feed(base: Conditions, prices: CutPrices, bounds: SpeedBounds, feed_mm: float) -> Conditions:
    """Best allowed speed at a feed, with the bounds that hold it."""
    here = conditions_at(base, base.speed_m_min, feed_mm)
    # The machine must drive the edge to the end of its life.
    needs_kw = here.power_kw + here.worn_kw
    by_power = math.inf if not needs_kw else here.speed_m_min * bounds.rating_kw / needs_kw
    by_time = here.speed_m_min * here.cut_min / bounds.most_min
    highs = {"fastest speed": bounds.fastest_m_min, "spindle speed": bounds.spindle_m_min, "power": by_power}
    lows = {"slowest speed": bounds.slowest_m_min, "time": by_time}
    high, low = min(highs.values()), max(lows.values())
    speed = min(max(best_speed_m_min(base, feed_mm, prices), low), high)
    names = [name for name, value in highs.items() if value <= speed * (1.0 + _NEAR)]
    names += [name for name, value in lows.items() if value >= speed * (1.0 - _NEAR) and value > 0.0]
    return replace(conditions_at(base, speed, feed_mm), bound_by=tuple(names))


def _feed_bounds(feed_mm: float, bounds: SpeedBounds, coarsest: float) -> list[str]:
    """Bounds of the feed that hold it."""
    names = []
    if feed_mm >= coarsest * (1.0 - _NEAR):
        names.append("roughness" if bounds.rough_mm <= bounds.coarsest_mm else "feed")
    if feed_mm <= bounds.finest_mm * (1.0 + _NEAR):
        names.append("feed")
    return list(dict.fromkeys(names))
