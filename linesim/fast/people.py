"""Pools of people, the tool grinders among them."""

from __future__ import annotations

from linesim.fast import steps
from linesim.fast.common import call, enter, first_claim, make_ready, queue_claim
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, pool_at
from linesim.fast.state import Machine, Pool, World
from linesim.plan.tables import NONE


@inlined
def account_people(w: World, p: Pool) -> None:
    """Count who was busy and who waited, up to now."""
    passed = w.now - p.since_min
    if passed > 0.0:
        p.level_min += (p.capacity - p.free) * passed
        p.queue_min += p.n_claims * passed
        p.since_min = w.now


@compiled
def claim_people(w: World, pool: int, claim: int) -> None:
    """Ask for one of them."""
    p = pool_at(w.pools, pool)
    account_people(w, p)
    queue_claim(w, p, claim)
    call(w, pool)


@compiled
def call_people(w: World, m: Machine, pool: int, state: int, then: int) -> int:
    """A machine waits in a state for one of them, and goes on at a step; at once where nobody is needed."""
    if pool == NONE:
        return then
    enter(w, m, state)
    claim_people(w, pool, m.index)
    m.step = then
    return steps.BLOCKED


@compiled
def release_people(w: World, pool: int) -> None:
    """One of them is free again."""
    p = pool_at(w.pools, pool)
    account_people(w, p)
    p.free += 1
    call(w, pool)


@inlined
def give_out_people(w: World, p: Pool) -> None:
    """Send the free ones to the longest waiting."""
    while p.free > 0 and p.n_claims > 0:
        account_people(w, p)
        claim = first_claim(w, p)
        p.free -= 1
        p.served += 1
        p.waited_min += w.now - claim_at(w.claims, claim).since_min
        # Claims of machines come first in the array, then those of mounts; sets wait at the grinders.
        make_ready(w, claim if claim < w.n_machines else claim - w.n_mounts)
