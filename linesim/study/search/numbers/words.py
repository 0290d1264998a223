"""What the search for numbers comes down to, in sentences."""

from __future__ import annotations

from linesim.study.comparing.said import quoted
from linesim.study.comparing.words import amount
from linesim.study.search.numbers.figures import CirculationFigures
from linesim.words import keep

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
        keep("sets.instead", count=best, what=item.counted(best), before=item.now)
        for item, best in zip(answer.items, answer.counts, strict=True)
        if best != item.now
    ]
    if changed:
        text.append(keep("sets.has", sets=quoted(changed)))
    worth = [step for step in answer.steps if step.change == -1 and step.gain.is_apart and step.gain.mean < 0.0]
    if worth:
        most = min(worth, key=lambda step: step.gain.mean)
        lost = amount(-most.gain.mean, most.gain.half_width)
        text.append(keep("sets.missed", what=most.item.words, lost=lost, unit=answer.unit))
    if not answer.is_settled:
        text.append(keep("sets.ended"))
    return tuple(text)


def _verdict_sentence(answer: CirculationFigures) -> str:
    """The best combination against the scenario's own."""
    if answer.counts == tuple(item.now for item in answer.items):
        return keep("sets.none_cheaper" if answer.is_settled else "sets.none_cheaper_yet")
    if answer.verdict is None:
        return keep("sets.not_tried")
    gain = amount(answer.verdict.mean, answer.verdict.half_width)
    way = "gains" if answer.verdict.is_apart else "not_apart"
    return keep(f"sets.{way}", gain=gain, unit=answer.unit, count=answer.fresh)
