"""What a policy does, in the words of the shop, and the sentences that a comparison comes down to."""

from __future__ import annotations

import math
from collections.abc import Sequence

from linesim.cards.rule_said import rule_said
from linesim.rules import policy_rule_words
from linesim.study.comparing.levers import lever_words
from linesim.words import ENGLISH, Joined, KeptText, figure, keep
from linesim.works.policies import Policy, Rule

__all__ = [
    "CHANGING", "amount", "contrast_words", "first_of", "instead_of", "listing", "noun_words", "number_said",
    "number_word", "policy_words", "unlike_words", "whose_words",
]  # fmt: skip

CHANGING = "changing the cutters "
"""How the words of a policy begin that changes cutters by a rule."""

_MOST_LEVERS = 3
"""So many aims and corrections are named; more are counted."""

_LEVERS = ("aims", "corrections", "rezero", "overhauls", "batches", "sequences")
"""Entries of a policy that name a lever for each of something."""

_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def policy_words(policy: Policy) -> str:
    """What a policy does, as the subject of a sentence.

    >>> from linesim.works.policies import Rule
    >>> policy_words(Policy(default=Rule(run_out=True)))
    'running the cutters out'
    >>> policy_words(Policy(default=Rule(life=0.6), group_past=0.8))
    'changing the cutters at 0.6 of their life (grouped past 0.8)'
    """
    words = _changing(policy.default)
    also: list[str] = []
    if policy.exceptions:
        count = len(policy.exceptions)
        also.append(keep("moves.exceptions", count=count, shown=number_said(count)))
    if policy.group_past is not None:
        also.append(keep("moves.grouped", share=policy.group_past))
    levers = lever_words(policy)
    also += levers if len(levers) <= _MOST_LEVERS else [keep("policies.levers", number=len(levers))]
    return keep("policies.also", words=words, also=also) if also else words


def _changing(rule: Rule) -> str:
    """What a policy with this rule for all sets does; a kind of rule from outside says it in English."""
    words, when = policy_rule_words(rule), rule_said(rule, of_one=False)
    if rule.run_out:
        return keep("policies.run_out")
    kept = keep("policies.changing", when=when)
    return kept if kept == words else words


def instead_of(text: str) -> str:
    """The words of a policy as they follow "instead of": without what all that change by a rule have alike.

    >>> from linesim.works.policies import Rule
    >>> instead_of(policy_words(Policy(default=Rule(life=0.6), group_past=0.8)))
    'at 0.6 of their life (grouped past 0.8)'
    """
    if isinstance(text, KeptText) and text.key == "policies.changing":
        when: str = text.values["when"]
        return when
    if isinstance(text, KeptText) and text.key == "policies.also":
        return keep("policies.also", words=instead_of(text.values["words"]), also=text.values["also"])
    return text if isinstance(text, KeptText) else text.removeprefix(CHANGING)


def unlike_words(ours: Policy, theirs: Policy) -> tuple[str, str]:
    """Two policies in words, without the aims, corrections and batches that both have alike.

    >>> from linesim.works.policies import Rule
    >>> aims = {"mill": "centred"}
    >>> early = Policy(default=Rule(life=0.6), aims=aims, rezero={"blade": 30})
    >>> unlike_words(early, Policy(default=Rule(parts=50), aims=aims))
    ('changing the cutters at 0.6 of their life (blade set anew after 30 parts)', 'changing the cutters after 50 parts')
    """

    def bare(policy: Policy, other: Policy) -> str:
        left = {
            name: {key: value for key, value in own.items() if getattr(other, name).get(key) != value}
            for name in _LEVERS
            if (own := getattr(policy, name))
        }
        return policy_words(policy.model_copy(update=left))

    return bare(ours, theirs), bare(theirs, ours)


def contrast_words(ours: Policy, theirs: Policy) -> tuple[str, str] | None:
    """Two policies in words, if all that tells them apart is when one cutter set is changed.

    Parameters
    ----------
    ours, theirs : Policy
        The one that does something, and the one instead of which it does.

    Returns
    -------
    (str, str) or None
        Subject and its contrast; None if they differ in more than one set, or in nothing.

    >>> from linesim.works.policies import Rule
    >>> blade = {"finish blade": Rule(parts=90)}, {"finish blade": Rule(parts=150)}
    >>> ours, theirs = (Policy(default=Rule(life=1), exceptions=each) for each in blade)
    >>> contrast_words(ours, theirs)
    ('changing the finish blade after 90 parts', 'after 150 parts')
    """
    if ours.default != theirs.default or ours.group_past != theirs.group_past:
        return None
    if lever_words(ours) != lever_words(theirs):
        return None
    rules = [
        (name, ours.exceptions.get(name, ours.default), theirs.exceptions.get(name, theirs.default))
        for name in {**ours.exceptions, **theirs.exceptions}
    ]
    differing = [(name, our_rule, their_rule) for name, our_rule, their_rule in rules if our_rule != their_rule]
    if len(differing) != 1:
        return None
    name, our_rule, their_rule = differing[0]
    operation, slash, cutter = name.partition(" / ")
    text = keep("doing.at", name=cutter, operation=operation) if slash else name
    one, other = rule_said(our_rule), rule_said(their_rule)
    return keep("policies.changing_set", set=text, when=one), other


def number_word(count: int) -> str:
    """A small number as a word, a larger one in figures.

    >>> number_word(5), number_word(40)
    ('five', '40')
    """
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def amount(mean: float, half_width: float, decimals: int | None = None) -> str:
    """A figure with its half width, rounded to where the half width begins to matter.

    Parameters
    ----------
    mean : float
        The figure; not a number if there is none.
    half_width : float
        Not a number if no interval is known.
    decimals : int, optional
        Places after the point; by default two significant figures of the half width, at most 4 places.

    Returns
    -------
    str

    >>> amount(12.3456, 0.234), amount(12.3456, float("nan")), amount(3.0, 0.0), amount(1234.5, 56.0)
    ('12.35 ± 0.23', '12.35', '3.00', '1234 ± 56')
    """
    if math.isnan(mean):
        return keep("numbers.none")
    if decimals is None:
        has_width = half_width > 0.0 and math.isfinite(half_width)
        decimals = min(4, max(0, 1 - math.floor(math.log10(half_width)))) if has_width else 2
    if not half_width > 0.0:
        return figure(f"{mean:.{decimals}f}")
    return figure(f"{mean:.{decimals}f} ± {half_width:.{decimals}f}")


def first_of(names: Sequence[str], most: int = 4) -> str:
    """Names one after another, so many at the most, and how many more there are.

    >>> first_of(["a", "b"]), first_of(["a", "b", "c"], 1)
    ('a, b', 'a and 2 more')
    """
    more = len(names) - most
    first = list(names[:most])
    return keep("format.and_more", names=first, more=more) if more > 0 else keep("format.names", names=first)


def number_said(count: int) -> str:
    """`number_word`, which a sheet says in its reader's language.

    >>> number_said(5), number_said(40)
    ('five', '40')
    """
    return keep(f"numbers.{number_word(count)}") if 0 < count < len(_NUMBERS) else str(count)


def whose_words(feature: str, characteristic: str) -> str:
    """Whose capability it is.

    >>> whose_words("bore", "size")
    'bore, size'
    """
    key = f"characteristics.{characteristic}"
    return keep("remarks.whose", feature=feature, what=keep(key) if key in ENGLISH.entries else characteristic)


def listing(names: list[str]) -> str:
    """Names in a sentence.

    >>> listing(["a"]), listing(["a", "b", "c"])
    ('"a"', '"a", "b" and "c"')
    """
    quoted = [keep("justify.quoted", name=name) for name in names]
    return keep("format.names", names=Joined(quoted))


def noun_words(noun: str) -> str:
    """What one of several that are compared is called, such as a policy."""
    key = f"nouns.{noun}"
    return keep(key) if key in ENGLISH.entries else noun
