"""What a search for the best intervals comes down to, in sentences."""

from __future__ import annotations

from typing import Any

from linesim.study.comparing.words import amount, listing
from linesim.study.search.intervals.best_figures import BestFigures

__all__ = ["sentences_of"]

_ROUNDING = 0.02
"""An interval rounded to whole parts may lie so much past a life without being past the limit."""


def sentences_of(answer: BestFigures) -> list[str]:
    """The verdict first, then caps, the narrowest flat range, and whether the search has settled.

    Parameters
    ----------
    answer : BestFigures
        As far as the search has come.

    Returns
    -------
    list of str
    """
    text = [_verdict_sentence(answer)]
    for name, limit in answer.goal.caps:
        text.append(_cap_sentence(answer, name, limit))
    widest = [place for place in answer.places if place.key in answer.flat]
    if widest:
        narrow = min(widest, key=lambda place: answer.flat[place.key].high / answer.flat[place.key].low)
        flat = answer.flat[narrow.key]
        text.append(
            f"It matters most to keep to the interval of {narrow.key}: {flat.low} to {flat.high} parts stay within "
            f"{100.0 * answer.tolerance:g} % of {answer.goal.measure.words}."
        )
    text += [_lever_sentence(answer, row) for row in answer.lever_values.to_dict(orient="records")]
    text.append(_limit_sentence(answer))
    if answer.over_lives:
        text.append(
            "Every run drew the lives of its edges anew, each kind's within the factor that the scenario, or else the "
            "handbook, states: these intervals are the best on the whole, not if lives are as assumed."
        )
    if not answer.is_settled:
        text.append("The search was ended before it had settled: a longer one may find better intervals.")
    return text


def _verdict_sentence(answer: BestFigures) -> str:
    """Found against base."""
    goal, verdict = answer.goal.measure, answer.verdict
    if verdict is None:
        return f'The best intervals so far have not been tried against "{answer.against}" in fresh replications.'
    apart = verdict.differences[goal.name]
    more = "more" if apart.mean > 0.0 else "less"
    unit = "" if goal.unit in ("", "1/h", "%") else f" {goal.unit.replace('money', answer.works.currency)}"
    fresh = f"in {verdict.replications} replications that the search had not seen"
    if apart.mean == 0.0 and apart.half_width == 0.0:
        return f'No better intervals than those of "{answer.against}" were found.'
    if not apart.is_apart:
        return (
            f'The intervals found do not differ significantly from "{answer.against}" {fresh}: the difference in '
            f"{goal.words} is {amount(apart.mean, apart.half_width)}{unit}."
        )
    change = f"{amount(abs(apart.mean), apart.half_width)}{unit} {more} {goal.words}"
    if goal.name == "good_per_hour":
        change = f"{amount(abs(apart.mean), apart.half_width)} {'more' if apart.mean > 0 else 'fewer'} {goal.words}"
    is_better = apart.mean * answer.goal.sign > 0.0
    verb = "give" if is_better else "are worse: they give"
    sure = f"with {100.0 * answer.confidence:g} % confidence"
    keep = "" if is_better else f' Keep "{answer.against}".'
    return f'The intervals found {verb} {change} than "{answer.against}", {sure}, {fresh}.{keep}'


def _lever_sentence(answer: BestFigures, row: dict[Any, Any]) -> str:
    """What was sought beside the intervals, and within what it hardly matters."""
    unit = f" {row['unit']}" if row["unit"] else ""
    text = f"The {row['lever']} is best at {row['value']:g}{unit} (it was {row['before']:g}{unit})"
    if row["flat_low"] is None or row["flat_low"] == row["flat_high"]:
        return f"{text}."
    return (
        f"{text}; {row['flat_low']:g} to {row['flat_high']:g}{unit} stays within {100.0 * answer.tolerance:g} % of "
        f"{answer.goal.measure.words}."
    )


def _limit_sentence(answer: BestFigures) -> str:
    """Whether intervals go past the wear limit, or whether any such was looked at."""
    if max(place.most_lives for place in answer.places) <= 1.0:
        return "No interval past the wear limit of an edge was looked at; that has to be asked for."
    pairs = zip(answer.places, answer.setting.parts, strict=True)
    past = [place.key for place, parts in pairs if parts > (1.0 + _ROUNDING) * place.parts_per_life]
    if not past:
        return "Intervals past the wear limit were looked at; none of those found lies there."
    return (
        f"Past the wear limit of the edge: {listing(past)}. What forces, surfaces and breaking come to there is known "
        "less well, and a set ground so late has more taken off."
    )


def _cap_sentence(answer: BestFigures, name: str, limit: float) -> str:
    """Whether a cap holds."""
    of = answer.goal.capped(name)
    factor, unit = (100.0, " %") if of.is_share else (1.0, f" {of.unit.replace('money', answer.works.currency)}")
    if answer.verdict is None:
        return f"The cap on {of.words} is {factor * limit:g}{unit}."
    mean = answer.verdict.best[name]
    shown = amount(factor * mean.mean, factor * mean.half_width)
    if mean.high <= limit:
        return f"The cap on {of.words} of {factor * limit:g}{unit} is kept: {shown}{unit}."
    if mean.low > limit:
        return f"The cap on {of.words} of {factor * limit:g}{unit} could not be kept: {shown}{unit}."
    return f"Whether the cap on {of.words} of {factor * limit:g}{unit} is kept cannot be told: {shown}{unit}."
