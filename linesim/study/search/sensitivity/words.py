"""What a study of drivers comes down to, in sentences."""

from __future__ import annotations

from linesim.study.comparing.said import in_unit
from linesim.study.comparing.words import amount
from linesim.study.search.sensitivity.figures import DriverFigures
from linesim.words import Joined, KeptText, begun, keep

__all__ = ["ASK", "sentences_of"]

ASK = {"books": keep("drivers.ask_books"), "customer": keep("drivers.ask_customer")}
"""What is done about an input that is not found on the floor, by where it is."""


def sentences_of(answer: DriverFigures) -> list[str]:
    """What to measure first.

    Parameters
    ----------
    answer : DriverFigures
        As far as the study has come.

    Returns
    -------
    list of str
    """
    return _screened_sentences(answer) if answer.screened else _alone_sentences(answer)


def _screened_sentences(answer: DriverFigures) -> list[str]:
    """The strongest input by screening, and those that cannot be told from it."""
    rows, words = answer.screening.to_dict(orient="records"), answer.words_of
    floor = [row for row in rows if answer.place_of(row["input"]) == "floor"]
    text: list[str] = []
    if floor and floor[0]["mu_star"] > floor[0]["half_width"]:
        first = floor[0]
        swing = _shown(answer, first["mu_star"], first["half_width"])
        measure = answer.measure.words
        text.append(keep("drivers.first", input=words[first["input"]], measure=measure, amount=swing))
        least = first["mu_star"] - first["half_width"]
        ties = [words[row["input"]] for row in floor[1:] if row["mu_star"] + row["half_width"] >= least]
        if ties:
            text.append(keep("drivers.ties", inputs=_some(ties)))
    else:
        text.append(keep("drivers.none_screened"))
    for row in [row for row in rows[:5] if answer.place_of(row["input"]) != "floor"]:
        shown, ask = _shown(answer, row["mu_star"], row["half_width"]), ASK[answer.place_of(row["input"])]
        text.append(keep("drivers.other", input=begun(words[row["input"]]), amount=shown, ask=ask))
    bent = [words[row["input"]] for row in floor[:5] if row["sigma"] > row["mu_star"]]
    return [*text, keep("drivers.bent", inputs=_some(bent))] if bent else text


def _alone_sentences(answer: DriverFigures) -> list[str]:
    """The widest swing one at a time that is told from none."""
    rows, words = answer.one_at_a_time.to_dict(orient="records"), answer.words_of
    ends = [
        (abs(row[end]), row, end) for row in rows for end in ("at_low", "at_high") if row[f"{end}_is_told"]
    ]  # fmt: skip
    floor = [each for each in ends if answer.place_of(each[1]["input"]) == "floor"]
    if not floor:
        return [keep("drivers.none_alone")]
    _, first, end = max(floor, key=lambda each: each[0])
    factor = first["low" if end == "at_low" else "high"]
    shown, measure = _shown(answer, first[end], first[f"{end}_half_width"]), answer.measure.words
    head = words[first["input"]]
    text: list[str] = [keep("drivers.first_alone", input=head, factor=factor, measure=measure, amount=shown)]
    wider = [row for row in rows if answer.place_of(row["input"]) == "floor" and row["swing"] > abs(first[end])]
    open_ = [words[row["input"]] for row in wider if not (row["at_low_is_told"] or row["at_high_is_told"])]
    if open_:
        text.append(keep("drivers.open", inputs=_some(open_)))
    still = len(rows) - len({row["input"] for _, row, _ in ends})
    if still:
        text.append(keep("drivers.still", all=len(rows), count=still))
    return text


def _shown(answer: DriverFigures, mean: float, half_width: float) -> str:
    """A figure with its half width and unit; shares in per cent."""
    factor = 100.0 if answer.measure.is_share else 1.0
    return in_unit(amount(factor * mean, factor * half_width), answer.measure, answer.works.currency)


def _some(words: list[str]) -> KeptText:
    """A few of a list in words."""
    if len(words) > 3:
        return keep("drivers.and_others", names=words[:2], count=len(words) - 2)
    return keep("format.names", names=Joined(words))
