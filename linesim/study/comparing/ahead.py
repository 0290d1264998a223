"""Kernels compiled by another process, while the SimPy floor gives a rough first answer."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from linesim.fast.first_use import AT_HAND, is_kept
from linesim.law import IS_COMPILED, kernel_folder
from linesim.plan.plan import Plan

__all__ = ["compiling_ahead", "missing_tiers", "waits_for"]

_LOOK_S = 0.2


def missing_tiers(plans: Iterable[Plan]) -> list[str]:
    """Tiers whose kernels some plans take and nobody has compiled; none where nothing can be compiled or kept."""
    if not IS_COMPILED or kernel_folder() is None:
        return []
    from linesim.fast.run import tier_of_plan  # noqa: PLC0415 - what cannot be compiled shall not be loaded

    tiers = sorted({tier_of_plan(plan) for plan in plans if not plan.own_rules})
    return [tier for tier in tiers if tier not in AT_HAND and not is_kept(tier)]


@contextmanager
def compiling_ahead(tiers: Iterable[str]) -> Iterator[subprocess.Popen[bytes]]:
    """A process that compiles some tiers and keeps them on disk; it is ended with the block if it still works."""
    program = "from linesim.fast.warming import warm_up\n" + "\n".join(f"warm_up({tier!r})" for tier in tiers)
    with subprocess.Popen(  # noqa: S603 - our own program, and names of tiers
        [sys.executable, "-c", program], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as at:
        try:
            yield at
        finally:
            if at.poll() is None:
                at.kill()


def waits_for(process: subprocess.Popen[bytes]) -> Iterator[None]:
    """A breath several times a second until a process has ended, well or not."""
    while process.poll() is None:
        time.sleep(_LOOK_S)
        yield
