"""Castings, regrinds and offset practice put into a scenario; what counts say is foretold, and stands in none."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from linesim.errors import quoted
from linesim.records.castings import HEAT_SHARE, SPREAD
from linesim.records.coefficient import UNKNOWN, Coefficient
from linesim.records.counted import SCRAP
from linesim.records.entry import Entry, entry_of
from linesim.records.fitted import Fitted
from linesim.records.offsets import CORRECTED, DEAD_BAND
from linesim.records.regrinds import MARGIN, PAST_LIMIT, PER_LAND
from linesim.works.model import Works
from linesim.works.walks import operations_of

__all__ = ["add_two_figures"]

_MOST_SHARE, _MOST_LAND, _MOST_PAST = 2.0, 10.0, 2.0
"""Greatest values that a scenario takes."""


def add_two_figures(entries: list[Entry], remarks: list[str], fitted: Fitted, works: Works) -> None:
    """Add what these records say of a scenario.

    Parameters
    ----------
    entries, remarks : list
        Are added to.
    fitted : Fitted
        What the records say.
    works : Works
        The scenario.
    """
    own: dict[str, dict[str, Coefficient]] = {}
    for each in fitted.coefficients:
        own.setdefault(each.of, {})[each.name] = each
    for of, figures in own.items():
        if SPREAD in figures:
            _castings(entries, remarks, of, figures, works)
        if MARGIN in figures:
            _regrinds(entries, remarks, of, figures, works)
        if CORRECTED in figures or DEAD_BAND in figures:
            _offsets(entries, remarks, of, figures, works)
    if any(SCRAP in figures for figures in own.values()):
        remarks.append(
            "Scrap is foretold by a scenario and no figure of it; linesim prove holds the counts against it."
        )


def _castings(entries: list[Entry], remarks: list[str], of: str, own: dict[str, Coefficient], works: Works) -> None:
    """The spread of a surface as cast; what belongs to the heat is dealt out casting by casting."""
    places = [(name, of) for name, line in works.lines.items() if of in line.features]
    for line, feature in places:
        entries.append(entry_of(("lines", line, "features", feature, "as_cast", "spread"), own[SPREAD]))
    if not places:
        remarks.append(f"{quoted(of)} is in the records of castings, and no feature of this scenario.")
    elif (share := own.get(HEAT_SHARE)) is not None and share.state != UNKNOWN:
        span = f"{100.0 * share.interval.low:.0f} to {100.0 * share.interval.high:.0f} %"
        remarks.append(
            f"{of}: {100.0 * share.interval.value:.0f} % of the square of its spread ({span}) belongs to the heat; the "
            "model deals the whole spread out casting by casting, so that runs of high or low castings are not in it."
        )


def _regrinds(entries: list[Entry], remarks: list[str], of: str, own: dict[str, Coefficient], works: Works) -> None:
    """What a regrind takes, where the set is reground and the figures are established."""
    if of not in works.cutters or works.cutters[of].renewal.reground is None:
        remarks.append(f"{quoted(of)} is in the records of regrinds, and no reground set of this scenario.")
        return
    margin, land = own[MARGIN], own[PER_LAND]
    if land.state == UNKNOWN or not (0.0 < land.interval.value <= _MOST_LAND and margin.interval.value >= 0.0):
        remarks.append(f"{of}: what a regrind takes is not established; the scenario's figures stay.")
        return
    path = ("cutters", of, "renewal", "reground")
    entries += [entry_of((*path, "margin"), margin), entry_of((*path, "per_wear_land"), land)]
    past = own.get(PAST_LIMIT)
    if past is not None and past.state != UNKNOWN and 0.0 <= past.interval.value <= _MOST_PAST:
        entries.append(entry_of((*path, "past_limit"), past))
    else:
        words = "what a regrind takes besides past the wear limit is not in the records, or not established"
        remarks.append(f"{of}: {words}; the scenario's figure stays.")


def _offsets(entries: list[Entry], remarks: list[str], of: str, own: dict[str, Coefficient], works: Works) -> None:
    """Share and dead band of a gauge that corrects a cut."""
    places = list(_correcting(works, of))
    if not places:
        remarks.append(f"{quoted(of)} is in the records of offsets, and no gauge of this scenario that corrects a cut.")
    for name, entry in ((CORRECTED, "share"), (DEAD_BAND, "dead_band")):
        each = own.get(name)
        most = _MOST_SHARE if name == CORRECTED else inf
        if each is not None and each.state != UNKNOWN and each.interval.value <= most:
            entries.extend(entry_of((*path, entry), each) for path in places)
        elif places:
            remarks.append(f"{of}: {name} is not in the records, or not established; the scenario's figure stays.")


def _correcting(works: Works, of: str) -> Iterator[tuple[str, ...]]:
    """Paths of the corrections of a gauge."""
    for at in operations_of(works):
        gauge = at.operation.gauges.get(of)
        if gauge is not None and gauge.corrects is not None:
            yield ("lines", at.line_name, "operations", at.name, "gauges", of, "corrects")
