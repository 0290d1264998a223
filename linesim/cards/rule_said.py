"""When a set is changed, in words that a sheet can say in its reader's language."""

from __future__ import annotations

from linesim.rules import kind_and_value, rule_words
from linesim.rules.kind import RuleKind
from linesim.words import ENGLISH, Choice, KeptText, keep
from linesim.works.policies import Check, OnGauge, OnLoad, Own, Rule

__all__ = ["rule_said"]


def rule_said(rule: Rule, of_one: bool = True) -> str:
    """When one set is changed, as the end of a sentence that begins with "changed".

    Parameters
    ----------
    rule : Rule
        Of a scenario.
    of_one : bool
        Of one set instead of several.

    Returns
    -------
    str
        `linesim.rules.rule_words`, which knows its key in the catalogue of words; a kind of rule that came
        from outside the package is said as it says itself.

    >>> rule_said(Rule(parts=14)), rule_said(Rule(life=0.6)), rule_said(Rule(life=0.6), of_one=False)
    ('after 14 parts', 'at 0.6 of its life', 'at 0.6 of their life')
    """
    kind, value = kind_and_value(rule)
    words = _by_kind(kind, value) or rule_words(rule, of_one=of_one)
    if of_one or not isinstance(words, KeptText):
        return words
    of_several = f"rules.all_{words.key.removeprefix('rules.')}"
    return keep(of_several, **words.values) if of_several in ENGLISH.entries else words


def _by_kind(kind: RuleKind, value: object) -> KeptText | None:
    match value:
        case Check():
            return _look(value)
        case OnGauge():
            return _gauge(value)
        case OnLoad():
            return _load(value)
        case Own():
            return keep("rules.own", name=value.name)
        case _:
            return _counted(kind.entry, value)


def _counted(entry: str, value: object) -> KeptText | None:
    """A rule with one figure, or none."""
    match entry, value:
        case "parts" | "shift", int():
            return keep(f"rules.{entry}", count=value)
        case "minutes", int() | float():
            return keep("rules.minutes", minutes=value)
        case "life", int() | float():
            return keep("rules.full_life") if value == 1 else keep("rules.life", share=value)
        case "run_out", _:
            return keep("rules.run_out")
        case _:
            return None


def _look(rule: Check) -> KeptText:
    of, past = ("mm", rule.past) if rule.past is not None else ("share", rule.past_share)
    if rule.first is None:
        return keep(f"rules.check_{of}", count=rule.every, past=past)
    return keep(f"rules.check_first_{of}", count=rule.every, first=rule.first, past=past)


def _gauge(rule: OnGauge) -> KeptText:
    size = [] if rule.size is None else [keep("rules.gauge_size", size=rule.size)]
    rough = [] if rule.roughness is None else [keep("rules.gauge_roughness", roughness=rule.roughness)]
    return keep("rules.gauge", limits=Choice(size + rough))


def _load(rule: OnLoad) -> KeptText:
    if rule.readings == 1:
        return keep("rules.load", past=rule.past)
    return keep("rules.load_mean", readings=rule.readings, past=rule.past)
