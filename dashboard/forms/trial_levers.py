"""What a trial says beside its rules: aims, corrections, parts until sets are set anew, overhauls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from linesim.works import Works
from linesim.works.checks_first_piece import is_gauged_first
from linesim.works.scalars import plain_scalar
from linesim.works.setting import Aim, CorrectionChange
from linesim.works.walks import cuts_of, cutters_of, operations_of

__all__ = ["TrialLever", "levers_as_said", "trial_levers"]

Value = TypeVar("Value")

_LEVERS = {
    "aims": "fresh edge deeper by",
    "corrections": "share, dead band of",
    "rezero": "set anew after parts",
    "overhauls": "overhaul after cutting minutes",
}


@dataclass(frozen=True)
class TrialLever:
    """What a policy says beside its rules of one set or gauge.

    Attributes
    ----------
    entry : {"aims", "corrections", "rezero", "overhauls"}
        Of the policy.
    key : str
        Operation / set or gauge, or operation, as the policy names it.
    written : str
        As it is written; empty for what the scenario says.
    """

    entry: str
    key: str
    written: str

    @property
    def label(self) -> str:
        """What the form calls it."""
        return f"{_LEVERS[self.entry]}, {self.key}"


def trial_levers(works: Works, policy: str) -> list[TrialLever]:
    """Aims, corrections and parts until sets are set anew, to be changed: those that can act in the works."""
    of = works.policies[policy]
    sets = list(dict.fromkeys((cut.at.name, cut.cut.cutter) for cut in cuts_of(works)))
    anew = [(at.name, name) for at in operations_of(works) for name in cutters_of(at.operation)
            if is_gauged_first(at.operation, name)]  # fmt: skip
    gauges = [(at.name, name) for at in operations_of(works) for name, gauge in at.operation.gauges.items()
              if gauge.corrects is not None]  # fmt: skip
    return [
        *(TrialLever("aims", f"{at} / {name}", _aim_text(_known(of.aims, at, name))) for at, name in sets),
        *(TrialLever("corrections", f"{at} / {name}", _correction_text(_known(of.corrections, at, name)))
          for at, name in gauges),
        *(TrialLever("rezero", f"{at} / {name}", _plain_text(_known(of.rezero, at, name))) for at, name in anew),
        *(TrialLever("overhauls", at.name, _plain_text(of.overhauls.get(at.name))) for at in operations_of(works)
          if at.operation.breakdowns is not None and at.operation.breakdowns.overhaul is not None),
    ]  # fmt: skip


def levers_as_said(levers: Sequence[TrialLever], written: Mapping[str, str]) -> dict[str, dict[str, Any]]:
    """Aims, corrections and the like as a file would say them, by what was typed under each label."""
    entries: dict[str, dict[str, Any]] = {entry: {} for entry in _LEVERS}
    for lever in levers:
        text = written.get(lever.label, lever.written).strip()
        if text:
            entries[lever.entry][lever.key] = _correction(text) if lever.entry == "corrections" else plain_scalar(text)
    return entries


def _known(values: Mapping[str, Value], operation: str, name: str) -> Value | None:
    return values.get(f"{operation} / {name}", values.get(name))


def _plain_text(value: object) -> str:
    return "" if value is None else str(value)


def _aim_text(aim: Aim | None) -> str:
    return "" if aim is None else aim if isinstance(aim, str) else f"{aim:g} um"


def _correction_text(change: CorrectionChange | None) -> str:
    """Share, dead band and one part in so many, any of them left out."""
    if change is None:
        return ""
    share = "" if change.share is None else f"{change.share:g}"
    band = "" if change.dead_band is None else f"{change.dead_band:g} um"
    every = "" if change.every is None else f"{change.every}"
    return f"{share}, {band}, {every}".rstrip(", ")


def _correction(text: str) -> dict[str, Any]:
    share, band, every = (part.strip() for part in (*text.split(",", 2), "", "")[:3])
    said = {"share": share, "dead_band": band, "every": every}
    return {name: plain_scalar(value) for name, value in said.items() if value}
