"""A trial in words: what is done, what is expected, when it is seen, when to stop, what to be careful about."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.advice.words import rounded
from linesim.study.trial.figures import TrialFigures
from linesim.words import keep, retell, say
from linesim.works.doing import called_anywhere

__all__ = [
    "BASIS", "cautions", "first_words", "further_words", "quantity_words", "sentences_of", "steps", "unlike",
    "weeks_shown", "with_unit_words",
]  # fmt: skip

_SIGN = {True: "+", False: "\N{MINUS SIGN}"}

BASIS: tuple[str, ...] = (keep("trial.basis_band"), keep("trial.basis_readings"), keep("trial.basis_weeks"))
"""What the figures rest on."""


def unlike(of: TrialFigures) -> str:
    """What is done differently."""
    at = called_anywhere(of.works, of.set_at.operation)
    return say("trial.unlike", set=of.set_at.key, count=of.interval, today=of.today, operation=at)


def first_words(of: TrialFigures) -> Iterator[str]:
    """What must be read before anything else: the limit, and the rule to stop."""
    if of.lives > 1.0:
        yield say("trial.past_limit", count=of.interval, parts=of.set_at.parts_per_life)
    yield retell(of.stop.words)


def sentences_of(of: TrialFigures) -> Iterator[str]:
    """The trial in words, what must be read first at the beginning."""
    yield from first_words(of)
    yield unlike(of)
    yield from further_words(of)


def further_words(of: TrialFigures) -> Iterator[str]:
    """How often the rule stops, what is expected in money, when the differences are seen."""
    alarm = max(math.ceil(1000.0 * of.stop.false_alarm) / 10.0, 0.1)
    yield say("trial.stops", count=of.n_weeks, alarm=alarm, notices=100.0 * of.stop.notices)
    yield _money(of)
    yield from _seen(of)


def _money(of: TrialFigures) -> str:
    apart = of.difference("money")
    return say(
        "trial.expected" if apart.is_apart else "trial.no_difference",
        amount=f"{_SIGN[apart.mean >= 0.0]}{rounded(abs(apart.mean), apart.half_width)}",
        half=rounded(apart.half_width, apart.half_width), currency=of.works.currency,
    )  # fmt: skip


def _seen(of: TrialFigures) -> Iterator[str]:
    """When the differences are seen, the soonest first."""
    rows = [row for row in of.table.to_dict(orient="records") if row["is_apart"] and row["name"] != "parts"]
    known = sorted((int(row["weeks_to_see"]), str(row["quantity"])) for row in rows if row["weeks_to_see"] is not None
                   and not _is_missing(row["weeks_to_see"]))  # fmt: skip
    names = {str(row["quantity"]): quantity_words(str(row["name"])) for row in rows}
    if known:
        texts = [say("trial.seen_in", count=weeks, what=names[words]) for weeks, words in known]
        yield say("trial.seen_at", seen=say("format.semicolon").join(texts))
    never = [names[str(row["quantity"])] for row in rows if _is_missing(row["weeks_to_see"])]
    if never:
        yield say("trial.never_seen", names=never)
    money = next((row for row in rows if row["name"] == "money"), None)
    if money is not None:
        yield say("trial.power", count=of.n_weeks, share=money["power"])


def with_unit_words(name: str, unit: str, currency: str) -> str:
    """A quantity with its unit, by their names in tables."""
    if name in ("loss", "money"):
        unit = say(f"trial.unit_{name}", currency=currency)
    return say("trial.with_unit", what=quantity_words(name), unit=unit) if unit else quantity_words(name)


def quantity_words(name: str) -> str:
    """What a quantity is called, by its name in tables."""
    return say(f"quantities.{name}")


def weeks_shown(value: object) -> str:
    """Weeks for a cell of a table; a dash where the runs do not tell a difference from none, or it takes ten years."""
    return "–" if _is_missing(value) else str(value)


def _is_missing(value: object) -> bool:
    return value is None or value != value or str(value) == "<NA>"  # noqa: PLR0124 - not a number is unlike itself


def steps(of: TrialFigures) -> Iterator[str]:
    """Who does what."""
    at = called_anywhere(of.works, of.set_at.operation)
    yield say("trial.step_read")
    yield say("trial.step_card", count=of.interval, operation=at)
    yield say("trial.step_setter")
    if of.surface is not None:
        yield say("trial.step_operator", feature=of.surface.feature)
    yield say("trial.step_leader")
    yield say("trial.step_nothing")


def cautions(of: TrialFigures) -> Iterator[str]:
    """What goes beyond counting."""
    yield say("trial.caution_stop")
    yield say("trial.caution_local")
    if of.lives > 1.0:
        yield say("trial.caution_look")
