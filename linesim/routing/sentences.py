"""What a routing study comes down to, in sentences: the answer, quality, minutes, the line, what would change it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from linesim.routing.breakeven import Even
from linesim.routing.figures import RoutingFigures, Tried
from linesim.study.comparing.words import amount, number_said
from linesim.words import Joined, figure, keep

__all__ = [
    "Purse",
    "certainty_sentence",
    "drawing_sentence",
    "even_sentences",
    "line_sentence",
    "problem_sentences",
    "quality_sentence",
    "sentences_of",
    "verdict_sentence",
]


class Purse(NamedTuple):
    """Currency of the reader, and how much of it one of the scenario's is."""

    currency: str
    per_unit: float = 1.0


_SEEN_MIN = 0.005
"""Cutting minutes a part that are told from none."""
_SPARE = 0.10
"""A machine that waits or is held up for more of its time than this has minutes to spare (common practice)."""


def sentences_of(answer: RoutingFigures) -> list[str]:
    """All sentences, the verdict first.

    Parameters
    ----------
    answer : RoutingFigures
        What was found.

    Returns
    -------
    list of str
    """
    others = answer.tried[1:]
    sentence = [verdict_sentence(answer), certainty_sentence(answer)]
    for built in others:
        sentence += [quality_sentence(answer, built), line_sentence(answer, built), *even_sentences(answer, built)]
    sentence += [text for built in answer.tried if (text := drawing_sentence(answer, built))]
    return [*sentence, *problem_sentences(answer)]


def verdict_sentence(answer: RoutingFigures, purse: Purse | None = None) -> str:
    """Which variant is best by the measure that decides, if the data carry one; money as the reader counts it."""
    leader, measure = answer.leader, answer.measure
    count = number_said(len(answer.tried))
    by = keep(f"measures.{measure.name}")
    if not answer.is_clear:
        tied = [_quoted(name) for name in (leader.variant.name, *answer.not_significant)]
        return keep("justify.open", by=by, variants=Joined(tied), number=count)
    others = [built for built in answer.tried if built is not leader]
    gaps = [(answer.difference(leader, built, measure.name), built) for built in others]
    gap, next_best = min(gaps, key=lambda pair: abs(pair[0].mean))
    currency, factor = purse or Purse(answer.currency)
    best = keep(
        "justify.best_more" if gap.mean > 0.0 else "justify.best_less",
        variant=leader.variant.name, number=count, by=by, next=next_best.variant.name,
        size=amount(factor * abs(gap.mean), factor * gap.half_width), unit=measure.unit.replace("money", currency),
    )  # fmt: skip
    return best if answer.holds_drawing(leader) else _but_not_held(answer, leader, best)


def _quoted(name: str) -> str:
    return keep("justify.quoted", name=name)


def _but_not_held(answer: RoutingFigures, leader: Tried, best: str) -> str:
    """That the best variant does not hold the drawing, and which of those that hold it is best."""
    least, whose = answer.least_cpk(leader)
    able = [built for built in answer.tried if answer.holds_drawing(built)]
    if not able:
        return keep("justify.but_none_held", best=best, whose=whose, cpk=least)
    sign = 1.0 if answer.measure.is_more_better else -1.0
    first = max(able, key=lambda built: sign * float(built.sample.values(answer.measure.name).mean()))
    ties = [
        built.variant.name
        for built in able
        if built is not first and not answer.difference(built, first, answer.measure.name).is_apart
    ]
    if ties:
        tied = Joined(_quoted(name) for name in (first.variant.name, *ties))
        return keep("justify.but_held_open", best=best, whose=whose, cpk=least, variants=tied)
    return keep("justify.but_held", best=best, whose=whose, cpk=least, variant=first.variant.name)


def drawing_sentence(answer: RoutingFigures, built: Tried) -> str:
    """Whether a variant holds the drawing; empty if it does."""
    if answer.holds_drawing(built):
        return ""
    least, whose = answer.least_cpk(built)
    return keep("justify.not_held", variant=built.variant.name, whose=whose, cpk=least)


def certainty_sentence(answer: RoutingFigures) -> str:
    """How sure that is."""
    return keep("justify.certainty", count=answer.n_replications, level=figure(f"{100.0 * answer.confidence:g}"))


def quality_sentence(answer: RoutingFigures, built: Tried, purse: Purse | None = None) -> str:
    """What a variant does to quality loss and minutes, against the first; money as the reader counts it."""
    first = answer.tried[0]
    loss = answer.difference(built, first, "quality_loss_per_good_part")
    minutes = built.content.cut_min - first.content.cut_min
    spent = "same" if abs(minutes) < _SEEN_MIN else "more" if minutes > 0.0 else "less"
    unit, factor = purse or Purse(answer.currency)
    mean, width = factor * loss.mean, factor * loss.half_width
    if math.isnan(loss.mean):
        result = keep("justify.loss_untold")
    elif not loss.is_apart:
        result = keep("justify.loss_open", amount=amount(mean, width), unit=unit)
    else:
        key = "justify.loss_higher" if loss.mean > 0.0 else "justify.loss_lower"
        result = keep(key, amount=amount(abs(mean), width), unit=unit)
    return keep(
        f"justify.spends_{spent}", variant=built.variant.name, first=first.variant.name, minutes=abs(minutes),
        result=result,
    )  # fmt: skip


def line_sentence(answer: RoutingFigures, built: Tried) -> str:
    """What a variant does to the line's output, and whether it comes out of time that was there to spare."""
    first = answer.tried[0]
    output = answer.difference(built, first, "good_per_hour")
    size = amount(output.mean, output.half_width)
    names = {"variant": built.variant.name, "first": first.variant.name, "size": size}
    slower, faster = _ordered(built, first)
    if output.is_apart:
        way = "rises" if output.mean > 0.0 else "falls"
        holding = built.sample.constraint(answer.variants.line)
        if holding in built.content.operations:
            return keep(f"justify.line_{way}_held", holding=holding, **names)
        return keep(f"justify.line_{way}", **names)
    idle = answer.idle_share(slower)
    if math.isnan(idle) or idle <= _SPARE or slower.content.cut_min <= faster.content.cut_min:
        return keep("justify.line_same", **names)
    operations = slower.content.operations or (keep("justify.no_operation"),)
    return keep(
        "justify.line_spare", count=len(operations), operations=Joined(operations), share=idle,
        slower=slower.variant.name, **names,
    )  # fmt: skip


def even_sentences(answer: RoutingFigures, built: Tried) -> list[str]:
    """At which quality-loss factor, volume and worth of an hour a variant and the first one would be even."""
    names = {"variant": built.variant.name, "first": answer.tried[0].variant.name}
    text = [_loss_words(names, answer.even_loss(built))]
    volume = answer.even_volume(built)
    if not math.isnan(volume):
        text.append(keep("justify.even_volume", parts=volume, **names))
    rate = answer.even_rate(built)
    if rate.is_bounded and rate.low > 0.0:
        text.append(keep("justify.even_rate", range=_range(rate), currency=answer.currency, **names))
    hour = answer.even_hour(built)
    if hour.is_bounded and hour.low > 0.0:
        text.append(keep("justify.even_hour", range=_range(hour), currency=answer.currency, **names))
    return text


def problem_sentences(answer: RoutingFigures) -> list[str]:
    """What single runs found wrong, variant by variant."""
    return [
        keep("justify.problem", variant=built.variant.name, text=text)
        for built in answer.tried
        for text in built.sample.problems
    ]


def _loss_words(names: Mapping[str, str], even: Even) -> str:
    """The weight of quality loss that makes two variants even."""
    if math.isnan(even.value) or (not even.is_bounded and even.n > 1):
        return keep("justify.even_loss_same", **names)
    if even.low <= 0.0 < even.high:
        return keep("justify.even_loss_open", **names)
    if even.value <= 0.0:
        return keep("justify.even_loss_never", **names)
    return keep("justify.even_loss", range=_range(even), **names)


def _range(even: Even) -> str:
    """A break-even with its interval."""
    if not even.is_bounded:
        return keep("justify.range_open", value=even.value)
    return keep("justify.range", value=even.value, low=even.low, high=even.high)


def _ordered(one: Tried, other: Tried) -> tuple[Tried, Tried]:
    """The one with more cutting minutes first."""
    return (one, other) if one.content.cut_min >= other.content.cut_min else (other, one)
