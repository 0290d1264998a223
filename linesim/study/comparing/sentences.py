"""The sentences that a comparison comes down to; none of them says more than the data carry."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.comparing.figures import ComparedFigures
from linesim.study.comparing.measures import Measure, measure
from linesim.study.comparing.selection_words import selection_sentences, selection_verdict
from linesim.study.comparing.words import CHANGING, amount, contrast_words, listing, number_word, unlike_words
from linesim.study.statistics.intervals import Interval

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
        yield f"No {answer.noun} shipped a good part in every replication, so that none can be judged."
        return
    if len(answer.names) == 1:
        yield _alone(answer)
        return
    yield f"{_gain(answer, best.policy)}; {_verdict(answer)}."
    for other in answer.names:
        if other != best.policy:
            yield f"{_behind(answer, other, best.policy)}."
    yield from selection_sentences(answer)
    yield from _more_needed(answer)
    yield from _width_reached(answer)


def _alone(answer: ComparedFigures) -> str:
    """One policy has nothing to be set against."""
    name = answer.names[0]
    good = amount(*answer.mean(name, "good_per_hour"))
    alone = f"there is no other {answer.noun} to set it against"
    return f"{_capital(answer.words[name])} gives {good} good parts per hour; {alone}."


def _gain(answer: ComparedFigures, best: str) -> str:
    """What the best one changes against what it would replace; if it is that itself, against the runner-up."""
    other = answer.base if answer.base != best else _runner_up(answer, best)
    clauses = [_clause(answer, best, other, measure(name)) for name in ("good_per_hour", "quality_loss_per_good_part")]
    ours, theirs = _against(answer, best, other)
    return f"{_capital(ours)} instead of {theirs} {' and '.join(clauses)}"


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
    return ours, theirs.removeprefix(CHANGING) if ours.startswith(CHANGING) else theirs


def _clause(answer: ComparedFigures, best: str, other: str, by: Measure) -> str:
    """What the best one changes by one measure, as a predicate."""
    less, half_width, is_apart = _difference(answer, other, best, by)
    gain = 0.0 - less
    if math.isnan(gain):
        return f"leaves {by.words} open, as one of the two shipped nothing in some replication"
    if gain == 0.0 and half_width == 0.0:
        return f"leaves {by.words} exactly as {'they are' if by.name == 'good_per_hour' else 'it is'}"
    if not is_apart and math.isfinite(half_width):
        shown = f"{amount(gain, half_width)}{_unit(answer, by)}"
        return f"makes no difference to {by.words} that can be shown ({shown})"
    figure = amount(abs(gain), half_width)
    if by.name == "good_per_hour":
        return f"gives {figure} {'more' if gain > 0.0 else 'fewer'} good parts per hour"
    return f"{'saves' if gain < 0.0 else 'adds'} {figure} {answer.works.currency} of {by.words}"


def _verdict(answer: ComparedFigures) -> str:
    """How far the data carry the best one."""
    best, count = answer.best, number_word(len(answer.names))
    level = f"{100.0 * answer.confidence:g} % confidence"
    if answer.selection is not None:
        return selection_verdict(answer, count, level)
    if answer.n_replications == 1:
        return f"there is one replication of each, so that no interval and no best of the {count} can be given"
    if best.is_clear:
        return f"best of the {count} by {best.measure.words}, with {level}"
    ahead = f"ahead of the {count} by {best.measure.words}"
    others = listing(list(best.not_significant))
    return f"{ahead}, but after {answer.n_replications} replications not significantly ahead of {others} at {level}"


def _behind(answer: ComparedFigures, other: str, best: str) -> str:
    """One other policy against the best, by the measure that decides."""
    by = answer.best.measure
    apart, half_width, is_apart = _difference(answer, other, best, by)
    if math.isnan(apart):
        return f'"{other}" shipped no good part in some replication, so that it has no {by.words}'
    if apart == 0.0 and half_width == 0.0:
        return f'"{other}" gives exactly the same {by.words} as "{best}"'
    figure = f"{amount(abs(apart), half_width)}{_unit(answer, by)}"
    side = f"{'higher' if apart > 0.0 else 'lower'} than that of"
    text = "" if is_apart or answer.selection or answer.n_replications == 1 else ", which chance alone may explain"
    return f'The {by.words} of "{other}" is {figure} {side} "{best}"{text}'


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
        yield (
            f"If the differences stay as they are, about {max(needed)} replications would show "
            f'"{best.policy}" to be significantly ahead of all the others.'
        )


def _width_reached(answer: ComparedFigures) -> Iterator[str]:
    """Whether the half width that was wanted has been reached."""
    rule = answer.half_width
    if rule is None:
        return
    by, runs = answer.best.measure, answer.n_replications
    wanted = (
        f"{100.0 * (rule.relative or 0.0):g} %" if rule.absolute is None else f"{rule.absolute:g}{_unit(answer, by)}"
    )
    intervals = [Interval(*answer.mean(name, by.name), runs) for name in answer.names]
    looks = f"at whichever of the {number_word(answer.looks)} looks the study ended"
    if rule.is_reached(intervals):
        yield f"After {runs} replications every {by.words} is known to ± {wanted} or better; intervals hold {looks}."
        return
    yield f"{runs} replications, the most allowed, do not bring every {by.words} to a half width of {wanted}."


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
    return f'policy "{name}"'


def _unit(answer: ComparedFigures, by: Measure) -> str:
    """Unit of a measure behind a figure."""
    unit = by.unit.replace("money", answer.works.currency)
    return "" if not unit or unit == "1/h" else f" {unit}"


def _capital(text: str) -> str:
    """The same with a capital at the beginning."""
    return text[:1].upper() + text[1:]
