"""Edge life of one set: how long, how it hangs on speed, feed and depth, how it scatters, and when edges break."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesim.handbook import Grade
from linesim.records.breaking import fit_breaks
from linesim.records.coefficient import ESTABLISHED, PRIOR, UNKNOWN, Coefficient, origin_of
from linesim.records.competing import Breaks
from linesim.records.fitting import Fit, fit_lives, with_intervals
from linesim.records.handbook_prior import WITHIN, prior_for
from linesim.records.likelihood import FAMILIES, Family, Prior
from linesim.records.lives import CONDITIONS, SetLives
from linesim.records.profiles import Interval
from linesim.words import counted

__all__ = ["EdgeLife", "edge_life"]

_FEWEST_BROKEN, _NEAR, _MOST_ROUNDS = 3, 0.02, 8
"""With fewer broken edges nothing is known of when they break; what is near enough; rounds until then, at the most."""
_TELLS_APART = 2.0
"""Logarithms of likelihood by which one distribution has to lead before it is called the better one."""


@dataclass(frozen=True)
class EdgeLife:
    """What the records say of the edges of a set.

    Attributes
    ----------
    data : SetLives
        The lives.
    best, other : Fit or None
        The likelier distribution and the other one.
    breaking : Fit or None
        Weibull of the life share at which edges broke, by scale.
    coefficients : tuple of Coefficient
        All figures.
    sentences : tuple of str
        The same in words.
    """

    data: SetLives
    best: Fit | None
    other: Fit | None
    breaking: Fit | None
    coefficients: tuple[Coefficient, ...]
    sentences: tuple[str, ...]

    @property
    def spans(self) -> tuple[Interval, ...]:
        """Mean life (min), slopes, coefficient of variation, and that of groups, whichever distribution holds.

        Where the data cannot tell two distributions apart, each interval takes in what either allows: the profile over
        both.
        """
        fits = [fit for fit in (self.best, self.other) if fit is not None and fit.intervals]
        every = [_in_figures(fit) for fit in fits]
        return tuple(
            Interval(each[0].value, min(span.low for span in each), max(span.high for span in each))
            for each in zip(*every, strict=True)
        )

    @property
    def mean_min(self) -> Interval | None:
        """Mean life at the middle of the conditions, minutes."""
        return self.spans[0] if self.best is not None else None


def _in_figures(fit: Fit) -> list[Interval]:
    """Intervals of a fit as figures that mean the same for every distribution."""
    at, family = fit.likelihood.slopes + 1, fit.family
    mean = fit.intervals[0].through(_exp)
    cv = fit.intervals[at].through(lambda value: cv_of(family, float(np.exp(value))))
    groups = [span.through(lambda value: cv_of("lognormal", float(np.exp(value)))) for span in fit.intervals[at + 1 :]]
    return [mean, *fit.intervals[1:at], cv, *groups]


def _exp(value: float) -> float:
    """The figure of a logarithm."""
    return float(np.exp(value))


def cv_of(family: Family, sigma: float) -> float:
    """Standard deviation of a life over its mean.

    >>> round(cv_of("lognormal", 0.3), 4), cv_of("weibull", 1.0)
    (0.3069, 1.0)
    """
    from scipy.special import gammaln  # noqa: PLC0415

    power = sigma**2 if family == "lognormal" else float(gammaln(1.0 + 2.0 * sigma) - 2.0 * gammaln(1.0 + sigma))
    return float(np.sqrt(np.expm1(power)))


def edge_life(data: SetLives, grade: Grade | None = None) -> EdgeLife:
    """Fit the edge life of a set.

    Parameters
    ----------
    data : SetLives
        Its lives.
    grade : Grade, optional
        The handbook's figures, which enter as a prior where fewer than ten edges ended.
    """
    is_few = data.lives.ended < WITHIN["fewest"]
    prior = prior_for(data, grade) if is_few and grade is not None else None
    fits = _fits(data, prior, grade)
    best = with_intervals(fits[0]) if fits else None
    other = with_intervals(fits[1], fits[0].value - fits[1].value) if len(fits) > 1 else None
    breaking = None if best is None else _breaking(data, best, grade)
    origin = origin_of(data.rows)
    coefficients = [] if best is None else _coefficients(data, best, other, origin)
    if breaking is not None:
        coefficients += _broken_coefficients(data, breaking, origin)
    sentences = _sentences(data, best, other, coefficients, is_few)
    return EdgeLife(data, best, other, breaking, tuple(coefficients), tuple(sentences))


def _fits(data: SetLives, prior: Prior | None, grade: Grade | None) -> list[Fit]:
    """Both distributions, the likelier first; where edges broke, together with when they break."""
    lives = data.lives
    for _ in range(_MOST_ROUNDS):
        fits = [fit for family in FAMILIES if (fit := fit_lives(lives, family, prior, has_intervals=False)) is not None]
        fits.sort(key=lambda fit: -fit.value)
        if not fits or int(data.broken.sum()) < _FEWEST_BROKEN:
            return fits
        fitted = fit_breaks(data.lives, fits[0], data.broken, _breaks_prior(data, grade), is_whole=False)
        if fitted is None:
            return fits
        scale, shape = float(np.exp(fitted.theta[0])), float(np.exp(-fitted.theta[1]))
        now = lives.breaks
        if now is not None and abs(np.log(scale / now.scale)) + abs(np.log(shape / now.shape)) < _NEAR:
            return fits
        lives = replace(data.lives, breaks=Breaks(data.broken, shape, scale))
    return fits


def _breaks_prior(data: SetLives, grade: Grade | None) -> Prior | None:
    """The handbook's thought of when edges break, where few did."""
    if int(data.broken.sum()) >= WITHIN["fewest"] or grade is None:
        return None
    within = np.log([WITHIN["break_scale_within"], WITHIN["break_shape_within"]]) / 1.96
    return Prior(np.array([np.log(grade.break_scale), -np.log(grade.break_shape)]), within)


def _breaking(data: SetLives, best: Fit, grade: Grade | None) -> Fit | None:
    """Fit the share of their own life at which edges broke."""
    prior = _breaks_prior(data, grade)
    count = int(data.broken.sum())
    if not count or (count < WITHIN["fewest"] and prior is None):
        return None
    return fit_breaks(data.lives, best, data.broken, prior)


def _coefficients(data: SetLives, fit: Fit, other: Fit | None, origin: str) -> list[Coefficient]:
    """Mean life, exponents, scatter, scatter of groups."""
    state = ESTABLISHED if fit.likelihood.prior is None else PRIOR
    shares = [
        f"{100.0 * share:.0f} % of what is known of it is the handbook" if fit.likelihood.prior is not None else ""
        for share in fit.prior_shares
    ]
    spans = EdgeLife(data, fit, other, None, (), ()).spans
    mean, cv = spans[0], spans[fit.likelihood.slopes + 1]
    words = [f"{each} {value:.4g}" for each, value in data.at.items()] + list(data.materials[:1])
    at = ", ".join(words)
    notes = [f"at {at}" if at else "", *("" for _ in range(fit.likelihood.slopes)), ""]
    figures = [
        ("mean edge life", mean, "min"),
        *((f"{each} exponent of life", spans[1 + number], "") for number, each in enumerate(data.hangs_on)),
        *(
            (f"life on {other} over that on {data.materials[0]}", spans[number].through(_exp), "")
            for number, other in enumerate(data.materials[1:], 1 + len(data.hangs_on))
        ),
        ("scatter of life (cv)", cv, ""),
    ]
    answer = []
    for number, (name, interval, unit) in enumerate(figures):
        is_known = interval.is_bounded and not ("exponent" in name and interval.low <= 0.0 <= interval.high)
        note = "; ".join(each for each in (notes[number], shares[number]) if each)
        answer.append(Coefficient(data.name, name, interval, unit, state if is_known else UNKNOWN, origin, note))
    if fit.likelihood.has_groups:
        tau = spans[-1]
        answer.append(
            Coefficient(
                data.name,
                f"scatter from {data.group} to {data.group} (cv)",
                tau,
                "",
                state if tau.low > 0.0 else UNKNOWN,
                origin,
                shares[-1],
            )
        )
    return answer


def _broken_coefficients(data: SetLives, fit: Fit, origin: str) -> list[Coefficient]:
    """Weibull scale and shape of the life share at which edges break."""
    state = ESTABLISHED if fit.likelihood.prior is None else PRIOR
    shares = fit.prior_shares
    notes = [
        f"{int(data.broken.sum())} of {counted(data.broken.size, 'edge', 'edges')} broke"
        + (f"; {100.0 * share:.0f} % handbook" if state == PRIOR else "")
        for share in shares
    ]
    scale = fit.intervals[0].through(lambda value: float(np.exp(value)))
    shape = fit.intervals[1].through(lambda value: float(np.exp(-value)))
    return [
        Coefficient(
            data.name,
            "life share of breaking, scale",
            scale,
            "",
            state if scale.is_bounded else UNKNOWN,
            origin,
            notes[0],
        ),
        Coefficient(
            data.name,
            "life share of breaking, shape",
            shape,
            "",
            state if shape.is_bounded else UNKNOWN,
            origin,
            notes[1],
        ),
    ]


def _sentences(
    data: SetLives, best: Fit | None, other: Fit | None, coefficients: list[Coefficient], is_few: bool
) -> list[str]:
    """What the figures say."""
    ended, broken, count = data.lives.ended, int(data.broken.sum()), data.broken.size
    rest = count - ended - broken
    lines = [f"{counted(count, 'edge', 'edges')}, {ended} seen to end by wear, {broken} broken, {rest} changed before."]
    if best is None:
        need = "more than one life that ended, and more of them than figures, are needed"
        lines.append(f"the edge life is not established: {need}; with --scenario its handbook enters as a prior.")
        return [f"{data.name}: {line}" for line in lines]
    if is_few:
        has_prior = best.likelihood.prior is not None
        what = "the handbook enters as a prior" if has_prior else "--scenario would let its handbook enter as a prior"
        lines.append(f"fewer than {WITHIN['fewest']:g} edges ended; {what}.")
    if other is not None:
        lead = best.value - other.value
        apart = "fits better than" if lead > _TELLS_APART else "cannot be told from"
        lines.append(f"{best.family} {apart} {other.family} (logarithms of likelihood apart: {lead:.1f}).")
    for each in (each for each in coefficients if each.state == UNKNOWN):
        low, high = (
            f"{bound:.2f}" if np.isfinite(bound) else "no bound" for bound in (each.interval.low, each.interval.high)
        )
        span = f"{each.interval.value:.2f}, between {low} and {high}"
        lines.append(f"the {each.name} is not established: {span}.")
    fixed = [each for each in CONDITIONS if each not in data.hangs_on]
    if fixed:
        lines.append(f"nothing is known of the exponent of {', '.join(fixed)}: it did not vary, or rows lack it.")
    return [f"{data.name}: {line}" for line in lines]
