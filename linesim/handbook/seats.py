"""How the inserts of a mill are seated: run-out of the mounted cutter and tilt of its lands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from linesim.handbook.processes import sources_of
from linesim.yaml_text import data_of

__all__ = ["SEATS", "USUAL_SEAT", "Seat"]


@dataclass(frozen=True, slots=True)
class Seat:
    """What follows from a kind of seat.

    Attributes
    ----------
    run_out_um : float, µm
        Axial run-out of all teeth (TIR) of the mounted cutter.
    tilt_mrad : float, mrad
        Mean tilt of a parallel land against the face.
    setting_um : float, µm
        Standard deviation of where a fresh edge stands after a change.
    source : str
        Where the run-out comes from.
    sources : dict of str to (str, str)
        By figure: how far its source goes, and its text.
    """

    run_out_um: float
    tilt_mrad: float
    setting_um: float
    source: str
    sources: dict[str, tuple[str, str]]


@cache
def _page() -> tuple[dict[str, Seat], str]:
    page = data_of("linesim.handbook", "data", "seats.yaml")
    seats = {}
    for name, entry in page["seats"].items():
        run_out, source = entry["run_out_um"]
        tilt, setting = float(entry["tilt_mrad"][0]), float(entry["setting_um"][0])
        sources = {key: sources_of(page, item[1]) for key, item in entry.items()}
        seats[name] = Seat(float(run_out), tilt, setting, str(page["sources"][source]["text"]), sources)
    return seats, str(page["usual"])


SEATS: dict[str, Seat] = _page()[0]
"""Kinds of seat by name."""

USUAL_SEAT: str = _page()[1]
"""What is taken where a scenario says neither seat nor run-out: between the two ends."""
