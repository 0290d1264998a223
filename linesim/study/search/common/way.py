"""One rule other than a count of parts, with its figure moved as an interval is moved."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.study.search.common.round_numbers import round_parts
from linesim.works.policies import Rule

__all__ = ["Way"]

_LEAST_LOAD, _MOST_LOAD = 1.01, 5.0
_MOST_SHIFTS = 1000


@dataclass(frozen=True)
class Way:
    """A rule that a set may follow.

    Attributes
    ----------
    kind : str
        Its entry in `linesim.works.policies.Rule`.
    rule : Rule
        As a policy has it.
    usual : int, parts
        Parts between changes to which that comes with an average edge.
    look_min_per_part : float, min
        What looks take for each part.
    """

    kind: str
    rule: Rule
    usual: int
    look_min_per_part: float = 0.0

    def at(self, parts: int) -> Rule:
        """The rule with its figure moved as the interval is from the usual one.

        Parameters
        ----------
        parts : int
            Another interval: looks come so much later, an action limit or a load lies so much farther off.
        """
        ratio, rule = parts / self.usual, self.rule
        if ratio == 1.0:
            return rule
        if rule.check is not None:
            return Rule(check=rule.check.model_copy(update={
                name: round_parts(of * ratio) for name in ("every", "first")
                if (of := getattr(rule.check, name)) is not None
            }))  # fmt: skip
        if rule.shift is not None:
            return Rule(shift=min(max(1, round(rule.shift * ratio)), _MOST_SHIFTS))
        if rule.gauge is not None:
            size, rough = rule.gauge.size, rule.gauge.roughness
            moved = {
                "size": None if size is None else max(round(size * ratio, 1), 0.1),
                "roughness": None if rough is None else max(round(rough * ratio, 2), 0.01),
            }
            return Rule(gauge=rule.gauge.model_copy(update=moved))
        if rule.load is not None:
            past = round(1.0 + (rule.load.past - 1.0) * ratio, 2)
            return Rule(load=rule.load.model_copy(update={"past": min(max(past, _LEAST_LOAD), _MOST_LOAD)}))
        return rule
