"""The kind of a given rule, and what it says in words."""

from __future__ import annotations

from typing import Any

from linesim.rules.kind import RuleKind
from linesim.rules.kinds import KINDS, RuleWay
from linesim.works.policies import Rule

__all__ = ["kind_and_value", "kind_of", "policy_rule_words", "rule_words"]

_BY_ENTRY = {kind.entry: kind for kind in KINDS}
_BY_WAY = {kind.way: kind for kind in reversed(KINDS)}

if set(_BY_ENTRY) != set(Rule.model_fields) or set(_BY_WAY) != set(RuleWay):
    raise AssertionError("every entry of a rule and every member of RuleWay needs its kind in KINDS, and none more")


def kind_and_value(rule: Rule) -> tuple[RuleKind, Any]:
    """The kind of a rule, and what its entry says."""
    return next((kind, value) for kind in KINDS if (value := getattr(rule, kind.entry)) is not None)


def kind_of(way: int) -> RuleKind:
    """The kind that plan and engines know by a number; of two that share it the first.

    Raises
    ------
    ValueError
        There is no such kind.
    """
    return _BY_WAY[RuleWay(int(way))]


def rule_words(rule: Rule, of_one: bool = False) -> str:
    """When a set is changed, as the end of a sentence that begins with "changed".

    Parameters
    ----------
    rule : Rule
        Of a scenario.
    of_one : bool
        Of one set instead of several.

    >>> rule_words(Rule(life=0.6)), rule_words(Rule(parts=1)), rule_words(Rule(life=0.6), of_one=True)
    ('at 0.6 of their life', 'after every part', 'at 0.6 of its life')
    """
    kind, value = kind_and_value(rule)
    words = kind.words(value)
    return words.replace(" their ", " its ").replace(" them ", " it ") if of_one else words


def policy_rule_words(rule: Rule) -> str:
    """What a policy with this rule for all sets does, as the subject of a sentence.

    >>> policy_rule_words(Rule(run_out=True)), policy_rule_words(Rule(parts=60))
    ('running the cutters out', 'changing the cutters after 60 parts')
    """
    kind, value = kind_and_value(rule)
    return kind.policy_words(value)
