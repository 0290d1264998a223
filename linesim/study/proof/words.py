"""One verdict for each quantity, in plain words."""

from __future__ import annotations

from linesim.study.proof.judged import FALSE_ALARM, FEWEST, Verdict

__all__ = ["method_words", "over_all_words", "verdict_words"]

_MANY = {
    "edge life": "lives", "wear land": "wear lands", "changes a week": "weekly numbers of changes",
    "size error": "size errors", "roughness": "roughness readings", "shift output": "outputs", "scrap": "scrap counts",
}  # fmt: skip


def verdict_words(of: str, quantity: str, way: str, verdict: Verdict) -> str:
    """The verdict on one quantity of one set, held back in one way.

    >>> verdict_words("mill", "edge life", "by time", Verdict("foretells", 18, 20, (17, 20), 0.0))
    'mill, by time: 18 of 20 lives inside their 95 % band: the fit foretells lives.'
    """
    many = _MANY[quantity]
    head = f"{of}, {way}: {verdict.hits} of {verdict.count} {many} inside their 95 % band"
    match verdict.word:
        case "foretells":
            return f"{head}: the fit foretells {many}."
        case "too few":
            return f"{head}: too few to judge; {FEWEST} were expected."
        case "too narrow":
            low, high = verdict.likely
            return f"{head}, and {low} to {high} would be expected: the bands are too narrow."
        case "too wide":
            return f"{head}, and too many near the middle: the bands are too wide; less is unknown than they say."
        case "too high":
            return f"{head}, but too many low in it: biased; {many} were foretold too high."
        case "too low":
            return f"{head}, but too many high in it: biased; {many} were foretold too low."


def over_all_words(way: str, verdict: Verdict) -> str:
    """The calibration over all quantities held back in one way."""
    low, high = verdict.likely
    likely = f"{low} to {high} would be expected of bands that hold 95 of 100"
    ends = {
        "foretells": "calibrated, as far as so many can show",
        "too narrow": "too narrow",
        "too wide": "too wide",
        "too high": "foretold too high",
        "too low": "foretold too low",
        "too few": "too few to judge",
    }
    return f"All, {way}: {verdict.hits} of {verdict.count} inside their band, {likely}: {ends[verdict.word]}."


def method_words() -> tuple[str, ...]:
    """How this was worked out."""
    wrong = f"A verdict speaks against a fit that is right in at most {100 * FALSE_ALARM:g} of 100 cases"
    ended = "An edge that was changed or broke before its end has its end drawn from what is foretold of it beyond"
    hits = "The number of hits is measured against the draws themselves: the binomial test where nothing is shared"
    return (
        "A band holds 95 of 100: what is not known of the fit, and the scatter of what is foretold.",
        f"{ended}: it speaks neither for nor against the fit, unless it outlived its band.",
        f"{wrong} (1 for a lean to either side, 0.5 for bands too narrow, 0.5 for bands too wide).",
        f"{hits}, and allowing for what edges share of the fit, or of a batch.",
        "By time: the last third by date. By cutter: each in turn, in ten parts where there are more.",
    )
