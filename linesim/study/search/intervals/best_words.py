"""What a search for the best intervals comes down to, in sentences."""

from __future__ import annotations

from linesim.study.comparing.words import amount
from linesim.study.search.intervals.best_figures import BestFigures

__all__ = ["sentences_of"]


def sentences_of(found: BestFigures) -> list[str]:
    """The verdict first, then caps, the narrowest flat range, and whether the search has settled.

    Parameters
    ----------
    found : BestFigures
        As far as the search has come.

    Returns
    -------
    list of str
    """
    told = [_verdict_sentence(found)]
    for name, limit in found.goal.caps:
        told.append(_cap_sentence(found, name, limit))
    widest = [place for place in found.places if place.key in found.flat]
    if widest:
        narrow = min(widest, key=lambda place: found.flat[place.key].high / found.flat[place.key].low)
        flat = found.flat[narrow.key]
        told.append(
            f"It matters most to keep to the interval of {narrow.key}: {flat.low} to {flat.high} parts stay within "
            f"{100.0 * found.tolerance:g} % of {found.goal.measure.words}."
        )
    if not found.is_settled:
        told.append("The search was ended before it had settled: a longer one may find better intervals.")
    return told


def _verdict_sentence(found: BestFigures) -> str:
    """Found against base."""
    goal, verdict = found.goal.measure, found.verdict
    if verdict is None:
        return f'The best intervals so far have not been tried against "{found.base}" in fresh replications.'
    apart = verdict.differences[goal.name]
    more = "more" if apart.mean > 0.0 else "less"
    unit = "" if goal.unit in ("", "1/h", "%") else f" {goal.unit.replace('money', found.works.currency)}"
    fresh = f"in {verdict.replications} replications that the search had not seen"
    if apart.mean == 0.0 and apart.half_width == 0.0:
        return f'No better intervals than those of "{found.base}" were found.'
    if not apart.is_apart:
        return (
            f'The intervals found are not told apart from "{found.base}" {fresh}: the difference in {goal.words} is '
            f"{amount(apart.mean, apart.half_width)}{unit}."
        )
    change = f"{amount(abs(apart.mean), apart.half_width)}{unit} {more} {goal.words}"
    if goal.name == "good_per_hour":
        change = f"{amount(abs(apart.mean), apart.half_width)} {'more' if apart.mean > 0 else 'fewer'} {goal.words}"
    is_better = apart.mean * found.goal.sign > 0.0
    verb = "give" if is_better else "are worse: they give"
    sure = f"with {100.0 * found.confidence:g} % confidence"
    return f'The intervals found {verb} {change} than "{found.base}", {sure}, {fresh}.'


def _cap_sentence(found: BestFigures, name: str, limit: float) -> str:
    """Whether a cap holds."""
    of = found.goal.capped(name)
    factor, unit = (100.0, " %") if of.is_share else (1.0, f" {found.works.currency}")
    if found.verdict is None:
        return f"The cap on {of.words} is {factor * limit:g}{unit}."
    mean = found.verdict.found[name]
    shown = amount(factor * mean.mean, factor * mean.half_width)
    if mean.high <= limit:
        return f"The cap on {of.words} of {factor * limit:g}{unit} is kept: {shown}{unit}."
    if mean.low > limit:
        return f"The cap on {of.words} of {factor * limit:g}{unit} could not be kept: {shown}{unit}."
    return f"Whether the cap on {of.words} of {factor * limit:g}{unit} is kept cannot be told: {shown}{unit}."
