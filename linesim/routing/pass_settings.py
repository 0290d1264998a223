"""Where the edges of a feature's passes are set, and what gauges that reset them leave alone."""

from __future__ import annotations

from linesim.cutting.setting import left_alone_um
from linesim.plan.build import make_plan
from linesim.plan.figures import CutKey, cut_figures
from linesim.works import Works

__all__ = ["aims_um", "left_alone_of"]


def left_alone_of(works: Works, line: str) -> dict[tuple[str, str], float]:
    """Up to which error a gauge that resets a cut leaves its offset as it is.

    Parameters
    ----------
    works : Works
        The checked scenario.
    line : str
        Whose gauges.

    Returns
    -------
    dict of float, µm per side
        By operation and cut: the gauge's dead band, or what rounds to no step; cuts that no gauge resets are left out.
    """
    operations, left = works.lines[line].operations, {}
    for name, operation in operations.items():
        for gauge in operation.gauges.values():
            if (reset := gauge.corrects) is not None:
                key = (reset.operation or name, reset.cut)
                strokes = operations[key[0]].strokes.values()
                cutter = next(stroke.cuts[reset.cut].cutter for stroke in strokes if reset.cut in stroke.cuts)
                left[key] = left_alone_um(reset.dead_band, works.cutters[cutter].setting.step, reset.share)
    return left


def aims_um(works: Works, policy: str | None) -> dict[CutKey, float]:
    """How much deeper than intended a policy sets fresh edges, µm per side, by cut; empty if it says nothing of it."""
    name = works.chosen_policy(policy)
    if not works.policies[name].aims:
        return {}
    # The plan counts cuts in the order in which their figures are worked out.
    return dict(zip(cut_figures(works), make_plan(works, name).cuts.aim_um.tolist(), strict=True))
