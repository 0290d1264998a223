"""What the life history of a feature comes down to, in sentences."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

from linesim.cutting.component import SHAPE, Component
from linesim.routing.history_figures import HistoryFigures
from linesim.routing.lives import AS_CAST
from linesim.routing.sources import Source
from linesim.study.comparing.words import amount
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
            where = "the casting" if is_cast else f"{row['operation']}, {row['step']}"
            text.append(f"{_share(row, history)} of the {of.shared_words} is {row['source']}, from {where}.")
    taken = table[table[of.shared] < 0.0]
    if float(taken["share"].sum()) < -0.005:
        names = ", ".join(dict.fromkeys(taken["source"]))
        text.append(f"Against that, {-100.0 * float(taken['share'].sum()):.0f} % is taken out again ({names}).")
    return (*text, *_beside(history))


def _share(row: dict[Hashable, Any], history: HistoryFigures) -> str:
    """A share with its half width over the runs; one that the runs do not tell from none is said to be so."""
    shared = history.measured.shared
    whole = float(history.arising[shared].sum())
    half = 100.0 * row[f"{shared}_half_width"] / whole
    if not half > 0.0:
        return f"{100.0 * row['share']:.0f} %"
    words = f"{100.0 * row['share']:.0f} ± {half:.0f} %"
    return words if 100.0 * row["share"] > half else f"Not significant in {len(history.accounts)} runs: {words}"


def _first(history: HistoryFigures) -> str:
    """Spread and mean of what is shipped, and over how many places."""
    last, of = history.totals.iloc[-1], history.measured
    width = last[f"{of.shared}_half_width"] / (2.0 * last[of.spread]) if last[of.spread] else math.nan
    spread = f"a {of.spread_words} of {amount(last[of.spread], width)} µm"
    count = sum(len(account.parts) for account in history.accounts)
    over = f"over {count} places of shipped parts in {len(history.accounts)} run{'s'[: len(history.accounts) - 1]}"
    if history.of is Component.FORM:
        return f"The form of {history.feature} has {spread}, {over}; its account is kept in squares, which add up."
    about = f"about a mean of {amount(last['mean_um'], last['mean_um_half_width'])} µm"
    if history.of is Component.SIZE:
        about = f"per side {about} (metal left on counts as plus)"
    what = "error" if history.of is Component.SIZE else history.of.words
    return f"The {what} of {history.feature} has {spread} {about}, {over}."


def _beside(history: HistoryFigures) -> tuple[str, ...]:
    """What else of the feature has an account, and where that of a datum is to be had."""
    if history.of is Component.SIZE:
        if history.feature not in carried(history.works.lines[history.line]):
            return ()
        names = ", ".join(component.words for component in SHAPE)
        return (f"This is the account of its size; those of {names} are had by asking for them (--of {names}).",)
    if Source.DATUM.words not in set(history.arising["source"]):
        return ()
    operations = history.works.lines[history.line].operations
    located = {name: of.locating.on for name, of in operations.items() if of.locating is not None}
    rows = history.arising[history.arising["source"] == Source.DATUM.words]
    data = ", ".join(dict.fromkeys(located[name] for name in rows["operation"] if name in located))
    what = "form" if history.of is Component.FORM else "tilt"
    return (f"Where the {what} of a datum comes from, its own account says: {data}.",)
