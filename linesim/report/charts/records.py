"""Edge lives from records: the share that has ended by the minute, as recorded and as fitted."""

from __future__ import annotations

import numpy as np
import plotly.graph_objects as go
from scipy import stats

from linesim.records.edge_life import EdgeLife
from linesim.records.fitting import Fit
from linesim.records.likelihood import share_ended
from linesim.report.charts.frame import finish
from linesim.report.theme.colours import DAY, Light, policy_colours
from linesim.report.theme.safe import in_picture

__all__ = ["edge_life_figure", "times_figure"]

_POINTS = 120


def edge_life_figure(life: EdgeLife, light: Light = DAY) -> go.Figure:
    """Lives of one set brought to the middle of the conditions, beside what was fitted.

    Parameters
    ----------
    life : EdgeLife
        One with a fit.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly Figure
        Steps: share ended as recorded (Kaplan and Meier 1958; a life between two looks at its end). Strokes: edges
        changed before or broken. Lines: the fitted distributions; dotted: the handbook's, where it entered.
    """
    best, other = life.best, life.other
    assert best is not None
    low, high = _at_reference(life, best)
    minutes = np.linspace(0.0, 1.15 * float(np.where(np.isinf(high), low, high).max()), _POINTS)[1:]
    fits = [fit for fit in (best, other) if fit is not None]
    colours = policy_colours(tuple(fit.family for fit in fits))
    figure = go.Figure()
    _add_recorded(figure, low, high, light)
    for fit in fits:
        line = {"color": colours[fit.family], "width": 2.0, "dash": "solid" if fit is best else "dash"}
        _add_line(figure, minutes, _share(fit, fit.theta, minutes), fit.family, line)
    if best.likelihood.prior is not None:
        line = {"color": light.ink, "width": 1.5, "dash": "dot"}
        _add_line(figure, minutes, _share(best, best.likelihood.prior.mean, minutes), "handbook alone", line)
    mean = life.mean_min
    if mean is not None and mean.is_bounded:
        bars = {
            "type": "data",
            "symmetric": False,
            "array": [mean.high - mean.value],
            "arrayminus": [mean.value - mean.low],
        }
        figure.add_trace(
            go.Scatter(
                x=[mean.value],
                y=[0.5],
                mode="markers",
                error_x=bars,
                name="mean life, 95 %",
                marker={"color": light.ink, "size": 9},
            )
        )
    figure.update_xaxes(title="cutting minutes", range=[0.0, float(minutes[-1])])
    figure.update_yaxes(title="share of edges ended", range=[-0.02, 1.02])
    return finish(figure, light, 420)


def times_figure(fit: Fit, what: str, light: Light = DAY) -> go.Figure:
    """Times of one machine as recorded, beside the distribution that was fitted.

    Parameters
    ----------
    fit : Fit
        Of times that hang on nothing.
    what : str
        Title of the axis, with its unit.
    light : Light
        Colours of the page.

    Returns
    -------
    plotly Figure
        As `edge_life_figure` draws lives.
    """
    lives = fit.likelihood.lives
    minutes = np.linspace(0.0, 1.15 * float(np.where(np.isinf(lives.upper), lives.lower, lives.upper).max()), _POINTS)[
        1:
    ]
    figure = go.Figure()
    _add_recorded(figure, lives.lower, lives.upper, light, "not over")
    line = {"color": policy_colours((fit.family,))[fit.family], "width": 2.0}
    _add_line(figure, minutes, _share(fit, fit.theta, minutes), fit.family, line)
    figure.update_xaxes(title=what, range=[0.0, float(minutes[-1])])
    figure.update_yaxes(title="share that was over by then", range=[-0.02, 1.02])
    return finish(figure, light, 380)


def _at_reference(life: EdgeLife, fit: Fit) -> tuple[np.ndarray, np.ndarray]:
    """Lives as they would have been at the middle of the conditions."""
    lives = life.data.lives
    factor = np.exp(-lives.x @ fit.theta[1 : fit.likelihood.slopes + 1])
    return lives.lower * factor, lives.upper * factor


def _share(fit: Fit, theta: np.ndarray, minutes: np.ndarray) -> np.ndarray:
    """Share that a fitted distribution has ended by each minute, at the middle of the conditions."""
    log_sigma = float(theta[fit.likelihood.slopes + 1])
    sigma = float(np.exp(log_sigma))
    middle = float(theta[0]) - fit.likelihood.shift(theta)
    return share_ended(fit.family, (np.log(minutes) - middle) / sigma)


def _add_recorded(
    figure: go.Figure, low: np.ndarray, high: np.ndarray, light: Light, strokes_are: str = "changed before its end"
) -> None:
    """Steps of what was recorded, and strokes for what was not over."""
    is_over = np.isfinite(high)
    if is_over.any():
        data = stats.CensoredData.right_censored(np.where(is_over, high, low), ~is_over)
        steps = stats.ecdf(data).cdf
        figure.add_trace(
            go.Scatter(
                x=steps.quantiles,
                y=steps.probabilities,
                mode="lines+markers",
                name=in_picture("as recorded"),
                line={"color": light.ink, "shape": "hv", "width": 1.2},
                marker={"size": 5},
            )
        )
    if not is_over.all():
        strokes = {"symbol": "line-ns-open", "size": 10, "color": light.ink}
        figure.add_trace(
            go.Scatter(
                x=low[~is_over],
                y=np.zeros(int((~is_over).sum())),
                mode="markers",
                name=strokes_are,
                marker=strokes,
            )
        )


def _add_line(figure: go.Figure, minutes: np.ndarray, share: np.ndarray, name: str, line: dict[str, object]) -> None:
    """One distribution."""
    figure.add_trace(go.Scatter(x=minutes, y=share, mode="lines", name=in_picture(name), line=line))
