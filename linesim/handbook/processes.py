"""What the handbook takes for a process where a scenario says nothing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import yaml

__all__ = ["Usual", "usual"]


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
    """

    machine: str
    copying: float | None
    source: str
    rougher_by_depth: float = 0.0
    mounted_cv: float = 0.0
    mounted_cv_land: float = 0.0
    nose_radius_mm: float = 0.0


@cache
def _processes() -> dict[str, Usual]:
    """Processes by name, read once."""
    text = files("linesim.handbook").joinpath("data", "processes.yaml").read_text(encoding="utf-8")
    page = yaml.safe_load(text)
    processes = {}
    for name, entry in page["processes"].items():
        copying, source = entry.get("copying", (None, None))
        words = page["sources"][source]["text"] if source else "from the force's slope and the stiffness"
        rest = {key: float(item[0]) for key, item in entry.items() if key not in ("machine", "copying")}
        processes[name] = Usual(entry["machine"], copying, words, **rest)
    return processes


def usual(process: str) -> Usual:
    """What is taken for a process: milling, boring, drilling, reaming, honing or grinding.

    >>> usual("milling").machine
    'milling machine'
    """
    return _processes()[process]
