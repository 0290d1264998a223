"""What a search for the best intervals comes down to, in sentences."""

from __future__ import annotations

from typing import Any

from linesim.study.comparing.measures import Measure
from linesim.study.comparing.said import in_unit, quoted
from linesim.study.comparing.words import amount
from linesim.study.search.common.lever import Lever
from linesim.study.search.intervals.best_figures import BestFigures
from linesim.words import Figure, Joined, figure, keep

__all__ = ["sentences_of"]

_ROUNDING = 0.02
"""An interval rounded to whole parts may lie so much past a life without being past the limit."""


def sentences_of(answer: BestFigures) -> list[str]:
    """The verdict first, then caps, the narrowest flat range, and whether the search has settled.

    Parameters
    ----------
    answer : BestFigures
        As far as the search has come.

    Returns
    -------
    list of str
    """
    text = [_verdict_sentence(answer)]
    for name, limit in answer.goal.caps:
        text.append(_cap_sentence(answer, name, limit))
    widest = [set_at for set_at in answer.sets_at if set_at.key in answer.flat]
    if widest:
        narrow = min(widest, key=lambda set_at: answer.flat[set_at.key].high / answer.flat[set_at.key].low)
        flat = answer.flat[narrow.key]
        text.append(
            keep(
                "search.narrowest", set=narrow.key, low=flat.low, high=flat.high, tolerance=100.0 * answer.tolerance,
                measure=answer.goal.measure.words,
            )
        )  # fmt: skip
    text += [
        keep("search.by_rule", set=set_at.key, rule=answer.rule_words(at))
        for at, set_at in enumerate(answer.sets_at)
        if answer.setting.way(at)
    ]
    text += _lever_sentences(answer)
    text.append(_limit_sentence(answer))
    if answer.over_lives:
        text.append(keep("search.over_lives"))
    if not answer.is_settled:
        text.append(keep("search.ended"))
    return text


def _verdict_sentence(answer: BestFigures) -> str:
    """Found against base."""
    verdict, against = answer.verdict, answer.against
    if verdict is None:
        return keep("search.not_tried", against=against)
    of = answer.goal.measure
    apart = verdict.differences[of.name]
    if apart.mean == 0.0 and apart.half_width == 0.0:
        return keep("search.none_better", against=against)
    count, size = verdict.replications, _amount(answer, of, apart.mean, apart.half_width)
    if not apart.is_apart:
        return keep("search.not_apart", against=against, count=count, measure=of.words, amount=size)
    is_better = apart.mean * answer.goal.sign > 0.0
    return keep(
        "search.better" if is_better else "search.worse", change=_change(answer, apart.mean, apart.half_width),
        against=against, confidence=100.0 * answer.confidence, count=count,
    )  # fmt: skip


def _change(answer: BestFigures, mean: float, half_width: float) -> str:
    """How much more or less of the measure by which is judged."""
    of = answer.goal.measure
    way = "more" if mean > 0.0 else "fewer" if of.name == "good_per_hour" else "less"
    return keep(f"search.{way}", amount=_amount(answer, of, abs(mean), half_width), measure=of.words)


def _amount(answer: BestFigures, of: Measure, mean: float, half_width: float) -> str:
    """A difference with its unit; of a share none is said."""
    shown = amount(mean, half_width)
    return shown if of.unit == "%" else in_unit(shown, of, answer.works.currency)


def _lever_sentences(answer: BestFigures) -> list[str]:
    """What was sought beside the intervals: first what is to be moved, then what is left as it is."""
    rows = list(zip(answer.levers, answer.lever_values.to_dict(orient="records"), strict=True))
    moved = [_lever_sentence(answer, lever, row) for lever, row in rows if row["value"] != row["before"]]
    left = [lever.name for lever, row in rows if row["value"] == row["before"]]
    return [*moved, *([keep("search.levers_left", levers=Joined(left))] if left else [])]


def _lever_sentence(answer: BestFigures, lever: Lever, row: dict[Any, Any]) -> str:
    """What was sought beside the intervals, and within what it hardly matters."""
    best = {"lever": lever.name, "value": lever.shown(row["value"]), "before": lever.shown(row["before"])}
    if row["flat_low"] is None or row["flat_low"] == row["flat_high"]:
        return keep("search.lever_best", **best)
    return keep(
        "search.lever_flat", **best, low=figure(f"{row['flat_low']:g}"), high=lever.shown(row["flat_high"]),
        tolerance=100.0 * answer.tolerance, measure=answer.goal.measure.words,
    )  # fmt: skip


def _limit_sentence(answer: BestFigures) -> str:
    """Whether intervals go past the wear limit, or whether any such was looked at."""
    if max(set_at.most_lives for set_at in answer.sets_at) <= 1.0:
        return keep("search.within_limit")
    pairs = zip(answer.sets_at, answer.setting.parts, strict=True)
    past = [
        set_at.key
        for at, (set_at, parts) in enumerate(pairs)
        if not answer.setting.way(at) and parts > (1.0 + _ROUNDING) * set_at.parts_per_life
    ]
    return keep("search.past_limit", sets=quoted(past)) if past else keep("search.none_past_limit")


def _cap_sentence(answer: BestFigures, name: str, limit: float) -> str:
    """Whether a cap holds."""
    of = answer.goal.capped(name)
    factor, currency = 100.0 if of.is_share else 1.0, answer.works.currency
    most: Figure = figure(f"{factor * limit:g}")
    cap = {"measure": of.words, "cap": in_unit(most, of, currency)}
    if answer.verdict is None:
        return keep("search.cap", **cap)
    mean = answer.verdict.best[name]
    cap["shown"] = in_unit(amount(factor * mean.mean, factor * mean.half_width), of, currency)
    way = "cap_kept" if mean.high <= limit else "cap_not_kept" if mean.low > limit else "cap_open"
    return keep(f"search.{way}", **cap)
