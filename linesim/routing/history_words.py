"""What the life history of a feature comes down to, in sentences."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

from linesim.cutting.component import SHAPE, Component
from linesim.routing.history_figures import HistoryFigures
from linesim.routing.lives import AS_CAST, step_words
from linesim.routing.sources import Source, source_words
from linesim.study.comparing.words import amount
from linesim.words import keep
from linesim.works.carried import carried

__all__ = ["sentences_of"]


def sentences_of(history: HistoryFigures) -> tuple[str, ...]:
    """The account in words, the greatest sources first.

    Parameters
    ----------
    history : HistoryFigures
        Of one run or more.

    Returns
    -------
    tuple of str
    """
    of, table = history.measured, history.arising.sort_values(history.measured.shared, ascending=False)
    text = [_first(history)]
    for row in table.head(3).to_dict(orient="records"):
        if row["share"] > 0.0:
            is_cast = row["operation"] == AS_CAST.operation
            at = keep("history.step", operation=row["operation"], step=step_words(row["step"]))
            text.append(
                keep(
                    "history.share", share=_share(row, history), of=of.shared_words, source=source_words(row["source"]),
                    where=keep("history.the_casting") if is_cast else at,
                )
            )  # fmt: skip
    taken = table[table[of.shared] < 0.0]
    if float(taken["share"].sum()) < -0.005:
        names = [source_words(name) for name in dict.fromkeys(taken["source"])]
        text.append(keep("history.taken_out", percent=-100.0 * float(taken["share"].sum()), sources=names))
    return (*text, *_beside(history))


def _share(row: dict[Hashable, Any], history: HistoryFigures) -> str:
    """A share with its half width over the runs; one that the runs do not tell from none is said to be so."""
    shared = history.measured.shared
    whole = float(history.arising[shared].sum())
    half = 100.0 * row[f"{shared}_half_width"] / whole
    if not half > 0.0:
        return keep("history.percent", percent=100.0 * row["share"])
    words = keep("history.within", percent=100.0 * row["share"], half=half)
    is_known = 100.0 * row["share"] > half
    return words if is_known else keep("history.not_significant", runs=len(history.accounts), share=words)


def _first(history: HistoryFigures) -> str:
    """Spread and mean of what is shipped, and over how many places."""
    last, of = history.totals.iloc[-1], history.measured
    width = last[f"{of.shared}_half_width"] / (2.0 * last[of.spread]) if last[of.spread] else math.nan
    places = sum(len(account.parts) for account in history.accounts)
    values = {
        "feature": history.feature,
        "spread": keep("history.spread", what=of.spread_words, amount=amount(last[of.spread], width)),
        "over": keep("history.over", count=len(history.accounts), places=places),
    }
    if history.of is Component.FORM:
        return keep("history.first_form", **values)
    mean = amount(last["mean_um"], last["mean_um_half_width"])
    if history.of is Component.SIZE:
        return keep("history.first_size", mean=mean, **values)
    return keep("history.first", what=keep(f"characteristics.{history.of.words}"), mean=mean, **values)


def _beside(history: HistoryFigures) -> tuple[str, ...]:
    """What else of the feature has an account, and where that of a datum is to be had."""
    if history.of is Component.SIZE:
        if history.feature not in carried(history.works.lines[history.line]):
            return ()
        names = ", ".join(component.words for component in SHAPE)
        shapes = [keep(f"characteristics.{component.words}") for component in SHAPE]
        return (keep("history.others", names=shapes, asked=names),)
    if Source.DATUM.words not in set(history.arising["source"]):
        return ()
    operations = history.works.lines[history.line].operations
    located = {name: of.locating.on for name, of in operations.items() if of.locating is not None}
    rows = history.arising[history.arising["source"] == Source.DATUM.words]
    data = list(dict.fromkeys(located[name] for name in rows["operation"] if name in located))
    key = "characteristics.form" if history.of is Component.FORM else "characteristics.tilt"
    return (keep("history.datum", what=keep(key), data=data),)
