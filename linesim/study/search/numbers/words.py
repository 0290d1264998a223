"""What the search for numbers comes down to, in sentences."""

from __future__ import annotations

from linesim.study.comparing.words import amount, listing
from linesim.study.search.numbers.figures import CirculationFigures

__all__ = ["sentences_of"]


def sentences_of(found: CirculationFigures) -> tuple[str, ...]:
    """The verdict, the numbers, and what would be missed most.

    Parameters
    ----------
    found : CirculationFigures
        As far as the search has come.

    Returns
    -------
    tuple of str
    """
    told = [_verdict_sentence(found)]
    changed = [
        f"{best} {item.counted(best)} instead of {item.now}"
        for item, best in zip(found.items, found.counts, strict=True)
        if best != item.now
    ]
    if changed:
        told.append(f"It has {listing(changed)}.")
    worth = [step for step in found.steps if step.change == -1 and step.gain.is_apart and step.gain.mean < 0.0]
    if worth:
        most = min(worth, key=lambda step: step.gain.mean)
        lost = amount(-most.gain.mean, most.gain.half_width)
        told.append(
            f"With one fewer of the {most.item.words} {lost} {found.unit} would be lost, more than with any other."
        )
    if not found.is_settled:
        told.append("The search was ended before it had settled; other combinations may be cheaper.")
    return tuple(told)


def _verdict_sentence(found: CirculationFigures) -> str:
    """The best combination against the scenario's own."""
    if found.counts == tuple(item.now for item in found.items):
        settled = " beyond doubt" if found.is_settled else " so far"
        return f"No other number of sets, grinders or setters than the scenario's is cheaper{settled}."
    if found.verdict is None:
        return "The best combination so far has not been tried in fresh replications."
    gain = amount(found.verdict.mean, found.verdict.half_width)
    fresh = f"in {found.fresh} replications that the search had not seen"
    if not found.verdict.is_apart:
        return f"The combination found is not told apart from the scenario's {fresh}: {gain} {found.unit}."
    return f"The combination found gains {gain} {found.unit} over the scenario's, all costs counted, {fresh}."
