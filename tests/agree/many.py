"""Many works drawn with all that there is, on both engines: ``python -m tests.agree.many --works 2000 --seed 1``.

Started by hand, as it takes the better part of an hour. Every part, every state's minutes and every count is compared
with ``==``; what a drawn work has is counted, so that it can be seen that all of it was drawn, and together.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from random import Random
from typing import Any

import numpy as np

from linesim.errors import RunError
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.works import Works
from tests.agree.together_at_random import works_together
from tests.agree.twins import assert_twins_agree, both_refuse

__all__ = ["main", "one_work"]

_OPERATION = (
    "batch", "magazine", "measuring_room", "takes_off", "joins", "attended", "first_piece", "test", "changeover",
    "only", "branch", "turns_bad", "warm_up", "fixtures", "unlike", "sequence", "minutes_by_type", "recut_chance",
    "breakage_probe",
)  # fmt: skip


def main() -> int:
    """Carry out as many as are asked for, and say what they had."""
    options = argparse.ArgumentParser(prog="python -m tests.agree.many", description=__doc__)
    options.add_argument("--works", type=int, default=2000, metavar="N", help="draw so many")
    options.add_argument("--seed", type=int, default=1, metavar="N", help="of the draws")
    asked = options.parse_args()
    began_s = time.monotonic()
    had: Counter[str] = Counter()
    faults: list[str] = []
    for at in range(asked.works):
        try:
            had += one_work(f"{asked.seed} {at}", at)
        except Exception as error:  # noqa: BLE001 - whatever comes is told with what brings it back
            faults.append(f"--seed {asked.seed}, work {at}: {type(error).__name__}: {error}")
            print(faults[-1], flush=True)
        if (at + 1) % 100 == 0:
            print(f"{at + 1} works, {len(faults)} faults, {time.monotonic() - began_s:.0f} s", flush=True)
    print(", ".join(f"{count} {what}" for what, count in sorted(had.items())))
    return 1 if faults else 0


def one_work(draw: str, seed: int, newest: bool = True) -> Counter[str]:
    """Draw a works, run it on both engines, and count what it had.

    Parameters
    ----------
    draw : str
        The same one draws the same works.
    seed : int
        Of the run.
    newest : bool
        With what came last into the model.

    Returns
    -------
    Counter of str

    Raises
    ------
    AssertionError
        If the engines differ, or the states of a machine do not add up to the time that is counted.
    """
    works = works_together(Random(draw), newest)
    plan = make_plan(works, "one")
    try:
        tally = assert_twins_agree(plan, seed)
    except RunError:
        both_refuse(plan, seed)
        return Counter({"works": 1, "refused by both in the same words": 1})
    assert np.allclose(tally.state_min.sum(axis=1), tally.counted_min, rtol=0, atol=1e-6 * max(tally.counted_min, 1))
    return Counter({"works": 1, "parts shipped": int(tally.shipped.sum())}) + _had(works, tally)


def _had(works: Works, tally: Tally) -> Counter[str]:
    """What a works has, each counted once."""
    had: set[str] = {"gets stuck"} if tally.is_stuck else set()
    for line in works.lines.values():
        had |= {what for what in ("parts", "branches", "pallets") if getattr(line, what)}
        for operation in line.operations.values():
            had |= {what for what in _OPERATION if _said(getattr(operation, what))}
            had |= {f"move {type(operation.move).__name__}"} if operation.move else set()
            had |= {gauge.where for gauge in operation.gauges.values()}
    had |= {"now"} if works.now else set()
    had |= {"a start within a shift"} if works.now is not None and works.now.at.after > 0.0 else set()
    had |= {"presetting"} if any(_said(each.presetting) for each in works.cutters.values()) else set()
    had |= {"lines that share"} if len(works.lines) > 1 else set()
    return Counter(had)


def _said(entry: Any) -> bool:
    return bool(entry) and entry != "oldest first"


if __name__ == "__main__":
    sys.exit(main())
