"""What a routing study comes down to, in sentences: the answer, quality, minutes, the line, what would change it."""

from __future__ import annotations

import math
from typing import NamedTuple

from linesim.routing.breakeven import Even
from linesim.routing.figures import Made, RoutingFigures
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
    others = answer.made[1:]
    told = [verdict_sentence(answer), certainty_sentence(answer)]
    for made in others:
        told += [quality_sentence(answer, made), line_sentence(answer, made), *even_sentences(answer, made)]
    told += [text for made in answer.made if (text := drawing_sentence(answer, made))]
    return [*told, *problem_sentences(answer)]


def verdict_sentence(answer: RoutingFigures, purse: Purse | None = None) -> str:
    """Which variant is best by the measure that decides, if the data carry one; money as the reader counts it."""
    leader, measure = answer.leader, answer.measure
    count = number_word(len(answer.made))
    currency, factor = purse or Purse(answer.currency)
    unit = measure.unit.replace("money", currency)
    if not answer.is_clear:
        tied = listing([leader.variant.name, *answer.not_told_apart])
        return f"By {measure.words} the runs do not tell {tied} apart; none of the {count} variants is named best."
    others = [made for made in answer.made if made is not leader]
    gaps = [(answer.difference(leader, made, measure.name), made) for made in others]
    gap, next_best = min(gaps, key=lambda pair: abs(pair[0].mean))
    more = "more" if gap.mean > 0.0 else "less"
    size = amount(factor * abs(gap.mean), factor * gap.half_width)
    told = (
        f'"{leader.variant.name}" is best of the {count} variants by {measure.words}: '
        f'{size} {unit} {more} than "{next_best.variant.name}", the next.'
    )
    return told if answer.holds_drawing(leader) else f"{told} But {_not_held(answer, leader)}{_held(answer)}"


def _not_held(answer: RoutingFigures, made: Made) -> str:
    """That a variant does not hold the drawing."""
    least, whose = answer.least_cpk(made)
    return f"it does not hold the drawing ({whose}: Cpk {least:.2f})"


def _held(answer: RoutingFigures) -> str:
    """Which of the variants that hold the drawing is best."""
    able = [made for made in answer.made if answer.holds_drawing(made)]
    if not able:
        return ", and no other one does."
    sign = 1.0 if answer.measure.is_more_better else -1.0
    best = max(able, key=lambda made: sign * float(made.sample.values(answer.measure.name).mean()))
    ties = [
        made.variant.name
        for made in able
        if made is not best and not answer.difference(made, best, answer.measure.name).is_apart
    ]
    if ties:
        return f"; among those that do, {listing([best.variant.name, *ties])} are not told apart."
    return f'; among those that do, "{best.variant.name}" is best.'


def drawing_sentence(answer: RoutingFigures, made: Made) -> str:
    """Whether a variant holds the drawing; empty if it does."""
    return "" if answer.holds_drawing(made) else f'"{made.variant.name}": {_not_held(answer, made)}.'


def certainty_sentence(answer: RoutingFigures) -> str:
    """How sure that is."""
    level = f"{100.0 * answer.confidence:g} %"
    return (
        f"Every variant was run {answer.n_replications} times on the same castings, edges and breakdowns, with change "
        f"intervals sought for it alone on other runs; differences are paired, and all intervals against one variant "
        f"hold together with {level} confidence."
    )


def quality_sentence(answer: RoutingFigures, made: Made, purse: Purse | None = None) -> str:
    """What a variant does to quality loss and minutes, against the first; money as the reader counts it."""
    first = answer.made[0]
    loss = answer.difference(made, first, "quality_loss_per_good_part")
    minutes = made.content.cut_min - first.content.cut_min
    spent = (
        f"takes {abs(minutes):.2f} min {'more' if minutes > 0.0 else 'less'} of cutting per part"
        if abs(minutes) >= 0.005
        else "takes the same cutting minutes"
    )
    unit, factor = purse or Purse(answer.currency)
    mean, width = factor * loss.mean, factor * loss.half_width
    if math.isnan(loss.mean):
        found = "nothing was shipped whose quality loss could be told"
    elif not loss.is_apart:
        found = f"no difference of quality loss is shown ({amount(mean, width)} {unit} per part)"
    else:
        found = f"quality loss is {amount(abs(mean), width)} {unit} per part "
        found += "higher" if loss.mean > 0.0 else "lower"
    return f'"{made.variant.name}" {spent} than "{first.variant.name}", and {found}.'.replace(
        "the same cutting minutes than", "the same cutting minutes as"
    )


def line_sentence(answer: RoutingFigures, made: Made) -> str:
    """What a variant does to the line's output, and whether it comes out of time that was there to spare."""
    first = answer.made[0]
    output = answer.difference(made, first, "good_per_hour")
    size = f'{amount(output.mean, output.half_width)} good parts per hour against "{first.variant.name}"'
    slower, faster = _ordered(made, first)
    idle = answer.idle_share(slower)
    where = _operations(slower)
    if output.is_apart:
        moved = "rises" if output.mean > 0.0 else "falls"
        holding = made.sample.constraint(answer.variants.line)
        tail = f"; {holding} holds the line back then" if holding in made.content.operations else ""
        return f'With "{made.variant.name}" the line\'s output {moved}: {size}{tail}.'
    bound = f"no fall or rise of the line's output is shown: {size}"
    told = f'Between "{made.variant.name}" and "{first.variant.name}" {bound}.'
    if math.isnan(idle) or idle <= _SPARE or slower.content.cut_min <= faster.content.cut_min:
        return told
    have = "has" if len(slower.content.operations) == 1 else "have"
    share = f'waiting or held up {100.0 * idle:.0f} % of the time or more with "{slower.variant.name}"'
    return f"{told} {where} {have} time to spare ({share}), so the longer cuts cost the line nothing that shows."


def even_sentences(answer: RoutingFigures, made: Made) -> list[str]:
    """At which quality-loss factor, volume and worth of an hour a variant and the first one would be even."""
    first = f'"{answer.made[0].variant.name}"'
    own = f'"{made.variant.name}"'
    told = [_loss_words(own, first, answer.even_loss(made))]
    volume = answer.even_volume(made)
    if not math.isnan(volume):
        told.append(f"{own} and {first} are even where {volume:.2f} good parts per hour can be sold.")
    rate = answer.even_rate(made)
    if rate.is_bounded and rate.low > 0.0:
        told.append(
            f"{own} and {first} are even if an hour of each machine that one of them has more cost "
            f"{_range(rate)} {answer.currency}, operators included."
        )
    hour = answer.even_hour(made)
    if hour.is_bounded and hour.low > 0.0:
        told.append(
            f"{own} and {first} are even if an hour of these machines could earn "
            f"{_range(hour)} {answer.currency} elsewhere."
        )
    return told


def problem_sentences(answer: RoutingFigures) -> list[str]:
    """What single runs found wrong, variant by variant."""
    return [f'"{made.variant.name}": {text}' for made in answer.made for text in made.sample.problems]


def _loss_words(own: str, first: str, even: Even) -> str:
    """The weight of quality loss that makes two variants even."""
    if math.isnan(even.value) or (not even.is_bounded and even.n > 1):
        return f"{own} and {first}: their quality losses are not told apart, so no loss factor makes them even."
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


def _ordered(one: Made, other: Made) -> tuple[Made, Made]:
    """The one with more cutting minutes first."""
    return (one, other) if one.content.cut_min >= other.content.cut_min else (other, one)


def _operations(made: Made) -> str:
    """Its operations, by name."""
    names = made.content.operations or ("no operation",)
    return names[0] if len(names) == 1 else " and ".join([", ".join(names[:-1]), names[-1]])
