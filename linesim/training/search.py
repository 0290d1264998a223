"""A search for the policy that earns most in a lesson: one order after another, as long as something gets better."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from linesim.plan.tables import NONE
from linesim.training.carrying import Case
from linesim.training.lesson import Lesson, Stated
from linesim.training.policies import carry_policy

__all__ = ["BestWay", "drawn_policies", "search_best"]

Orders = dict[str, dict[str, Any]]
"""Orders of a policy, each under what it decides."""

_SHARES_OF_LIFE = (0.15, 0.25, 0.35, 0.5, 0.65, 0.8, 0.95, 1.2)
_CORRECTIONS = ((0.2, 0.0), (0.4, 0.0), (0.6, 0.0), (0.4, 1.0), (1.0, 0.0))
"""Share of an error corrected, and the dead band in standard errors of the gauge."""
_ROUNDS = 3


@dataclass(frozen=True)
class BestWay:
    """The policy that was found.

    Attributes
    ----------
    way : str
        How the line is set up.
    orders : list of dict
        Orders in force from the beginning.
    earned : float
        Mean of what a shift earned, in money.
    """

    way: str
    orders: list[dict[str, Any]]
    earned: float


def search_best(lesson: Lesson, numbers: Sequence[int]) -> BestWay:
    """Search for the policy that earns most on some shifts.

    Parameters
    ----------
    lesson : Lesson
        Whose policies.
    numbers : sequence of int
        The shifts on which they are tried; others than those on which lessons are tested.

    Returns
    -------
    BestWay
        No order left that makes it better when it is put in place of another by itself; there may be better ones yet.
    """
    policies = [_search_way(lesson, way, numbers) for way in lesson.ways_to_set_up()]
    return max(policies, key=lambda each: each.earned)


def _search_way(lesson: Lesson, way: str, numbers: Sequence[int]) -> BestWay:
    """The best policy with the line set up in one way."""
    chosen: Orders = {}
    best = _earned(lesson, way, chosen, numbers)
    space = _space(lesson.case(1, way))
    for _ in range(_ROUNDS):
        before = best
        for matter, options in space.items():
            for option in (*options, None):
                tried = {**chosen, matter: option} if option is not None else _without(chosen, matter)
                earned = _earned(lesson, way, tried, numbers) if tried != chosen else best
                if earned > best:
                    chosen, best = tried, earned
        if best == before:
            break
    return BestWay(way, list(chosen.values()), best)


def drawn_policies(lesson: Lesson, count: int, seed: int) -> dict[str, Stated]:
    """Standing orders drawn blindly: how the line is set up, and for each matter one of its options or the plan's.

    Parameters
    ----------
    lesson : Lesson
        Whose orders.
    count : int
        How many policies.
    seed : int
        Of the draws.
    """
    chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
    policies = {}
    for at in range(count):
        way = chance.choice(lesson.ways_to_set_up())
        options = [chance.choice([*orders, None]) for orders in _space(lesson.case(1, way)).values()]
        orders = [order for order in options if order is not None]
        policies[f"drawn {at + 1}"] = Stated(about="drawn blindly", way=way, orders=orders)
    return policies


def _without(chosen: Orders, matter: str) -> Orders:
    return {name: order for name, order in chosen.items() if name != matter}


def _earned(lesson: Lesson, way: str, chosen: Orders, numbers: Iterable[int]) -> float:
    """Mean of what the shifts earn."""
    policy = Stated(about="tried", way=way, orders=list(chosen.values()))
    earned = [carry_policy(lesson, number, policy).figures["earned"] for number in numbers]
    return math.fsum(earned) / len(earned)


def _space(case: Case) -> dict[str, list[dict[str, Any]]]:
    """What can be ordered, matter by matter."""
    space: dict[str, list[dict[str, Any]]] = {}
    for machine in case.directory.in_hand:
        space |= dict(_at_machine(case, machine))
    return space


def _at_machine(case: Case, machine: int) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Orders for the sets, the chips and the gauges of one machine."""
    directory, plan, name = case.directory, case.plan, case.directory.machine_name(machine)
    for gauge in directory.gauges_of(machine):
        label = directory.names.gauges[gauge]
        size = float(plan.gauges.error_um[gauge])
        has_cut = int(plan.gauges.corrects_cut[gauge]) != NONE or int(plan.gauges.recut_cut[gauge]) != NONE
        if has_cut and bool(plan.gauges.reads_size[gauge]):
            yield (
                f"correct {label}",
                [
                    {"do": "correct", "gauge": label, "share": 0.0},
                    *(
                        {"do": "correct", "gauge": label, "share": share, "dead_band": round(band * size, 1)}
                        for share, band in _CORRECTIONS
                    ),
                ],
            )
        yield f"every {label}", [{"do": "gauge every", "gauge": label, "parts": parts} for parts in (1, 3, 8)]
    for mount in directory.mounts_of(machine):
        label = directory.mount_names[mount]
        at = {"do": "rule", "machine": name, "set": label}
        life = _parts_per_edge(case, machine, mount)
        parts = sorted({max(1, round(share * life)) for share in _SHARES_OF_LIFE})
        yield f"{name} {label}", [{**at, "rule": {"parts": count}} for count in parts] + [{**at, "rule": "run out"}]
    if machine in directory.with_chips():
        yield f"chips {name}", [{"do": "chips", "machine": name, "clean": clean} for clean in (True, False)]
    pool = int(plan.operations.setters[directory.operation_of[machine]])
    if pool != NONE and len(directory.in_hand) > 1:
        yield (
            f"first {directory.names.pools[pool]}",
            [
                {"do": "first", "people": directory.names.pools[pool], "machines": [directory.machine_name(other)]}
                for other in directory.in_hand
            ],
        )


def _parts_per_edge(case: Case, machine: int, mount: int) -> float:
    """Parts that an average edge lasts."""
    plan = case.plan
    slot = mount - int(plan.machines.first_mount[machine])
    cuts = [cut for cut in case.directory.cuts_of(machine) if int(plan.cuts.slot[cut]) == slot]
    used = sum(float(plan.cuts.cut_min[cut] / plan.cuts.life_min[cut]) for cut in cuts)
    return 1.0 / used if used > 0.0 else 40.0
