"""A trial in words: what is done, what is expected, when it is seen, when to stop, what to be careful about."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.advice.words import rounded
from linesim.study.trial.figures import TrialFigures
from linesim.works.doing import called_anywhere

__all__ = ["BASIS", "cautions", "first_words", "sentences_of", "steps", "unlike", "weeks_shown"]

_NEVER = "cannot be seen by counting weeks within ten years"

BASIS = (
    (
        "A band of a week holds 95 weeks of 100, a band of a total 95 trials of 100, by the luck of castings, edges "
        "and breakdowns; of what is not known of the line's own figures it holds only what the scenario states."
    ),
    "Readings are those of edges that have not broken, true ones; the gauge's own error comes on top.",
    (
        "Weeks to see a difference: so many weeks of today's practice, already recorded, against as many of the trial, "
        "t test at 95 %, seen in 80 cases of 100; one week is taken to say nothing of the next."
    ),
)
"""What the figures rest on."""


def unlike(of: TrialFigures) -> str:
    """What is done differently."""
    return (
        f"{of.place.key}: changed after {of.interval} parts instead of {of.today}, on all machines of "
        f"{called_anywhere(of.works, of.place.operation)}; everything else as today."
    )


def first_words(of: TrialFigures) -> Iterator[str]:
    """What must be read before anything else: the limit, and the rule to stop."""
    if of.lives > 1.0:
        yield (
            f"Caution: {of.interval} parts go past the wear limit of an average edge ({of.place.parts_per_life:.0f} "
            "parts). A dull edge breaks, pushes the part and can throw it; the maker of the machine and whoever "
            "answers for safety have to agree beforehand."
        )
    yield of.stop.words


def sentences_of(of: TrialFigures) -> Iterator[str]:
    """The trial in words, what must be read first at the beginning."""
    yield from first_words(of)
    yield unlike(of)
    yield _stop_chance(of)
    yield _money(of)
    yield from _seen(of)


def _stop_chance(of: TrialFigures) -> str:
    alarm = max(math.ceil(1000.0 * of.stop.false_alarm) / 10.0, 0.1)
    return (
        f"If all is as foretold, this rule stops no more than {alarm:g} of 100 trials of {_weeks(of.n_weeks)}; if "
        f"edges break three times as often, {100.0 * of.stop.notices:.0f} of 100."
    )


def _money(of: TrialFigures) -> str:
    apart = of.difference("money")
    if not apart.is_apart:
        return (
            f"In money the runs do not tell the trial from today's practice ({_sign(apart.mean, apart.half_width)} ± "
            f"{rounded(apart.half_width, apart.half_width)} {of.works.currency} a week)."
        )
    return (
        f"Expected: {_sign(apart.mean, apart.half_width)} {of.works.currency} a week against today "
        f"(± {rounded(apart.half_width, apart.half_width)})."
    )


def _sign(value: float, half_width: float) -> str:
    return f"{'+' if value >= 0.0 else '−'}{rounded(abs(value), half_width)}"


def _seen(of: TrialFigures) -> Iterator[str]:
    """When the differences are seen, the soonest first."""
    rows = [row for row in of.table.to_dict(orient="records") if row["is_apart"] and row["name"] != "parts"]
    known = sorted((int(row["weeks_to_see"]), str(row["quantity"])) for row in rows if row["weeks_to_see"] is not None
                   and not _is_missing(row["weeks_to_see"]))  # fmt: skip
    if known:
        texts = [f"{words} in {_weeks(weeks)}" for weeks, words in known]
        yield f"The difference from today is seen at 95 %: {'; '.join(texts)}."
    never = [str(row["quantity"]) for row in rows if _is_missing(row["weeks_to_see"])]
    if never:
        yield f"There is a difference that {_NEVER}: {', '.join(never)}."
    money = next((row for row in rows if row["name"] == "money"), None)
    if money is not None:
        yield f"In the {_weeks(of.n_weeks)} of this trial money shows it with a chance of {money['power']:.0%}."


def weeks_shown(value: object) -> str:
    """Weeks for a cell of a table; a dash where the runs do not tell a difference from none, or it takes ten years."""
    return "–" if _is_missing(value) else str(value)


def _is_missing(value: object) -> bool:
    return value is None or value != value or str(value) == "<NA>"  # noqa: PLR0124 - not a number is unlike itself


def _weeks(count: int) -> str:
    return "1 week" if count == 1 else f"{count} weeks"


def steps(of: TrialFigures) -> Iterator[str]:
    """Who does what."""
    yield "Before: the setters, quality, and whoever answers for safety read this sheet and sign below."
    at = called_anywhere(of.works, of.place.operation)
    yield f"Before: the counter and the card at {at} are set to {of.interval} parts, the old card goes."
    yield "Setter, at every change: date, parts since the last change, why (by interval, worn, broken), wear land."
    if of.surface is not None:
        yield f"Operator, last part before every change: {of.surface.feature} gauged, size and roughness written down."
    yield "Shift leader, at the end of every week: the line below; held against what is foretold."
    yield "Nothing else at this operation is altered while the trial runs: castings, speeds, feeds, offsets, people."


def cautions(of: TrialFigures) -> Iterator[str]:
    """What goes beyond counting."""
    yield "Stop at once for a part out of the drawing that this set has cut, for chatter, smoke, or a broken holder."
    yield "Local rules, the maker of the machine and the appointed people come before this sheet."
    if of.lives > 1.0:
        yield "The wear land is looked at half way through the first three edges; past the limit they are changed."
