"""The sentences that a comparison comes down to; none of them says more than the data carry."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.comparing.figures import ComparedFigures
from linesim.study.comparing.measures import Measure, measure
from linesim.study.comparing.selection_words import selection_sentences, selection_verdict
from linesim.study.comparing.words import (
    CHANGING,
    amount,
    contrast_words,
    instead_of,
    listing,
    noun_words,
    number_said,
    unlike_words,
)
from linesim.study.statistics.intervals import Interval
from linesim.words import begun, figure, keep

__all__ = ["sentences_of"]

_MOST_WORTH_SAYING = 100_000


def sentences_of(answer: ComparedFigures) -> Iterator[str]:
    """The verdict, each other policy against the best, and what the figures stand on.

    Parameters
    ----------
    answer : ComparedFigures
        With its tables.

    Yields
    ------
    str
    """
    best = answer.best
    if best.policy is None:
        yield keep("verdict.none", noun=noun_words(answer.noun))
        return
    if len(answer.names) == 1:
        yield _alone(answer)
        return
    yield keep("verdict.first", gain=_gain(answer, best.policy), verdict=_verdict(answer))
    for other in answer.names:
        if other != best.policy:
            yield keep("verdict.sentence", text=_behind(answer, other, best.policy))
    yield from selection_sentences(answer)
    yield from _more_needed(answer)
    yield from _width_reached(answer)


def _alone(answer: ComparedFigures) -> str:
    """One policy has nothing to be set against."""
    name = answer.names[0]
    good = amount(*answer.mean(name, "good_per_hour"))
    return keep("verdict.alone", policy=begun(answer.words[name]), good=good, noun=noun_words(answer.noun))


def _gain(answer: ComparedFigures, best: str) -> str:
    """What the best one changes against what it would replace; if it is that itself, against the runner-up."""
    other = answer.base if answer.base != best else _runner_up(answer, best)
    clauses = [_clause(answer, best, other, measure(name)) for name in ("good_per_hour", "quality_loss_per_good_part")]
    ours, theirs = _against(answer, best, other)
    return keep("verdict.gain", ours=begun(ours), theirs=theirs, first=clauses[0], second=clauses[1])


def _against(answer: ComparedFigures, best: str, other: str) -> tuple[str, str]:
    """Two of them in words, the second as it follows "instead of"."""
    policies = {each.name: each.works.policies[each.policy] for each in answer.compared}
    ours, theirs = _words_of(answer, best), _words_of(answer, other)
    if len({id(each.works) for each in answer.compared}) == 1:
        contrast = contrast_words(policies[best], policies[other])
        if contrast is not None:
            return contrast
        if not {ours, theirs} & {_by_name(best), _by_name(other)}:
            ours, theirs = unlike_words(policies[best], policies[other])
    return ours, instead_of(theirs) if ours.startswith(CHANGING) else theirs


def _clause(answer: ComparedFigures, best: str, other: str, by: Measure) -> str:
    """What the best one changes by one measure, as a predicate."""
    less, half_width, is_apart = _difference(answer, other, best, by)
    gain = 0.0 - less
    if math.isnan(gain):
        return keep("verdict.left_open", what=by.words)
    if gain == 0.0 and half_width == 0.0:
        return keep("verdict.as_they_are" if by.name == "good_per_hour" else "verdict.as_it_is", what=by.words)
    if not is_apart and math.isfinite(half_width):
        return keep("verdict.no_difference", what=by.words, shown=_with_unit(answer, by, amount(gain, half_width)))
    size = amount(abs(gain), half_width)
    if by.name == "good_per_hour":
        return keep("verdict.more" if gain > 0.0 else "verdict.fewer", amount=size)
    key = "verdict.saves" if gain < 0.0 else "verdict.adds"
    return keep(key, amount=size, currency=answer.works.currency, what=by.words)


def _verdict(answer: ComparedFigures) -> str:
    """How far the data carry the best one."""
    best, count = answer.best, number_said(len(answer.names))
    level = keep("verdict.level", percent=100.0 * answer.confidence)
    if answer.selection is not None:
        return selection_verdict(answer, count, level)
    if answer.n_replications == 1:
        return keep("verdict.one_replication", of=count)
    if best.is_clear:
        return keep("verdict.clear", of=count, what=best.measure.words, level=level)
    return keep(
        "verdict.open", of=count, what=best.measure.words, runs=answer.n_replications,
        others=listing(list(best.not_significant)), level=level,
    )  # fmt: skip


def _behind(answer: ComparedFigures, other: str, best: str) -> str:
    """One other policy against the best, by the measure that decides."""
    by = answer.best.measure
    apart, half_width, is_apart = _difference(answer, other, best, by)
    if math.isnan(apart):
        return keep("verdict.nothing_shipped", policy=other, what=by.words)
    if apart == 0.0 and half_width == 0.0:
        return keep("verdict.the_same", policy=other, what=by.words, best=best)
    size = _with_unit(answer, by, amount(abs(apart), half_width))
    key = "verdict.higher" if apart > 0.0 else "verdict.lower"
    text = keep(key, what=by.words, policy=other, amount=size, best=best)
    is_settled = is_apart or answer.selection or answer.n_replications == 1
    return text if is_settled else keep("verdict.by_chance", text=text)


def _more_needed(answer: ComparedFigures) -> Iterator[str]:
    """About how many replications would tell the best apart from those it is not yet told apart from."""
    best = answer.best
    if answer.n_replications < 2 or answer.selection or best.is_clear or best.policy is None:
        return
    needed = []
    for other in best.not_significant:
        apart, half_width, _ = _difference(answer, other, best.policy, best.measure)
        if apart != 0.0 and math.isfinite(half_width):
            needed.append(_rounded_up(answer.n_replications * (half_width / apart) ** 2))
    if needed and max(needed) <= _MOST_WORTH_SAYING:
        yield keep("verdict.more_needed", runs=max(needed), best=best.policy)


def _width_reached(answer: ComparedFigures) -> Iterator[str]:
    """Whether the half width that was wanted has been reached."""
    rule = answer.half_width
    if rule is None:
        return
    by, runs = answer.best.measure, answer.n_replications
    wanted = (
        keep("verdict.percent", percent=100.0 * (rule.relative or 0.0))
        if rule.absolute is None
        else _with_unit(answer, by, figure(f"{rule.absolute:g}"))
    )
    intervals = [Interval(*answer.mean(name, by.name), runs) for name in answer.names]
    if rule.is_reached(intervals):
        yield keep("verdict.width", runs=runs, what=by.words, wanted=wanted, looks=number_said(answer.looks))
        return
    yield keep("verdict.width_missed", runs=runs, what=by.words, wanted=wanted)


def _rounded_up(count: float) -> int:
    """A number of replications, with no more figures than such a guess deserves."""
    step = 10 ** max(0, len(str(math.ceil(count))) - 2)
    return int(math.ceil((count + 1) / step) * step)


def _runner_up(answer: ComparedFigures, best: str) -> str:
    """The other policy nearest to the best by the measure that decides; any without a figure comes last."""
    others = [name for name in answer.names if name != best]

    def distance(name: str) -> float:
        apart = abs(_difference(answer, name, best, answer.best.measure)[0])
        return math.inf if math.isnan(apart) else apart

    return min(others, key=distance)


def _difference(answer: ComparedFigures, policy: str, against: str, by: Measure) -> tuple[float, float, bool]:
    """Mean, half width and verdict of one paired difference."""
    table = answer.differences
    row = table[(table["policy"] == policy) & (table["against"] == against) & (table["measure"] == by.name)].iloc[0]
    return float(row["mean"]), float(row["half_width"]), bool(row["is_apart"])


def _words_of(answer: ComparedFigures, name: str) -> str:
    """A policy in words, or by its name where the words do not tell it from another."""
    words = answer.words
    return words[name] if list(words.values()).count(words[name]) == 1 else _by_name(name)


def _by_name(name: str) -> str:
    return keep("verdict.by_name", policy=name)


def _with_unit(answer: ComparedFigures, by: Measure, shown: str) -> str:
    """A figure with the unit of its measure behind it."""
    unit = by.unit.replace("money", answer.works.currency)
    return shown if not unit or unit == "1/h" else keep("verdict.with_unit", amount=shown, unit=unit)
