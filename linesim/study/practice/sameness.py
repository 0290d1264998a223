"""One rule for all edges of a works, so that rules can be set against each other."""

from __future__ import annotations

from linesim.plan.coefficients import coefficients_of
from linesim.study.search.sensitivity.targets import dulling_cutters
from linesim.works import Works
from linesim.works.policies import Policy, Rule
from linesim.works.walks import cuts_of

__all__ = ["edges_of", "one_rule", "set_exactly", "unbreakable", "wheels_of"]

_WITHOUT_LAND = Rule(life=0.8)
"""For sets that show no wear land, whatever the rule for edges."""


def edges_of(works: Works) -> list[str]:
    """Cutters that make described cuts and show a wear land."""
    abrasives = coefficients_of(works).abrasives
    return [name for name in _cutting(works) if str(works.cutters[name].grade) not in abrasives]


def wheels_of(works: Works) -> list[str]:
    """Grinding wheels, by the cutter's name."""
    ground = {at.cut.cutter for at in cuts_of(works) if at.cut.process == "grinding"}
    abrasives = coefficients_of(works).abrasives
    return [name for name in _cutting(works) if name in ground and str(works.cutters[name].grade) in abrasives]


def _cutting(works: Works) -> list[str]:
    used = {at.cut.cutter for at in cuts_of(works)}
    return [name for name in dulling_cutters(works) if name in used]


def one_rule(works: Works, rule: Rule) -> Policy:
    """A policy with one rule for every edge; wheels, stones and what shows no land are changed at 0.8 of life."""
    return Policy(default=_WITHOUT_LAND, exceptions=dict.fromkeys(edges_of(works), rule))


def unbreakable(works: Works) -> Works:
    """The works whose edges dull but never break."""
    cutters = {name: cutter.model_copy(update={"breaking": None}) for name, cutter in works.cutters.items()}
    return works.model_copy(update={"cutters": cutters})


def set_exactly(works: Works) -> Works:
    """The works whose fresh edges stand exactly where they are meant to, but for a bias."""
    cutters = {
        name: cutter.model_copy(update={"setting": cutter.setting.model_copy(update={"error": 0.0})})
        for name, cutter in works.cutters.items()
    }
    return works.model_copy(update={"cutters": cutters})
