"""What a policy does, in the words of the shop, and the sentences that a comparison comes down to."""

from __future__ import annotations

import math
from collections.abc import Sequence

from linesim.rules import policy_rule_words, rule_words
from linesim.words import ENGLISH, figure, keep
from linesim.works.ageing import OverhaulEvery
from linesim.works.policies import Policy
from linesim.works.setting import Aim, CorrectionChange

__all__ = [
    "CHANGING", "aim_words", "amount", "contrast_words", "correction_words", "lever_words", "listing", "number_said",
    "number_word", "overhaul_words", "policy_words", "unlike_words",
    "whose_words",
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
    words = policy_rule_words(policy.default)
    also = []
    if policy.exceptions:
        count = len(policy.exceptions)
        also.append(f"with {number_word(count)} exception{'s' if count > 1 else ''}")
    if policy.group_past is not None:
        also.append(f"grouped past {policy.group_past:g}")
    levers = lever_words(policy)
    also += levers if len(levers) <= _MOST_LEVERS else [f"{len(levers)} aims and corrections beside"]
    return f"{words} ({', '.join(also)})" if also else words


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


def lever_words(policy: Policy) -> list[str]:
    """What a policy does beside changing cutters, a few words for each.

    >>> from linesim.works.policies import Rule
    >>> lever_words(Policy(default=Rule(life=1), aims={"blade": "centred", "mill": -2}, rezero={"blade": 30}))
    ['blade aimed at the middle of its drift', 'mill aimed 2 µm shallower', 'blade set anew after 30 parts']
    """
    aims = [f"{name} aimed {aim_words(aim)}" for name, aim in policy.aims.items()]
    corrections = [f"{name} {correction_words(change)}" for name, change in policy.corrections.items()]
    anew = [f"{name} set anew after {parts} part{'s' * (parts != 1)}" for name, parts in policy.rezero.items()]
    overhauls = [f"{name} {overhaul_words(every)}" for name, every in policy.overhauls.items()]
    at_once = ["sets changed as soon as they are due"] if policy.changes == "when due" else []
    return [*aims, *corrections, *anew, *overhauls, *at_once, *mix_words(policy)]


def overhaul_words(every: OverhaulEvery) -> str:
    """When machines are overhauled, as the end of a sentence that begins with their operation.

    >>> overhaul_words(6000.0)
    'overhauled every 100 h of cutting'
    """
    return "never overhauled" if every == "never" else f"overhauled every {float(every) / 60.0:g} h of cutting"


def mix_words(policy: Policy) -> list[str]:
    """What a policy says of part types, a few words for each.

    >>> from linesim.works.policies import Rule
    >>> mix_words(Policy(default=Rule(life=1), batches={"block": {"A": 40, "B": 20}}, sequences={"Op 20": "in turn"}))
    ['block in batches of 40 A and 20 B', 'Op 20 in turn']
    """
    batches = {
        line: " and ".join(f"{count} {name}" for name, count in of.items()) for line, of in policy.batches.items()
    }
    ordered = [f"{line} in batches of {text}" for line, text in batches.items()]
    return [*ordered, *(f"{operation} {sequence}" for operation, sequence in policy.sequences.items())]


def aim_words(aim: Aim) -> str:
    """Where a fresh edge is set, as the end of a sentence that begins with "aimed".

    >>> aim_words(6.0)
    '6 µm deeper'
    """
    if aim == "centred":
        return "at the middle of its drift"
    return f"{abs(float(aim)):g} µm {'deeper' if float(aim) >= 0.0 else 'shallower'}"


def correction_words(change: CorrectionChange) -> str:
    """What a gauge does with its readings, as the end of a sentence that begins with the gauge.

    >>> correction_words(CorrectionChange(share=0.5, dead_band=3))
    'corrects 0.5 of what it reads beyond 3 µm'
    """
    if change.share == 0.0:
        return "corrects nothing"
    share = "" if change.share is None else f" {change.share:g} of what it reads"
    band = "" if change.dead_band is None else f" beyond {change.dead_band:g} µm"
    return f"corrects{share}{band}"


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
    text = f"{cutter} at {operation}" if slash else name
    one, other = (rule_words(rule, of_one=True) for rule in (our_rule, their_rule))
    return f"{CHANGING.removesuffix('the cutters ')}the {text} {one}", other


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


def listing(names: list[str], last: str = "and") -> str:
    """Names in a sentence.

    >>> listing(["a"]), listing(["a", "b", "c"])
    ('"a"', '"a", "b" and "c"')
    """
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"
