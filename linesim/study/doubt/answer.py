"""What is decided under what is not known: how far it stays right, what each policy loses, what to measure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from linesim.study.advice.words import rounded
from linesim.study.answer import Answer, origin_of
from linesim.study.comparing.measures import Measure
from linesim.study.comparing.words import amount
from linesim.study.doubt.figures import Loss, Step, Worth
from linesim.words import KeptText, begun, keep
from linesim.works import Works

__all__ = ["CLEAR", "Regret", "action_words", "still_right_words"]

CLEAR = 0.05
"""A life whose worth would look so great by luck more often than this is not told from nothing."""


@dataclass(frozen=True, eq=False)
class Regret(Answer):
    """What each policy loses over what may be true.

    Attributes
    ----------
    works : Works
        The scenario.
    chosen : str
        The policy that is asked about.
    measure : Measure
        What is measured.
    steps : tuple of Step
        The policy against the best other one, lives from short to long.
    losses : tuple of Loss
        The least first; empty where only the steps were asked for.
    worths : tuple of Worth
        What to measure, the dearest first.
    remarks : tuple of str
        What goes past the wear limit, and what is left out for it.
    seed, draws, confidence
        How it was carried out.
    """

    works: Works
    chosen: str
    measure: Measure
    steps: tuple[Step, ...]
    losses: tuple[Loss, ...]
    worths: tuple[Worth, ...]
    remarks: tuple[str, ...]
    seed: int
    draws: int
    confidence: float

    @property
    def unit(self) -> str:
        """Of the figures."""
        return keep(
            "regret.unit_hour" if "hour" in self.measure.name else "regret.unit_part", currency=self.works.currency
        )

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return origin_of(
            self.works, policy=self.chosen, seed=self.seed, replications=self.draws, confidence=self.confidence
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """How far it stays right, what loses least, what to measure first."""
        return (still_right_words(self.chosen, self.steps, self.unit), *self._least(), *self._measure(), *self.remarks)

    def _least(self) -> list[str]:
        """What loses least over all draws."""
        if not self.losses:
            return []
        best = self.losses[0]
        own = next(each for each in self.losses if each.name == self.chosen)
        lost, unit = amount(own.loses.mean, own.loses.half_width), self.unit
        if best.name == self.chosen:
            return [keep("regret.least", policy=self.chosen, lost=lost, unit=unit)]
        least = amount(best.loses.mean, best.loses.half_width)
        return [keep("regret.not_least", policy=self.chosen, lost=lost, best=best.name, least=least, unit=unit)]

    def _measure(self) -> list[str]:
        """What to measure first."""
        if not self.losses:
            return []
        clear = [each for each in self.worths if each.p_value < CLEAR and each.value > 0.0]
        if not clear:
            return [keep("regret.none_to_measure")]
        first = clear[0]
        return [keep("regret.measure", life=first.of, worth=first.value, unit=self.unit)]

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """Steps, losses and worths."""
        steps = [(each.factor, each.rival, each.gap.mean, each.gap.half_width, each.is_right) for each in self.steps]
        losses = [(each.name, *each.brings[:2], *each.loses[:2]) for each in self.losses]
        worths = [(each.of, each.within, each.value, each.p_value) for each in self.worths]
        return {
            "still_right": pd.DataFrame(steps, columns=["life", "rival", "gap", "half_width", "is_right"]),
            "losses": pd.DataFrame(
                losses, columns=["policy", "brings", "brings_half_width", "loses", "loses_half_width"]
            ),
            "measure": pd.DataFrame(worths, columns=["of", "known_within", "worth", "p_value"]),
        }


def still_right_words(chosen: str, steps: tuple[Step, ...], unit: str) -> str:
    """How far a policy stays right when all lives are other than assumed.

    Parameters
    ----------
    chosen, unit : str
        The policy, and what its figures are in.
    steps : tuple of Step
        From short lives to long ones, with the assumed lives among them.
    """
    return keep("regret.is", policy=chosen, span=_span_words(steps, unit, quote=True))


def action_words(steps: tuple[Step, ...], unit: str) -> str:
    """How far a change to today's practice stays right, as a sentence of its own.

    Parameters
    ----------
    steps : tuple of Step
        From short lives to long ones, with the assumed lives among them; the rival is today's practice.
    unit : str
        What the gaps are in.
    """
    return keep("regret.span", span=begun(_span_words(steps, unit, quote=False)))


def _span_words(steps: tuple[Step, ...], unit: str, *, quote: bool) -> KeptText:
    """Down to and up to which lives it is right, and what it loses at the ends where it is not."""
    at = next(number for number, each in enumerate(steps) if each.factor == 1.0)
    if not steps[at].is_right:
        return keep("regret.wrong", loss=_loss(steps[at], unit, quote=quote))
    low = high = at
    while low > 0 and steps[low - 1].is_right:
        low -= 1
    while high < len(steps) - 1 and steps[high + 1].is_right:
        high += 1
    words = _range_words(steps[low].factor, steps[high].factor)
    for each in (steps[0], steps[-1]):
        if not each.is_right:
            end = keep("regret.at", factor=each.factor, loss=_loss(each, unit, quote=quote))
            words = keep("regret.but", span=words, end=end)
    return words


def _range_words(low: float, high: float) -> KeptText:
    """Between which lives it is right, 1 being those assumed.

    >>> _range_words(0.8, 2.0)
    'still right down to 0.8 of the assumed lives and up to 2'
    >>> _range_words(0.5, 1.0)
    'still right down to 0.5 of the assumed lives, and not beyond them'
    >>> _range_words(1.0, 2.0)
    'still right at the assumed lives and up to 2 times them, and not below them'
    >>> _range_words(1.0, 1.0)
    'still right at the assumed lives only'
    """
    if low == high:
        return keep("regret.only")
    if low == 1.0:
        return keep("regret.up", high=high)
    return keep("regret.both", low=low, high=high) if high > 1.0 else keep("regret.down", low=low)


def _loss(step: Step, unit: str, *, quote: bool) -> KeptText:
    """What is lost against the rival."""
    lost, width = -step.gap.mean, step.gap.half_width
    if quote:
        return keep("regret.loses", lost=amount(lost, width), unit=unit, rival=step.rival)
    values = {"lost": rounded(lost, width), "half": rounded(width, width), "unit": unit, "rival": step.rival}
    return keep("regret.loses_to", **values)
