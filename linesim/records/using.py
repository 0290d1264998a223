"""Figures from records put into a scenario in hand: what stands there now, what comes in its stead, and whence."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from linesim.records.overlay import Entry, Overlay
from linesim.works import changed
from linesim.works.durations import Spread
from linesim.works.model import Works
from linesim.works.walks import operations_of

__all__ = ["Use", "uses_of", "with_figures"]

_MARK = "From records: "
_MOST_SIGNS = 1500
_OF_GRADE = ", from records"
_MEANS = {
    "based_on": "all else of its grade as",
    "ref_life_min": "mean edge life, min",
    "ref_speed_m_min": "life holds at, m/min",
    "ref_feed_mm": "life holds at a feed of, mm",
    "ref_depth_mm": "life holds at a depth of, mm",
    "skin_factor": "factor for the casting's skin",
    "n": "speed exponent n",
    "p": "feed exponent p",
    "q": "depth exponent q",
    "wear_b": "break-in share of the wear curve",
    "wear_tau": "break-in length of the wear curve",
    "wear_gamma": "power of the wear curve",
    "life, about": "mean edge life, min",
    "life, known_within": "mean life is known within a factor of",
    "life_cv": "scatter of life (cv)",
    "breaking, shape": "breaking, shape",
    "breaking, scale": "breaking, scale (life share)",
    "change, lognormal, mean": "change, mean, min",
    "change, lognormal, cv": "change, scatter (cv)",
    "change": "change, min",
    "setting, error": "setting error, µm",
    "as_cast, spread": "spread as cast, µm",
    "renewal, reground, margin": "ground away beyond the wear land, mm",
    "renewal, reground, per_wear_land": "ground away per mm of wear land",
    "renewal, reground, past_limit": "ground away besides past the wear limit",
    "breakdowns, repair, lognormal, mean": "repair, mean, min",
    "breakdowns, repair, lognormal, cv": "repair, scatter (cv)",
}
"""Entries as people say them; others stand as the scenario names them."""


@dataclass(frozen=True)
class Use:
    """One figure that would go into a scenario.

    Attributes
    ----------
    of, what : str
        The set or operation, and what of it, with its unit.
    now : str
        What stands there; empty where the handbook speaks.
    then : str
        What would stand there.
    origin : str
        Interval, how far it is established, files, rows and dates.
    """

    of: str
    what: str
    now: str
    then: str
    origin: str


def uses_of(overlay: Overlay, works: Works) -> list[Use]:
    """What an overlay does to a scenario, entry by entry.

    Parameters
    ----------
    overlay : Overlay
        As `linesim.records.overlay.overlay_of` gives it for this scenario.
    works : Works
        The scenario.
    """
    return [
        Use(_of(entry.path), _what(entry.path), _now(works, entry), _words(entry.value), entry.origin)
        for entry in overlay.entries
    ]


def _of(path: tuple[str, ...]) -> str:
    """The set or operation that an entry is about."""
    return path[3] if path[0] == "lines" else path[1] if path[0] == "cutters" else path[2].removesuffix(_OF_GRADE)


def _what(path: tuple[str, ...]) -> str:
    """What an entry is, as a person would say it."""
    own = path[4:] if path[0] == "lines" else path[2:] if path[0] == "cutters" else path[3:]
    return _MEANS.get(own[-1] if path[0] == "handbook" else ", ".join(own), ", ".join(own))


def with_figures(works: Works, overlay: Overlay) -> Works:
    """Put the shop's own figures into a scenario; each set and operation says in its remarks where they come from.

    Parameters
    ----------
    works : Works
        Stays as it is.
    overlay : Overlay
        As `linesim.records.overlay.overlay_of` gives it for this scenario.

    Raises
    ------
    ScenarioError
        A figure cannot stand in it, or two do not go together; with everything that is wrong.
    """
    return changed(works, overlay.tree(_remarks(works, overlay)), "figures from the records")


def _remarks(works: Works, overlay: Overlay) -> dict[tuple[str, ...], str]:
    """The remarks of each set and operation that gets a figure, with where its figures come from."""
    origins: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for entry in overlay.entries:
        owner = _owner(entry.path)
        if owner and entry.origin not in origins[owner]:
            origins[owner].append(entry.origin)
    about: dict[tuple[str, ...], str] = {("cutters", name): cutter.about for name, cutter in works.cutters.items()}
    about |= {("lines", at.line_name, "operations", at.name): at.operation.about for at in operations_of(works)}
    return {(*owner, "about"): _remark(about.get(owner, ""), of) for owner, of in origins.items()}


def _remark(before: str, origins: list[str]) -> str:
    """Remarks with where figures come from, in place of what an earlier fit wrote there."""
    own = before.partition(_MARK)[0].rstrip()
    return f"{own} {_MARK}{'; '.join(origins)}".strip()[:_MOST_SIGNS]


def _owner(path: tuple[str, ...]) -> tuple[str, ...]:
    """The set or operation that a figure belongs to; nothing for what is no figure of the shop's."""
    if path[0] == "cutters" and path[2] != "grade":
        return path[:2]
    if path[:2] == ("handbook", "grades") and path[-1] not in ("based_on", "skin_factor"):
        return "cutters", path[2].removesuffix(_OF_GRADE)
    return path[:4] if path[0] == "lines" and path[2] == "operations" else ()


def _now(works: Works, entry: Entry) -> str:
    """What stands at a path in a scenario, in short; empty where nothing does."""
    at: Any = works
    for name in entry.path:
        before = at
        at = at.get(name) if isinstance(at, Mapping) else getattr(at, name, None)
        if at is None:
            return _words(before) if isinstance(before, Spread) else _life(works, entry)
    return _words(at)


def _life(works: Works, entry: Entry) -> str:
    """A set's life where it stands as one figure."""
    if entry.path[0] != "cutters" or "life" not in entry.path:
        return ""
    life = works.cutters[entry.path[1]].life
    return "" if life is None or isinstance(life, BaseModel) else f"{life:g}"


def _words(value: Any) -> str:
    """A value in short."""
    if isinstance(value, Spread):
        of = getattr(value, value.name)
        return f"{of:g}" if isinstance(of, float) else value.name
    return f"{value:g}" if isinstance(value, (int, float)) else str(value) if isinstance(value, str) else ""
