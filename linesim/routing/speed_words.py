"""What the study of a cut's speed comes down to, in sentences."""

from __future__ import annotations

import pandas as pd

from linesim.routing.speed_paper import FOR_THE_LINE, SpeedPaper
from linesim.study.comparing.words import amount
from linesim.works.doing import called_at

__all__ = ["sentences_of"]


def sentences_of(paper: SpeedPaper, table: pd.DataFrame) -> tuple[str, ...]:
    """The conditions for the line, and why.

    Parameters
    ----------
    paper : SpeedPaper
        Speeds and feeds on paper.
    table : pandas.DataFrame
        What the line makes of them, as `linesim.routing.speed.SpeedAnswer` has it.

    Returns
    -------
    tuple of str
    """
    money = paper.works.currency
    best = paper.conditions[FOR_THE_LINE]
    operation = called_at(paper.works, *paper.key[:2])
    rows = {(row["conditions"], row["measure"]): row for row in table.to_dict(orient="records")}
    row = rows[FOR_THE_LINE, "contribution_per_hour"]
    gain = f"{amount(row['less_as_it_stands'], row['less_half_width'])} {money}/h of contribution"
    why = (
        f"{operation} holds the line back; a minute there is worth {paper.worth_per_min:.2f} {money} "
        "(worth of the parts less their castings), so that quicker pays until changes eat it up."
        if paper.is_constraint
        else f"{operation} has {paper.spare_min:.2f} min per part to spare; a minute there is worth nothing to the "
        "line, so that slower is cheaper as far as the time goes."
    )
    conditions = f"{best.speed_m_min:.0f} m/min and {best.feed_mm:.3f} mm"
    if row["is_apart"]:
        return f"For the line: {conditions}, {gain} against what stands.", why
    text = (
        f"For the line: no speed or feed is shown to be better than what stands. On paper it would be {conditions}: "
        f"{gain} against what stands, not significant. Leave it as it is, or ask for more runs (--replications)."
    )
    return text, why
