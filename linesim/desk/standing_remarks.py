"""How far from where they are meant to be edges stand after a first piece: what a reading and whole steps leave."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.cutting.setting import left_after_trial_um
from linesim.plan.levers import setting_error_um
from linesim.words import keep
from linesim.works.checks_first_piece import is_gauged_first, last_cuts
from linesim.works.model import Works
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["on_trial_cuts"]


def on_trial_cuts(works: Works) -> Iterator[str]:
    """What is left of a setting error where a first piece is put right by an offset that goes by whole steps.

    Of several cuts of a set the one counts of which most is left. The piece tells where the edge stands only as far as
    the reading and its own scatter from part to part let it.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Yields
    ------
    str
    """
    for at in operations_of(works):
        read: dict[str, float] = {}
        for cut in last_cuts(at.operation).values():
            if works.cutters[cut.cutter].setting.step > 0.0 and is_gauged_first(at.operation, cut.cutter):
                noise_um = _noise_um(at, cut.feature, cut.repeatability)
                read[cut.cutter] = max(noise_um, read.get(cut.cutter, 0.0))
        for kind, noise_um in read.items():
            setting = works.cutters[kind].setting
            yield keep(
                "desk.trial_leaves", line=at.line_name, operation=at.name, cutter=kind, reading=noise_um,
                step=setting.step, left=left_after_trial_um(noise_um, setting.step),
                set=math.hypot(setting_error_um(works.cutters[kind]), setting.bias),
            )  # fmt: skip


def _noise_um(at: OperationPlace, feature: str, repeatability_um: float) -> float:
    """Standard deviation of what is read of one piece about where the edge stands, in the mean over its places."""
    first = at.operation.first_piece
    assert first is not None
    return math.hypot(first.error, repeatability_um) / math.sqrt(at.line.features[feature].places)
