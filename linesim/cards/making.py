"""Making the cards of a works: nothing is run, all figures are those of the desk."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.cards.gauging import first_part, gauge_lines
from linesim.cards.records import CardSet, CardsOf, ToolCard
from linesim.cards.sets import MountedSet, card_set
from linesim.cards.stops import counter_stops
from linesim.desk.desk import desk_figures
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.stations import kinds_of
from linesim.plan.type_means import visits
from linesim.works.crib import Cutter
from linesim.works.doing import what_it_does
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["tool_cards"]


def tool_cards(works: Works, policy: str | None = None, previous: str | None = None) -> CardsOf:
    """One card for each operation that has cutter sets.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        By which sets are changed; today's practice unless given.
    previous : str, optional
        The policy that it replaces, so that a card says what was done before; today's practice unless given, and none
        if that is the policy itself.

    Returns
    -------
    CardsOf

    Raises
    ------
    ScenarioError
        There is no such policy, or a cut cannot be made as described.
    """
    chosen = works.chosen_policy(policy)
    before = works.chosen_policy(previous)
    before = "" if before == chosen else before
    cards = tuple(_cards(works, make_plan(works, chosen), chosen, before))
    return CardsOf(works.name, chosen, before, cards)


def _cards(works: Works, plan: Plan, policy: str, previous: str) -> Iterator[ToolCard]:
    desk = desk_figures(works, policy)
    paces = dict(zip(desk.constraints["line"], desk.constraints["together_per_hour"], strict=True))
    change_min = iter(desk.sets["change_min"])
    number = 0
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            mounted = [
                MountedSet(plan, number, slot, works, operation, name) for slot in range(len(kinds_of(operation)))
            ]
            if mounted:
                per_shift = float(paces[line_name]) * plan.shift_min / 60.0 / operation.machines
                policies = works.policies[policy], works.policies[previous] if previous else None
                sets = tuple(card_set(each, policies, per_shift, float(next(change_min))) for each in mounted)
                yield _card(mounted, sets, (line_name, policy, previous), per_shift)
            number += 1


def _card(mounted: list[MountedSet], sets: tuple[CardSet, ...], names: tuple[str, str, str], pace: float) -> ToolCard:
    """The card of one operation; ``pace`` is the line's parts in a shift for each machine of it."""
    of = mounted[0]
    line, policy, previous = names
    works, operation, plan, rules = of.works, of.operation, of.plan, of.works.policies[policy]
    share = visits(plan, of.number)
    has_one_counter = all(each.share_of_parts == share for each in mounted)
    first = int(plan.operations.first_machine[of.number])
    return ToolCard(
        works.name,
        line,
        of.operation_name,
        operation.about or what_it_does(of.operation_name, operation),
        plan.names.machines[first : first + operation.machines],
        policy,
        previous,
        pace * share,
        sets,
        counter_stops(sets, pace * share, rules.group_past) if has_one_counter else (),
        rules.group_past,
        tuple(gauge_lines(works.lines[line], operation, of.operation_name, rules)),
        first_part(operation),
        tuple(_cautions(works, operation)),
    )


def _cautions(works: Works, operation: Operation) -> Iterator[str]:
    """Keys of the cautions that bear on an operation."""
    yield from ("changing", "gloves", "guards")
    if operation.chips is not None:
        yield "chips"
    cutters = [works.cutters[kind] for kind in kinds_of(operation)]
    if any(cutter.renewal.dressed is not None or cutter.wheel is not None for cutter in cutters):
        yield "wheels"
    if any(_is_ground_and_dressed(cutter) for cutter in cutters):
        yield "dressing"
    yield "lives"


def _is_ground_and_dressed(cutter: Cutter) -> bool:
    """Whether a set is a wheel that is dressed; stones are dressed as well."""
    dressed = cutter.renewal.dressed
    return dressed is not None and (cutter.wheel is not None or dressed.diamond is not None)
