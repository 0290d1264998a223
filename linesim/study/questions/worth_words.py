"""What the value of a bottleneck minute comes down to, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.comparing.words import amount, listing
from linesim.study.questions.worth_figures import WorthFigures

__all__ = ["sentences_of"]


def sentences_of(worth: WorthFigures) -> Iterator[str]:
    """What a minute is worth where, and whether utilisation would have said the same.

    Parameters
    ----------
    worth : WorthFigures
        With its runs.

    Yields
    ------
    str
    """
    first, money = worth.table.iloc[0], worth.works.currency
    name = worth.named(str(first["line"]), str(first["operation"]))
    level = f"{100.0 * worth.confidence:g} % confidence"
    if worth.n_replications < 2 or not bool(first["is_told"]):
        runs = "One replication does" if worth.n_replications == 1 else f"{worth.n_replications} replications do"
        yield f"{runs} not show that a minute less stopped is worth anything at any operation, with {level}."
        return
    worth_ = amount(float(first["worth"]), float(first["worth_half_width"]))
    apart = worth.not_significant
    text = (
        f"more than at any other, with {level}"
        if not apart
        else f"not significantly more than at {listing(list(apart))}"
    )
    yield f"One minute an hour less stopped at {name} is worth {worth_} {money} per hour; {text}."
    busiest = worth.table.sort_values("rank_utilisation").iloc[0]
    other = worth.named(str(busiest["line"]), str(busiest["operation"]))
    share = f"{100.0 * float(busiest['utilisation']):.1f} %"
    if other == name:
        yield f"By utilisation ({share}) it is the constraint as well."
    else:
        at_other = amount(float(busiest["worth"]), float(busiest["worth_half_width"]))
        yield f"By utilisation it would be {other} ({share}), where a minute is worth {at_other} {money}."
    stopped = float(first["stopped_min"])
    yield (
        f"Its machines stand {stopped:.1f} minutes an hour for changes, setters, cutters and repairs of their own; "
        "a minute taken out of that is what is priced here."
    )
    shown = {(row["line"], row["operation"]) for row in worth.table.to_dict(orient="records") if row["is_told"]}
    places = [(line, name) for line, row in worth.works.lines.items() for name in row.operations]
    none = [worth.named(*place) for place in places if place not in shown]
    if none:
        yield f"At {len(none)} of {len(places)} operations no worth can be shown: {', '.join(none)}."
