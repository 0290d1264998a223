"""What must be said of a way of running a line before it is praised."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from linesim.study.advice.paired import CAPABLE
from linesim.study.comparing.figures import ComparedFigures
from linesim.study.comparing.words import whose_words
from linesim.study.search.common.set_at import all_sets_at, intervals_under
from linesim.words import ENGLISH, KeptText, keep, within
from linesim.works import Works
from linesim.works.doing import set_called

__all__ = ["STILL", "drawing_words", "past_limit_words", "remarks_on", "said_of", "sets_past_limit"]

STILL = "Still"
"""How a sentence begins that says no more of a change than what has been said of today's practice."""

_ROUNDING = 0.02
"""An interval rounded to whole parts may lie so much past a life without being past the limit."""

_MOST_NAMED = 3

_ALIKE = 0.02
"""Capabilities this near to each other are the same to a shop."""


def sets_past_limit(works: Works, policy: str) -> list[str]:
    """Sets that a policy leaves in past the wear limit of an average edge.

    Parameters
    ----------
    works : Works
        The scenario.
    policy : str
        One of its policies.

    Returns
    -------
    list of str
        As policies name them, in the order of the routing; a set that is run out is one of them.
    """
    sets_at = all_sets_at(works)
    now = intervals_under(works, policy, sets_at)
    rules = works.policies[policy]
    return [
        set_at.key
        for set_at in sets_at
        if rules.rule_for(set_at.operation, set_at.cutter).run_out
        or now[set_at.key] > (1.0 + _ROUNDING) * set_at.parts_per_life
    ]


def past_limit_words(works: Works, policy: str) -> Iterator[str]:
    """That sets go past their wear limit under a policy, as a sentence; nothing if none does."""
    keys = sets_past_limit(works, policy)
    if keys:
        sets, more = [set_called(works, key) for key in keys[:_MOST_NAMED]], len(keys) - _MOST_NAMED
        yield keep("remarks.past_more", sets=sets, count=more) if more > 0 else keep("remarks.past", sets=sets)


def drawing_words(least: tuple[float, str], today: tuple[float, str] | None = None) -> Iterator[str]:
    """That the drawing is not held, as a sentence; nothing if it is.

    Parameters
    ----------
    least : (float, str)
        The least Cpk, and whose it is.
    today : (float, str), optional
        The same under today's practice.

    >>> list(drawing_words((0.914, "bore, size"), (0.881, "bore, size")))
    ['Still does not hold the drawing (bore, size: Cpk 0.91).']
    """
    value, whose = least
    if math.isnan(value) or value >= CAPABLE:
        return
    if today is None or not today[0] < CAPABLE:
        yield keep("remarks.not_held", whose=whose, cpk=value)
    elif value < today[0] - _ALIKE:
        yield keep("remarks.less", whose=whose, cpk=value, todays=today[1], cpk_today=today[0])
    else:
        yield keep("remarks.still", whose=whose, cpk=value)


def said_of(text: str, way: Literal["today", "proposed"]) -> str:
    """A remark as a sentence about today's practice, or about what is proposed, so that nobody mixes them up.

    >>> said_of(keep("remarks.not_held", whose="bore", cpk=0.9), "today")
    'As it runs today the line does not hold the drawing (bore: Cpk 0.90).'
    >>> said_of("More parts leave out of the drawing.", "proposed")
    'More parts leave out of the drawing.'
    """
    if isinstance(text, KeptText) and (key := f"remarks.{way}_{text.key.removeprefix('remarks.')}") in ENGLISH.entries:
        return keep(key, **text.values)
    return text


def remarks_on(answer: ComparedFigures, name: str) -> tuple[str, ...]:
    """What must be said of one of several alternatives before it is praised, as sentences about it.

    Parameters
    ----------
    answer : ComparedFigures
        Alternatives as they were run.
    name : str
        One of them.

    Returns
    -------
    tuple of str
        That the drawing is not held, and that edges go past their wear limit; empty if neither is so.
    """
    own = next(each for each in answer.compared if each.name == name)
    least, base = _least_cpk(answer, name), _least_cpk(answer, answer.base)
    texts = [*drawing_words(least, base if name != answer.base else None)]
    texts += past_limit_words(own.works, own.policy)
    return tuple(keep("remarks.of", name=name, text=within(text)) for text in texts)


def _least_cpk(answer: ComparedFigures, name: str) -> tuple[float, str]:
    """The least mean Cpk of an alternative, and whose it is; not a number if the drawing asks for nothing."""
    table = answer.details
    rows = table[(table["policy"] == name) & (table["figure"] == "cpk")].dropna(subset=["mean"])
    if rows.empty:
        return math.nan, ""
    row = min(rows.to_dict(orient="records"), key=lambda each: float(each["mean"]))
    return float(row["mean"]), whose_words(str(row["name"]), str(row["characteristic"]))
