"""What a trial has come to, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from linesim.study.trial.afterwards import Judged, ReadBack
from linesim.study.trial.figures import BAND
from linesim.words import begun, figure, keep

__all__ = ["after_sentences", "judged_words"]


def after_sentences(of: ReadBack) -> Iterator[str]:
    """The verdict, then quantity by quantity, then what nobody wrote down."""
    yield _verdict(of)
    for each in of.judged:
        yield judged_words(each, of.weeks_done)
    outside = sum(each.where != "inside" for each in of.judged)
    if outside and of.verdict != "not carried out":
        yield keep("answered.by_chance", count=len(of.judged), share=100.0 * (1.0 - BAND ** len(of.judged)))
    missing = [keep(f"quantities.{each.name}") for each in of.missing]
    if missing:
        yield keep("answered.missing", names=missing)
    if of.left_out:
        yield keep("answered.left_out", count=of.left_out)
    if of.records.asides:
        yield keep("answered.aside", count=len(of.records.asides))


def judged_words(each: Judged, weeks: int) -> str:
    """One quantity in words."""
    digits, is_total = each.of.decimals, each.of.is_total
    expected, low, high = (figure(f"{value:.{digits}f}") for value in (each.expected, each.low, each.high))
    seen = figure(f"{each.seen:.{0 if is_total else digits}f}")
    return keep(
        "answered.judged_worse" if each.is_worse else "answered.judged",
        what=begun(keep(f"quantities.{each.of.name}")),
        over=keep("answered.over_weeks", count=weeks) if is_total else keep("answered.over_readings", count=each.count),
        seen=keep("answered.with_unit", figure=seen, unit=each.of.unit) if each.of.unit else seen,
        expected=expected, low=low, high=high, answer=keep(f"answered.as_{each.where}"),
    )  # fmt: skip


def _verdict(of: ReadBack) -> str:
    trial, verdict = of.trial, of.verdict
    match verdict:
        case "keep":
            return keep("answered.keep", count=trial.interval)
        case "undecided":
            return keep("answered.undecided")
        case "go on":
            return keep("answered.go_on", done=of.weeks_done, count=trial.n_weeks)
        case "find out":
            worse = [keep(f"quantities.{each.of.name}") for each in of.judged if each.is_worse]
            return keep("answered.find_out", names=worse)
        case "back":
            if of.was_stopped:
                return keep("answered.stopped", count=trial.stop.broken, within=trial.stop.within)
            return keep("answered.back")
        case "not carried out":
            return keep("answered.not_carried_out", count=trial.interval)
        case "no records":
            return keep("answered.no_records", set=trial.set_at.key)
        case _:
            assert_never(verdict)
