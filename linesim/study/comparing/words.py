"""What a policy does, in the words of the shop, and the sentences that a comparison comes down to."""

from __future__ import annotations

import math

from linesim.works.policies import Check, OnGauge, Policy, Rule

__all__ = ["CHANGING", "amount", "contrast_words", "listing", "number_word", "policy_words", "rule_words"]

CHANGING = "changing the cutters "
"""How the words of a policy begin that changes cutters by a rule."""

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


def rule_words(rule: Rule) -> str:
    """When a set is changed, as the end of a sentence that begins with "changed".

    >>> rule_words(Rule(life=0.6)), rule_words(Rule(parts=1)), rule_words(Rule(shift=1))
    ('at 0.6 of their life', 'after every part', 'at the start of every shift')
    """
    if rule.parts is not None:
        return "after every part" if rule.parts == 1 else f"after {rule.parts} parts"
    if rule.minutes is not None:
        return f"after {rule.minutes:g} cutting minutes"
    if rule.life is not None:
        return "at their full life" if rule.life == 1 else f"at {rule.life:g} of their life"
    if rule.shift is not None:
        return "at the start of every shift" if rule.shift == 1 else f"every {rule.shift} shifts"
    if rule.check is not None:
        return _check_words(rule.check)
    if rule.gauge is not None:
        return _gauge_words(rule.gauge)
    return f'by the own rule "{rule.own.name}"' if rule.own is not None else "only when broken or a part fails"


def policy_words(policy: Policy) -> str:
    """What a policy does, as the subject of a sentence.

    >>> policy_words(Policy(default=Rule(run_out=True)))
    'running the cutters out'
    >>> policy_words(Policy(default=Rule(life=0.6), group_past=0.8))
    'changing the cutters at 0.6 of their life (grouped past 0.8)'
    """
    rule = policy.default
    words = "running the cutters out" if rule.run_out else f"{CHANGING}{rule_words(rule)}"
    also = []
    if policy.exceptions:
        count = len(policy.exceptions)
        also.append(f"with {number_word(count)} exception{'s' if count > 1 else ''}")
    if policy.group_past is not None:
        also.append(f"grouped past {policy.group_past:g}")
    return f"{words} ({', '.join(also)})" if also else words


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

    >>> blade = {"finish blade": Rule(parts=90)}, {"finish blade": Rule(parts=150)}
    >>> ours, theirs = (Policy(default=Rule(life=1), exceptions=each) for each in blade)
    >>> contrast_words(ours, theirs)
    ('changing the finish blade after 90 parts', 'after 150 parts')
    """
    if ours.default != theirs.default or ours.group_past != theirs.group_past:
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
    said = f"{cutter} at {operation}" if slash else name
    one, other = (
        rule_words(rule).replace(" their ", " its ").replace(" them ", " it ") for rule in (our_rule, their_rule)
    )
    return f"{CHANGING.removesuffix('the cutters ')}the {said} {one}", other


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
        return "none"
    if decimals is None:
        has_width = half_width > 0.0 and math.isfinite(half_width)
        decimals = min(4, max(0, 1 - math.floor(math.log10(half_width)))) if has_width else 2
    if not half_width > 0.0:
        return f"{mean:.{decimals}f}"
    return f"{mean:.{decimals}f} ± {half_width:.{decimals}f}"


def listing(names: list[str], last: str = "and") -> str:
    """Names in a sentence.

    >>> listing(["a"]), listing(["a", "b", "c"])
    ('"a"', '"a", "b" and "c"')
    """
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"


def _check_words(check: Check) -> str:
    """A rule by looking at the edge."""
    past = f"{check.past:g} mm" if check.past is not None else f"{check.past_share:g} of their wear limit"
    every = "every part" if check.every == 1 else f"every {check.every} parts"
    return f"when a look {every} finds them worn past {past}"


def _gauge_words(gauge: OnGauge) -> str:
    """A rule by the gauge."""
    size = [] if gauge.size is None else [f"{gauge.size:g} µm"]
    rough = [] if gauge.roughness is None else [f"Ra {gauge.roughness:g} µm"]
    return f"when a gauge reads past {' or '.join(size + rough)}"
