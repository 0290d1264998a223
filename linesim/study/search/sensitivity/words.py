"""What a study of drivers comes down to, in sentences."""

from __future__ import annotations

from linesim.study.comparing.words import amount
from linesim.study.search.sensitivity.figures import DriverFigures

__all__ = ["ASK", "sentences_of"]

ASK = {"books": "look it up in the books", "customer": "ask what a complaint costs"}
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
    rows = answer.screening.to_dict(orient="records")
    floor = [row for row in rows if answer.place_of(row["input"]) == "floor"]
    text = []
    if floor and floor[0]["mu_star"] > floor[0]["half_width"]:
        first = floor[0]
        swing = _shown(answer, first["mu_star"], first["half_width"])
        words = f"over its range it changes {answer.measure.words} by {swing}"
        text.append(f"Measure {first['words']} first: {words} in the mean.")
        least = first["mu_star"] - first["half_width"]
        ties = [row["words"] for row in floor[1:] if row["mu_star"] + row["half_width"] >= least]
        if ties:
            text.append(f"Which matters most cannot be told between it and {_some(ties)}.")
    else:
        text.append("Nothing that can be measured on the floor is told to matter; more trajectories may tell.")
    for row in [row for row in rows[:5] if answer.place_of(row["input"]) != "floor"]:
        words, shown = str(row["words"]), _shown(answer, row["mu_star"], row["half_width"])
        text.append(f"{words[0].upper()}{words[1:]} matters too ({shown}): {ASK[answer.place_of(row['input'])]}.")
    bent = [row["words"] for row in floor[:5] if row["sigma"] > row["mu_star"]]
    return [*text, f"What these do leans on other inputs, or bends: {_some(bent)}."] if bent else text


def _alone_sentences(answer: DriverFigures) -> list[str]:
    """The widest swing one at a time that is told from none."""
    rows = answer.one_at_a_time.to_dict(orient="records")
    ends = [
        (abs(row[end]), row, end) for row in rows for end in ("at_low", "at_high") if row[f"{end}_is_told"]
    ]  # fmt: skip
    floor = [each for each in ends if answer.place_of(each[1]["input"]) == "floor"]
    if not floor:
        return ["Nothing that can be measured on the floor is told to matter; more replications may tell."]
    _, first, end = max(floor, key=lambda each: each[0])
    factor = first["low" if end == "at_low" else "high"]
    shown = _shown(answer, first[end], first[f"{end}_half_width"])
    at = f"at {factor:g} times the scenario's figure"
    text = [f"Measure {first['words']} first: {at} {answer.measure.words} differs by {shown}."]
    wider = [row for row in rows if answer.place_of(row["input"]) == "floor" and row["swing"] > abs(first[end])]
    open_ = [row["words"] for row in wider if not (row["at_low_is_told"] or row["at_high_is_told"])]
    if open_:
        text.append(f"More replications will tell whether these matter more: {_some(open_)}.")
    still = len(rows) - len({row["input"] for _, row, _ in ends})
    if still:
        text.append(f"Of {len(rows)} inputs {still} cannot be told from having no effect, all asked at once.")
    return text


def _shown(answer: DriverFigures, mean: float, half_width: float) -> str:
    """A figure with its half width and unit; shares in per cent."""
    factor = 100.0 if answer.measure.is_share else 1.0
    unit = "" if answer.unit == "1/h" else f" {answer.unit}"
    return f"{amount(factor * mean, factor * half_width)}{unit.rstrip()}"


def _some(words: list[str]) -> str:
    """A few of a list in words."""
    if len(words) > 3:
        return f"{', '.join(words[:2])} and {len(words) - 2} others"
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
