"""Levers moved farther than the steps of a search lead: another order of part types, batches of another size."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from linesim.study.search.common.lever import Lever
from linesim.study.search.common.set_at import Setting
from linesim.works.part_types import SEQUENCE_NAMES

__all__ = ["far_settings"]

_BATCHES = (0.25, 0.5, 2.0, 4.0, 10.0)
"""Batches are tried at so many times what they are."""


def far_settings(setting: Setting, levers: Sequence[Lever]) -> Iterator[Setting]:
    """A setting with all machines taking part types in one order, and with batches of another size.

    Parameters
    ----------
    setting : Setting
        The one to move.
    levers : sequence of Lever
        Those whose values it has; nothing comes of others than sequences and batches.
    """
    for value in range(len(SEQUENCE_NAMES)):
        yield _with(setting, levers, "sequence", lambda _, to=float(value): to)  # type: ignore[misc]
    for times in _BATCHES:
        yield _with(setting, levers, "batches", lambda now, times=times: now * times)  # type: ignore[misc]


def _with(setting: Setting, levers: Sequence[Lever], kind: str, to: Callable[[float], float]) -> Setting:
    pairs = zip(levers, setting.values, strict=True)
    return replace(setting, values=tuple(lever.snapped(to(now)) if lever.kind == kind else now for lever, now in pairs))
