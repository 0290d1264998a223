"""How a kind of cutter set is renewed, as the plan counts."""

from __future__ import annotations

from linesim.plan.tables import UNLIMITED, RenewalWay
from linesim.works.crib import Cutter

__all__ = ["renewal_of"]


def renewal_of(cutter: Cutter) -> tuple[RenewalWay, int]:
    """How a set is renewed, and how often it can be used in all without coming off."""
    renewal = cutter.renewal
    if renewal.indexed is not None:
        return RenewalWay.INDEXED, renewal.indexed.edges
    if renewal.dressed is not None:
        of = renewal.dressed.dressings
        return RenewalWay.DRESSED, UNLIMITED if of is None else of + 1
    return (RenewalWay.REGROUND, 1) if renewal.reground is not None else (RenewalWay.BOUGHT, 1)
