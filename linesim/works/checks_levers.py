"""Whether what a policy says beside its rules names sets and gauges that are there, and can act on them."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.works.checks_first_piece import is_gauged_first
from linesim.works.nodes import Path
from linesim.works.policies import Policy
from linesim.works.report import Report
from linesim.works.upkeep import breakdowns_of
from linesim.works.walks import cuts_of, cutters_of, operations_of

__all__ = ["check_levers"]

_SETS = 'a cutter that makes cuts, or an operation and its cutter ("Op 40 / finish blade")'
_FIRST = "a cutter whose first piece is gauged after a change, or an operation and its cutter"
_OVERHAULED = "an operation whose machines are overhauled"
_GAUGES = 'a gauge that corrects a cut, or an operation and its gauge ("Op 40 / bore gauge")'


def check_levers(report: Report) -> None:
    """Look up the sets that are aimed and the gauges whose correction is changed.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    policies = {name: policy for name, policy in report.works.policies.items() if _has_levers(policy)}
    if not policies or any(place[0] == "lines" for place in report.gone):
        return
    cutting = [name for cut in cuts_of(report.works) for name in (cut.cut.cutter, f"{cut.at.name} / {cut.cut.cutter}")]
    known = {
        "aims": (dict.fromkeys(cutting), _SETS),
        "corrections": (dict.fromkeys(_correcting(report)), _GAUGES),
        "overhauls": (dict.fromkeys(_overhauled(report)), _OVERHAULED),
        "rezero": (dict.fromkeys(_gauged_first(report)), _FIRST),
    }
    for name, policy in policies.items():
        for entry, (names, kind) in known.items():
            path: Path = ("policies", name, entry)
            for named in getattr(policy, entry):
                report.known((*path, named), named, names, kind)


def _has_levers(policy: Policy) -> bool:
    return bool(policy.aims or policy.corrections or policy.rezero or policy.overhauls)


def _correcting(report: Report) -> Iterator[str]:
    """Names of the gauges that correct a cut, alone and with their operation."""
    for at in operations_of(report.works):
        for name, gauge in at.operation.gauges.items():
            if gauge.corrects is not None:
                yield from (name, f"{at.name} / {name}")


def _overhauled(report: Report) -> Iterator[str]:
    """Names of the operations whose machines are overhauled."""
    for at in operations_of(report.works):
        for number in range(at.operation.machines):
            breakdowns = breakdowns_of(at.operation, number)
            if breakdowns is not None and breakdowns.overhaul is not None:
                yield at.name


def _gauged_first(report: Report) -> Iterator[str]:
    """Names of the sets after whose change a first piece is gauged, alone and with their operation."""
    for at in operations_of(report.works):
        for name in cutters_of(at.operation):
            if is_gauged_first(at.operation, name):
                yield from (name, f"{at.name} / {name}")
