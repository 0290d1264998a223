"""What the life history of a feature comes down to, in sentences."""

from __future__ import annotations

import math

from linesim.routing.following import AS_CAST
from linesim.routing.history_figures import HistoryFigures
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
    last = history.totals.iloc[-1]
    table = history.arising.sort_values("variance_um2", ascending=False)
    count = sum(len(account.parts) for account in history.accounts)
    width = last["variance_um2_half_width"] / (2.0 * last["sd_um"]) if last["sd_um"] else math.nan
    runs = "runs" if len(history.accounts) > 1 else "run"
    text = [
        (
            f"The error of {history.feature} has a standard deviation of {amount(last['sd_um'], width)} µm per side "
            f"about a mean of {amount(last['mean_um'], last['mean_um_half_width'])} µm (metal left on counts as "
            f"plus), over {count} places of shipped parts in {len(history.accounts)} {runs}."
        )
    ]
    for row in table.head(3).to_dict(orient="records"):
        if row["share"] > 0.0:
            where = "the casting" if row["operation"] == AS_CAST.operation else row["operation"]
            text.append(f"{100.0 * row['share']:.0f} % of the variance is {row['source']}, from {where}.")
    taken = float(table.loc[table["variance_um2"] < 0.0, "share"].sum())
    if taken < -0.005:
        names = ", ".join(dict.fromkeys(table.loc[table["variance_um2"] < 0.0, "source"]))
        text.append(f"Against that, {100.0 * -taken:.0f} % is taken out again ({names}).")
    if history.feature in carried(history.works.lines[history.line]):
        text.append(
            "This is the account of its size. Position, tilt and form are carried too, but no account follows them "
            "source by source; their mean, spread and share out of limits stand among the characteristics of a run."
        )
    return tuple(text)
