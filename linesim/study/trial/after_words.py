"""What a trial has come to, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from linesim.study.trial.afterwards import Judged, ReadBack
from linesim.study.trial.figures import BAND

__all__ = ["after_sentences", "judged_words"]


def after_sentences(of: ReadBack) -> Iterator[str]:
    """The verdict, then quantity by quantity, then what nobody wrote down."""
    yield _verdict(of)
    for each in of.judged:
        yield judged_words(each, of.weeks_done)
    outside = sum(each.where != "inside" for each in of.judged)
    if outside and of.verdict != "not carried out":
        chance = 1.0 - BAND ** len(of.judged)
        yield (
            f"Of {len(of.judged)} quantities that are all as foretold, one or more lie outside in {100.0 * chance:.0f} "
            "of 100 trials."
        )
    missing = [each.words for each in of.missing]
    if missing:
        yield f"Not written down, and so not answered: {', '.join(missing)}."
    if of.left_out:
        yield f"{of.left_out} rows lie before or after the trial, or have no date, and do not count."
    if of.records.asides:
        yield f"{len(of.records.asides)} rows of the files are set aside or remarked on; linesim records lists them."


def judged_words(each: Judged, weeks: int) -> str:
    """One quantity in words."""
    digits, unit = each.of.decimals, f" {each.of.unit}" if each.of.unit else ""
    seen = f"{each.seen:.{0 if each.of.is_total else digits}f}{unit}"
    over = f"in {weeks} week{'s' if weeks != 1 else ''}" if each.of.is_total else f"mean of {each.count}"
    band = f"{each.expected:.{digits}f}, band {each.low:.{digits}f} to {each.high:.{digits}f}"
    answer = {
        "inside": "as foretold",
        "above": "more than foretold",
        "below": "less than foretold",
    }[each.where]
    harm = ", on the side that harms" if each.is_worse else ""
    return f"{each.of.words[:1].upper()}{each.of.words[1:]}, {over}: {seen}; foretold {band}: {answer}{harm}."


def _verdict(of: ReadBack) -> str:
    trial, verdict = of.trial, of.verdict
    match verdict:
        case "keep":
            return f"Keep the new interval: the trial did what was foretold. {trial.interval} parts, with a new card."
        case "undecided":
            return (
                "The trial did what was foretold, but what it brings in money cannot be told from nothing: keep it "
                "only if something else speaks for it."
            )
        case "go on":
            return (
                f"Go on with the trial: {of.weeks_done} of {trial.n_weeks} weeks are written down, and nothing lies "
                "outside on the side that harms."
            )
        case "find out":
            worse = ", ".join(each.of.words for each in of.judged if each.is_worse)
            return f"Do not keep the new interval yet: find out why ({worse}), and go back to the old one until then."
        case "back":
            if of.was_stopped:
                return (
                    f"Back to the old interval: {trial.stop.broken} broken edges or more within {trial.stop.within} "
                    "changes one after another, the rule to stop."
                )
            return "Back to the old interval: the trial did what was foretold, and that is a loss of money."
        case "not carried out":
            return (
                f"No verdict: the set was not changed about when the trial says ({trial.interval} parts); bring the "
                "counter and the card right, and begin again."
            )
        case "no records":
            return f"No verdict: the records hold nothing of {trial.place.key} in the weeks of the trial."
        case _:
            assert_never(verdict)
