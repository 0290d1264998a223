"""What the search for numbers comes down to, in sentences."""

from __future__ import annotations

from linesim.study.comparing.words import amount, listing
from linesim.study.search.numbers.figures import CirculationFigures

__all__ = ["sentences_of"]


def sentences_of(answer: CirculationFigures) -> tuple[str, ...]:
    """The verdict, the numbers, and what would be missed most.

    Parameters
    ----------
    answer : CirculationFigures
        As far as the search has come.

    Returns
    -------
    tuple of str
    """
    text = [_verdict_sentence(answer)]
    changed = [
        f"{best} {item.counted(best)} instead of {item.now}"
        for item, best in zip(answer.items, answer.counts, strict=True)
        if best != item.now
    ]
    if changed:
        text.append(f"It has {listing(changed)}.")
    worth = [step for step in answer.steps if step.change == -1 and step.gain.is_apart and step.gain.mean < 0.0]
    if worth:
        most = min(worth, key=lambda step: step.gain.mean)
        lost = amount(-most.gain.mean, most.gain.half_width)
        text.append(
            f"With one fewer of the {most.item.words} {lost} {answer.unit} would be lost, more than with any other."
        )
    if not answer.is_settled:
        text.append("The search was ended before it had settled; other combinations may be cheaper.")
    return tuple(text)


def _verdict_sentence(answer: CirculationFigures) -> str:
    """The best combination against the scenario's own."""
    if answer.counts == tuple(item.now for item in answer.items):
        settled = " beyond doubt" if answer.is_settled else " so far"
        return f"No other number of what is counted than the scenario's is cheaper{settled}."
    if answer.verdict is None:
        return "The best combination so far has not been tried in fresh replications."
    gain = amount(answer.verdict.mean, answer.verdict.half_width)
    fresh = f"in {answer.fresh} replications that the search had not seen"
    if not answer.verdict.is_apart:
        return f"The combination found does not differ significantly from the scenario's {fresh}: {gain} {answer.unit}."
    return f"The combination found gains {gain} {answer.unit} over the scenario's, all costs counted, {fresh}."
