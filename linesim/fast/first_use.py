"""What is said when kernels have yet to be compiled, and which are at hand; nothing here loads the compiled engine."""

from __future__ import annotations

import sys

from linesim.law import IS_COMPILED, kernel_folder

__all__ = ["AT_HAND", "FIRST_USE", "is_kept", "say", "say_first_use"]

FIRST_USE = "Compiling the fast engine; this takes up to a minute, and only the first time ..."

AT_HAND: set[str] = set()
"""Tiers whose kernels this process has, see `linesim.fast.tiers`."""


def say(text: str) -> None:
    """Write to stderr what goes on, so that nobody wonders why it takes so long."""
    sys.stderr.write(f"{text}\n")


def is_kept(tier: str) -> bool:
    """Whether the kernels of a tier lie on disk."""
    folder = kernel_folder()
    return folder is not None and any(folder.rglob(f"kernels.run_on_{tier}-*.nbi"))


def say_first_use(tier: str) -> None:
    """Say so if the kernels of a tier are compiled by the next run, as nobody has prepared them."""
    if IS_COMPILED and tier not in AT_HAND:
        AT_HAND.add(tier)
        if not is_kept(tier):
            say(FIRST_USE)
