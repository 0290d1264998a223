"""What the handbook takes for a process where a scenario says nothing."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Any

from linesim.yaml_text import data_of

__all__ = ["Usual", "sources_of", "usual"]


@dataclass(frozen=True, slots=True)
class Usual:
    """What is taken for a process.

    Attributes
    ----------
    machine : str
        Kind of machine whose typical stiffness is taken.
    copying : float or None
        Share of the error found that a sharp edge leaves; None where it follows from force and stiffness.
    source : str
        Where the copying factor comes from.
    rougher_by_depth : float
        Power with which Ra rises with the depth of cut beyond 0.5 mm; 0 where it does not.
    mounted_cv, mounted_cv_land : float
        Scatter of Ra from one mounted cutter to the next: with round noses, and where a parallel land makes the face.
    nose_radius_mm : float, mm
        For the forces of a cutter whose nose is not given; 0 for a sharp corner.
    sources : dict of str to (str, str)
        By figure: how far its source goes, and its text.
    """

    machine: str
    copying: float | None
    source: str
    rougher_by_depth: float = 0.0
    mounted_cv: float = 0.0
    mounted_cv_land: float = 0.0
    nose_radius_mm: float = 0.0
    sources: dict[str, tuple[str, str]] = field(default_factory=dict)


@cache
def _processes() -> dict[str, Usual]:
    """Processes by name, read once."""
    page = data_of("linesim.handbook", "data", "processes.yaml")
    processes = {}
    for name, entry in page["processes"].items():
        copying, source = entry.get("copying", (None, None))
        words = page["sources"][source]["text"] if source else "from the force's slope and the stiffness"
        rest = {key: float(item[0]) for key, item in entry.items() if key not in ("machine", "copying")}
        sources = {key: sources_of(page, item[1]) for key, item in entry.items() if key != "machine"}
        processes[name] = Usual(entry["machine"], copying, words, sources=sources, **rest)
    return processes


def sources_of(page: dict[str, Any], key: str) -> tuple[str, str]:
    """How far a source of a data file goes, and its text."""
    return str(page["sources"][key]["strength"]), " ".join(str(page["sources"][key]["text"]).split())


def usual(process: str) -> Usual:
    """What is taken for a process: milling, boring, drilling, reaming, honing or grinding.

    >>> usual("milling").machine
    'milling machine'
    """
    return _processes()[process]
