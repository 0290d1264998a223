"""Measuring several things side by side so that a busy machine disturbs them all alike."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Mapping
from typing import Any

from linesim.plan.plan import Plan
from tests.benchmarks.flow_models import Timed

__all__ = ["Row", "Target", "at_least", "at_most", "best_of", "show", "timed"]

Row = dict[str, Any]
Target = dict[str, Any]


def timed(plan: Plan, run: Callable[[Plan], Any]) -> Timed:
    """Run a plan once, setting up included; processor time of this process."""
    began = time.process_time()
    tally = run(plan)
    return Timed(int(tally.shipped.sum()), int(tally.worked.sum()), time.process_time() - began)


def best_of(contest: Mapping[str, Callable[[], Timed]], rounds: int) -> dict[str, Timed]:
    """The quickest run of each: in each round all of them one after another, in changing order.

    What a neighbour on the machine takes away, it takes away for a while; so everybody meets it in some rounds, and the
    quickest of several is what the machine can do.
    """
    best: dict[str, Timed] = {}
    names = list(contest)
    for turn in range(rounds):
        for name in names[turn % len(names) :] + names[: turn % len(names)]:
            now = contest[name]()
            if name in best and (now.shipped, now.worked) != (best[name].shipped, best[name].worked):
                raise SystemExit(f"{name} did not do the same twice: {now} against {best[name]}")
            if name not in best or now.seconds < best[name].seconds:
                best[name] = now
    return best


def at_least(what: str, measured: float, asked: float) -> Target:
    """A target that is met from below."""
    return {"target": what, "asked": f"at least {asked:g}", "measured": measured, "is_met": measured >= asked}


def at_most(what: str, measured: float, asked: float) -> Target:
    """A target that is met from above."""
    return {"target": what, "asked": f"at most {asked:g}", "measured": measured, "is_met": measured <= asked}


def show(rows: list[Row], targets: list[Target]) -> None:
    """Print the rows, and which targets are met."""
    for row in rows:
        figures = "   ".join(f"{name}: {value:.1f}" for name, value in row.items() if name != "what")
        sys.stdout.write(f"{row['what']:32s} {figures}\n")
    sys.stdout.write("\n")
    for target in targets:
        verdict = "met" if target["is_met"] else "NOT met"
        said = f"{target['measured']:8.2f}   {target['asked']:14s} {verdict}"
        sys.stdout.write(f"{target['target']:76s} {said}\n")
