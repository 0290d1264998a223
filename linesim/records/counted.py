"""What counts say: the share of scrap, which comes in clusters, and good parts by the running hour.

The share of scrap of a day or shift is itself scattered (beta), so that bad days do not make the interval too narrow:
the beta-binomial likelihood, the scatter following in the profile. Source: J. G. Skellam, J. R. Stat. Soc. B 10 (1948),
257-261 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.special import betaln

from linesim.records.coefficient import ESTABLISHED, Coefficient, origin_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record
from linesim.records.spreads import mean_of
from linesim.records.two_figures import profiled

__all__ = ["SCRAP", "count_figures"]

SCRAP = "share of scrap"
_FEWEST = 3
_LOOSE, _TIGHT = 0.0, 16.0
"""Logarithm of the beta's size between which it is looked for: days quite unlike, and as good as alike."""


def count_figures(name: str, rows: Sequence[Record]) -> list[Coefficient]:
    """Scrap and pace of one machine or line.

    Parameters
    ----------
    name : str
        The machine, or empty.
    rows : sequence of Record
        Its counts.
    """
    of = name or "all counts"
    both = [row for row in rows if {"good", "scrap"} <= row.values.keys() and row.values["good"] + row.values["scrap"]]
    figures = [] if len(both) < _FEWEST else [_scrap(of, both)]
    timed = [row for row in rows if "good" in row.values and (row.number("running minutes") or 0.0) > 0.0]
    if len(timed) >= _FEWEST:
        pace = np.array([60.0 * row.values["good"] / row.values["running minutes"] for row in timed], float)
        note = "each row counts alike"
        figures.append(
            Coefficient(of, "good parts by the running hour", mean_of(pace), "1/h", ESTABLISHED, origin_of(timed), note)
        )
    return figures


def _scrap(of: str, rows: Sequence[Record]) -> Coefficient:
    """The share of scrap, %."""
    bad = np.array([row.values["scrap"] for row in rows], float)
    every = bad + np.array([row.values["good"] for row in rows], float)
    total, scrapped = float(every.sum()), float(bad.sum())
    note = f"{scrapped:g} of {total:g} parts"
    if scrapped in (0.0, total):
        end = 0.025 ** (1.0 / total)  # nothing but good, or but bad, in so many parts: exact (Clopper and Pearson 1934)
        each = Interval(1.0, end, 1.0) if scrapped else Interval(0.0, 0.0, 1.0 - end)
    else:

        def height(logit: float, log_size: float) -> float:
            share, size = 1.0 / (1.0 + np.exp(-logit)), np.exp(log_size)
            first, second = share * size, (1.0 - share) * size
            return float((betaln(bad + first, every - bad + second) - betaln(first, second)).sum())

        middle = float(np.log(scrapped / (total - scrapped)))
        logit = profiled(height, (middle - 6.0, middle + 6.0), (_LOOSE, _TIGHT))
        each = logit.through(lambda at: float(1.0 / (1.0 + np.exp(-at))))
    return Coefficient(of, SCRAP, each.through(_percent), "%", ESTABLISHED, origin_of(rows), note)


def _percent(share: float) -> float:
    return 100.0 * share
