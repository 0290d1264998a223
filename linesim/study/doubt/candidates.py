"""What may be decided beside the policies of a works: one of them with its intervals scaled."""

from __future__ import annotations

from linesim.study.search.sensitivity.variations import as_minutes, mount_lives
from linesim.works import Works
from linesim.works.policies import Rule

__all__ = ["SCALES", "scaled_policy"]

SCALES = (0.6, 0.8, 1.25)
"""Factors on all intervals of the best two policies; none goes past the wear limit for that."""


def scaled_policy(works: Works, policy: str, factor: float) -> Works:
    """The works with one policy whose intervals are multiplied, but not past the life that is assumed.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        One of its policies.
    factor : float
        On minutes and parts between changes; parts are made longer by none.
    """
    written = as_minutes(works, policy)
    rules = written.policies[policy]
    lives = {f"{name} / {kind}": life for name, kind, life in mount_lives(works, policy)}
    own = {name: _scaled(rule, factor, lives.get(name, 0.0)) for name, rule in rules.exceptions.items()}
    default = _scaled(rules.default, factor, 0.0)
    return written.model_copy(
        update={"policies": {policy: rules.model_copy(update={"default": default, "exceptions": own})}}
    )


def _scaled(rule: Rule, factor: float, life_min: float) -> Rule:
    """A rule with its interval multiplied; a longer one ends at the life, where that is known."""
    changes: dict[str, float | int] = {}
    if rule.minutes is not None:
        longest = max(rule.minutes, life_min) if factor > 1.0 else rule.minutes
        changes["minutes"] = min(rule.minutes * factor, longest)
    if rule.parts is not None and factor < 1.0:
        changes["parts"] = max(1, round(rule.parts * factor))
    return rule.model_copy(update=changes)
