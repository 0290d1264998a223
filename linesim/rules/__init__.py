"""Kinds of rule by which a cutter set is changed; all that one of them is stands in its class in `kinds`."""

from linesim.rules.asking import kind_and_value, kind_of, policy_rule_words, rule_words
from linesim.rules.kind import NEVER_READ, AtDesk, Figures, Interval, RuleKind
from linesim.rules.kinds import KINDS, RuleWay, whole_parts

__all__ = [
    "KINDS",
    "NEVER_READ",
    "AtDesk",
    "Figures",
    "Interval",
    "RuleKind",
    "RuleWay",
    "kind_and_value",
    "kind_of",
    "policy_rule_words",
    "rule_words",
    "whole_parts",
]
