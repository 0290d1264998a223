"""Which part type a casting is: a function of its serial number, for the floor and for all that hear of its parts."""

from __future__ import annotations

from linesim.chance import Purpose, uniforms
from linesim.plan.plan import Plan

__all__ = ["TypeOf"]


class TypeOf:
    """Tells the part type of castings in one run.

    Parameters
    ----------
    plan : Plan
        What is run.
    seed, replication : int
        Key of all chance of the run.
    """

    def __init__(self, plan: Plan, seed: int, replication: int) -> None:
        self._key = seed, replication
        firsts, ends = plan.lines.first_type.tolist(), plan.lines.end_type.tolist()
        shares, batches = plan.part_types.share_to.tolist(), plan.part_types.batch_to.tolist()
        self._shares = [shares[first:end] for first, end in zip(firsts, ends, strict=True)]
        orders = plan.part_types.batch_of.tolist()
        self._orders = [orders[first:end] for first, end in zip(firsts, ends, strict=True)]
        self._batches = [batches[first:end] for first, end in zip(firsts, ends, strict=True)]

    def __call__(self, line: int, serial: int) -> int:
        """The type of a casting of a line: drawn by its share, or by where it comes in the cycle of batches."""
        batches = self._batches[line]
        if len(batches) == 1:
            return 0
        if batches[-1] > 0:
            at = serial % batches[-1]
            batch = next(number for number, batch_to in enumerate(batches) if at < batch_to)
            return int(self._orders[line][batch])
        share = uniforms(*self._key, int(Purpose.PART_TYPE), line, serial, 0)[0]
        return next(number for number, share_to in enumerate(self._shares[line]) if share < share_to)
