"""What a routing study comes down to, in sentences: the answer, quality, minutes, the line, what would change it."""

from __future__ import annotations

import math
from typing import NamedTuple

from linesim.routing.breakeven import Even
from linesim.routing.figures import RoutingFigures, Tried
from linesim.study.comparing.words import amount, listing, number_word

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
    count = number_word(len(answer.tried))
    currency, factor = purse or Purse(answer.currency)
    unit = measure.unit.replace("money", currency)
    if not answer.is_clear:
        tied = listing([leader.variant.name, *answer.not_significant])
        return f"By {measure.words} {tied} do not differ significantly; none of the {count} variants is named best."
    others = [built for built in answer.tried if built is not leader]
    gaps = [(answer.difference(leader, built, measure.name), built) for built in others]
    gap, next_best = min(gaps, key=lambda pair: abs(pair[0].mean))
    more = "more" if gap.mean > 0.0 else "less"
    size = amount(factor * abs(gap.mean), factor * gap.half_width)
    text = (
        f'"{leader.variant.name}" is best of the {count} variants by {measure.words}: '
        f'{size} {unit} {more} than "{next_best.variant.name}", the next.'
    )
    return text if answer.holds_drawing(leader) else f"{text} But {_not_held(answer, leader)}{_held(answer)}"


def _not_held(answer: RoutingFigures, built: Tried) -> str:
    """That a variant does not hold the drawing."""
    least, whose = answer.least_cpk(built)
    return f"it does not hold the drawing ({whose}: Cpk {least:.2f})"


def _held(answer: RoutingFigures) -> str:
    """Which of the variants that hold the drawing is best."""
    able = [built for built in answer.tried if answer.holds_drawing(built)]
    if not able:
        return ", and no other one does."
    sign = 1.0 if answer.measure.is_more_better else -1.0
    best = max(able, key=lambda built: sign * float(built.sample.values(answer.measure.name).mean()))
    ties = [
        built.variant.name
        for built in able
        if built is not best and not answer.difference(built, best, answer.measure.name).is_apart
    ]
    if ties:
        return f"; among those that do, {listing([best.variant.name, *ties])} do not differ significantly."
    return f'; among those that do, "{best.variant.name}" is best.'


def drawing_sentence(answer: RoutingFigures, built: Tried) -> str:
    """Whether a variant holds the drawing; empty if it does."""
    return "" if answer.holds_drawing(built) else f'"{built.variant.name}": {_not_held(answer, built)}.'


def certainty_sentence(answer: RoutingFigures) -> str:
    """How sure that is."""
    level = f"{100.0 * answer.confidence:g} %"
    return (
        f"Every variant was run {answer.n_replications} times on the same castings, edges and breakdowns, with change "
        f"intervals sought for it alone on other runs; differences are paired, and all intervals against one variant "
        f"hold together with {level} confidence."
    )


def quality_sentence(answer: RoutingFigures, built: Tried, purse: Purse | None = None) -> str:
    """What a variant does to quality loss and minutes, against the first; money as the reader counts it."""
    first = answer.tried[0]
    loss = answer.difference(built, first, "quality_loss_per_good_part")
    minutes = built.content.cut_min - first.content.cut_min
    spent = (
        f"takes {abs(minutes):.2f} min {'more' if minutes > 0.0 else 'less'} of cutting per part"
        if abs(minutes) >= 0.005
        else "takes the same cutting minutes"
    )
    unit, factor = purse or Purse(answer.currency)
    mean, width = factor * loss.mean, factor * loss.half_width
    if math.isnan(loss.mean):
        result = "nothing was shipped whose quality loss could be told"
    elif not loss.is_apart:
        result = f"no difference of quality loss is shown ({amount(mean, width)} {unit} per part)"
    else:
        result = f"quality loss is {amount(abs(mean), width)} {unit} per part "
        result += "higher" if loss.mean > 0.0 else "lower"
    return f'"{built.variant.name}" {spent} than "{first.variant.name}", and {result}.'.replace(
        "the same cutting minutes than", "the same cutting minutes as"
    )


def line_sentence(answer: RoutingFigures, built: Tried) -> str:
    """What a variant does to the line's output, and whether it comes out of time that was there to spare."""
    first = answer.tried[0]
    output = answer.difference(built, first, "good_per_hour")
    size = f'{amount(output.mean, output.half_width)} good parts per hour against "{first.variant.name}"'
    slower, faster = _ordered(built, first)
    idle = answer.idle_share(slower)
    where = _operations(slower)
    if output.is_apart:
        moved = "rises" if output.mean > 0.0 else "falls"
        holding = built.sample.constraint(answer.variants.line)
        tail = f"; {holding} holds the line back then" if holding in built.content.operations else ""
        return f'With "{built.variant.name}" the line\'s output {moved}: {size}{tail}.'
    bound = f"no fall or rise of the line's output is shown: {size}"
    text = f'Between "{built.variant.name}" and "{first.variant.name}" {bound}.'
    if math.isnan(idle) or idle <= _SPARE or slower.content.cut_min <= faster.content.cut_min:
        return text
    have = "has" if len(slower.content.operations) == 1 else "have"
    share = f'waiting or held up {100.0 * idle:.0f} % of the time or more with "{slower.variant.name}"'
    return f"{text} {where} {have} time to spare ({share}), so the longer cuts cost the line nothing that shows."


def even_sentences(answer: RoutingFigures, built: Tried) -> list[str]:
    """At which quality-loss factor, volume and worth of an hour a variant and the first one would be even."""
    first = f'"{answer.tried[0].variant.name}"'
    own = f'"{built.variant.name}"'
    text = [_loss_words(own, first, answer.even_loss(built))]
    volume = answer.even_volume(built)
    if not math.isnan(volume):
        text.append(f"{own} and {first} are even where {volume:.2f} good parts per hour can be sold.")
    rate = answer.even_rate(built)
    if rate.is_bounded and rate.low > 0.0:
        text.append(
            f"{own} and {first} are even if an hour of each machine that one of them has more cost "
            f"{_range(rate)} {answer.currency}, operators included."
        )
    hour = answer.even_hour(built)
    if hour.is_bounded and hour.low > 0.0:
        text.append(
            f"{own} and {first} are even if an hour of these machines could earn "
            f"{_range(hour)} {answer.currency} elsewhere."
        )
    return text


def problem_sentences(answer: RoutingFigures) -> list[str]:
    """What single runs found wrong, variant by variant."""
    return [f'"{built.variant.name}": {text}' for built in answer.tried for text in built.sample.problems]


def _loss_words(own: str, first: str, even: Even) -> str:
    """The weight of quality loss that makes two variants even."""
    if math.isnan(even.value) or (not even.is_bounded and even.n > 1):
        return (
            f"{own} and {first}: their quality losses do not differ significantly, so no loss factor makes them even."
        )
    if even.low <= 0.0 < even.high:
        return f"{own} and {first}: the runs do not carry a quality-loss factor at which they would be even."
    if even.value <= 0.0:
        return f"{own} and {first}: no weight of quality loss, from nothing up, changes which of them is ahead."
    return f"{own} and {first} are even if every quality-loss factor were {_range(even)} times that of the scenario."


def _range(even: Even) -> str:
    """A break-even with its interval."""
    if not even.is_bounded:
        return f"{even.value:.2f} (its interval has no end)"
    return f"{even.value:.2f} ({even.low:.2f} to {even.high:.2f})"


def _ordered(one: Tried, other: Tried) -> tuple[Tried, Tried]:
    """The one with more cutting minutes first."""
    return (one, other) if one.content.cut_min >= other.content.cut_min else (other, one)


def _operations(built: Tried) -> str:
    """Its operations, by name."""
    names = built.content.operations or ("no operation",)
    return names[0] if len(names) == 1 else " and ".join([", ".join(names[:-1]), names[-1]])
