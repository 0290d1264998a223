"""Times between breakdowns and repair times of one machine; the last time runs on and is not over at the end."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.edge_life import cv_of
from linesim.records.fitting import Fit, fit_lives
from linesim.records.likelihood import FAMILIES, Lives
from linesim.records.reading import Aside, Record

__all__ = ["machine_times", "times_between"]

_FEWEST = 3


def times_between(rows: Sequence[Record], until: datetime | None = None) -> tuple[np.ndarray, np.ndarray, list[Aside]]:
    """Running minutes from one breakdown to the next, and minutes of repair.

    Parameters
    ----------
    rows : sequence of Record
        Stoppages of one machine.
    until : datetime, optional
        End of the records; the last stoppage of the machine unless given.

    Returns
    -------
    tuple
        Minutes between (n, 2), infinite above where it was not over; minutes of repair (m, 2); rows that cannot serve.
        Other stoppages count as time not run. The time before the first breakdown is left out: when it began is not
        known.
    """
    asides: list[Aside] = []
    spans: list[tuple[datetime, datetime | None, bool]] = []
    for row in sorted(rows, key=lambda row: row.values["start"]):
        start, end = row.values["start"], row.values.get("end")
        if end is not None and end < start:
            asides.append(Aside(row.file, row.row, "it ends before it begins"))
        elif spans and (last := spans[-1][1]) is not None and start < last:
            asides.append(Aside(row.file, row.row, "it begins before the stoppage before it has ended"))
        elif spans and spans[-1][1] is None:
            asides.append(
                Aside(row.file, row.row, "it begins while the machine stands: the stoppage before has no end")
            )
        else:
            spans.append((start, end, row.name("reason") == "breakdown"))
    return _between(spans, until), _repairs(spans), asides


def _between(spans: Sequence[tuple[datetime, datetime | None, bool]], until: datetime | None) -> np.ndarray:
    """Running minutes between breakdowns."""
    answer: list[tuple[float, float]] = []
    run, since, has_begun = 0.0, None, False
    for start, end, is_breakdown in spans:
        run += 0.0 if since is None else (start - since).total_seconds() / 60.0
        if is_breakdown:
            answer += [(run, run)] if has_begun and run > 0.0 else []
            run, has_begun = 0.0, True
        since = end
    if until is not None and since is not None and until > since:
        run += (until - since).total_seconds() / 60.0
    answer += [(run, np.inf)] if has_begun and run > 0.0 else []
    return np.array(answer, float).reshape(-1, 2)


def _repairs(spans: Sequence[tuple[datetime, datetime | None, bool]]) -> np.ndarray:
    """Minutes of repair; one without an end is left out."""
    lengths = [(end - start).total_seconds() / 60.0 for start, end, is_breakdown in spans if is_breakdown and end]
    return np.array([(each, each) for each in lengths if each > 0.0], float).reshape(-1, 2)


def machine_times(name: str, rows: Sequence[Record]) -> tuple[list[Coefficient], list[Aside], dict[str, Fit]]:
    """Figures of one machine's breakdowns.

    Parameters
    ----------
    name : str
        The machine or operation.
    rows : sequence of Record
        Its stoppages.
    """
    ends = [row.values["end"] for row in rows if "end" in row.values]
    between, repairs, asides = times_between(rows, max(ends, default=None))
    origin, coefficients, fits = origin_of(rows), [], {}
    for what, spans in (("running time between breakdowns", between), ("repair time", repairs)):
        if np.isfinite(spans[:, 1]).sum() < _FEWEST:
            continue
        lives = Lives(spans[:, 0], spans[:, 1], np.zeros((len(spans), 0)))
        best = max(
            (fit for each in FAMILIES if (fit := fit_lives(lives, each))), key=lambda fit: fit.value, default=None
        )
        if best is not None:
            fits[what] = best
            coefficients += _figures(name, what, best, origin)
    return coefficients, asides, fits


def _figures(name: str, what: str, fit: Fit, origin: str) -> list[Coefficient]:
    """Mean and scatter of one kind of time."""
    mean = fit.intervals[0].through(lambda value: float(np.exp(value)))
    cv = fit.intervals[1].through(lambda value: cv_of(fit.family, float(np.exp(value))))
    note = f"{fit.family}; by the clock, other stoppages left out" if "between" in what else fit.family
    states = [ESTABLISHED if each.is_bounded else UNKNOWN for each in (mean, cv)]
    return [
        Coefficient(name, f"mean {what}", mean, "min", states[0], origin, note),
        Coefficient(name, f"scatter of {what} (cv)", cv, "", states[1], origin),
    ]
