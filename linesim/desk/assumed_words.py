"""What is taken for want of an entry, and figures of the handbook in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from linesim.handbook.entries import Entry
from linesim.plan.coefficients import OWN

__all__ = ["WORDS", "Assumed", "figure", "of_entry"]


class Assumed(NamedTuple):
    """One figure that was taken because the scenario does not say.

    Attributes
    ----------
    figure, value : str
        In words, with the unit.
    used_for : str
        Cutter, cut, feature or operation that uses it.
    strength : {"assumption", "memory"}
        How far its source goes.
    source : str
        Where it is from.
    """

    figure: str
    value: str
    used_for: str
    strength: str
    source: str


WORDS: dict[str, tuple[str, str]] = {
    # materials
    "stress_um_mm": ("movement let go by the material", "µm for each mm of depth"),
    "torn_milled_um": ("Ra that torn graphite leaves in milling, at the least", "µm"),
    "torn_bored_um": ("Ra that torn graphite leaves in boring, at the least", "µm"),
    # grades
    "ref_speed_m_min": ("edge life holds at a speed of", "m/min"),
    "n": ("exponent n of edge life on speed", ""),
    "p": ("exponent p of edge life on feed", ""),
    "q": ("exponent q of edge life on depth", ""),
    "skin_factor": ("edge life in the skin over that in sound metal", ""),
    "wear_limit_mm": ("wear land at the end of life", "mm"),
    "wear_b": ("break-in share of the wear curve", ""),
    "wear_tau": ("break-in of the wear curve, life share", ""),
    "wear_gamma": ("power of the wear curve", ""),
    "thrust_ratio": ("force into the work over cutting force, rho,", ""),
    "wear_pressure_n_mm2": ("pressure of a worn land into the work, p_w,", "N/mm²"),
    "wear_drag_n_mm2": ("drag of a worn land along the cut, p_t,", "N/mm²"),
    "edge_radius_um": ("radius of the sharp edge", "µm"),
    "roughness_growth": ("rise of Ra by the end of life, as a share,", ""),
    "roughness_power": ("power of the wear in the rise of Ra", ""),
    "roughness_past": ("rise of Ra past the wear limit, c_2,", ""),
    "roughness_floor_um": ("finest Ra of the process", "µm"),
    "life_cv": ("scatter of edge lives", ""),
    "break_shape": ("Weibull shape of breaking", ""),
    "break_scale": ("Weibull scale of breaking, life share", ""),
    "break_load": ("power of breaking on chip load, m,", ""),
    # abrasives
    "removal_um_min": ("removal by the abrasive", "µm/min"),
    "spark_out_min": ("spark-out", "min"),
    "copying_factor": ("share of the error found that the abrasive leaves", ""),
    "roughness_sharp_um": ("Ra of the sharp or freshly dressed abrasive", "µm"),
    "life_min": ("life between dressings", "min"),
    "force_growth": ("rise of the abrasive's force by the end of life, as a share,", ""),
    # the part as a body
    "stress_n_mm2": ("residual stress let go by a layer", "N/mm²"),
    "modulus_n_mm2": ("Young's modulus of the part", "N/mm²"),
    "expansion_um_m_k": ("expansion of the part", "µm/(m K)"),
    # what a process corrects
    "position": ("share of the position found that the process leaves", ""),
    "tilt": ("share of the tilt found that the process leaves", ""),
    "form": ("share of the form found that the process leaves", ""),
    "own_form_um": ("form that the process adds", "µm"),
    # processes and seats
    "copying": ("share of the error found that the process leaves", ""),
    "rougher_by_depth": ("power of Ra on depth beyond 0.5 mm", ""),
    "nose_radius_mm": ("nose radius, for the forces,", "mm"),
    "run_out_um": ("run-out of all teeth", "µm"),
    "tilt_mrad": ("tilt of the lands", "mrad"),
    "setting_um": ("setting error of a fresh edge", "µm"),
}
"""Figures of the handbook's data files: words and unit."""


def of_entry(entry: Entry, names: Iterable[str], used_for: str, also: frozenset[str]) -> Iterator[Assumed]:
    """Figures of a handbook entry that are assumptions, or from memory where they are named among these.

    Parameters
    ----------
    entry : Entry
        Of the handbook; what the scenario gives under ``handbook:`` is not listed.
    names : iterable of str
        Figures that are used.
    used_for : str
        What uses them.
    also : frozenset of str
        Figures that are listed even if they are from memory.
    """
    for name in names:
        strength = entry.strengths[name]
        is_own = entry.sources[name] == OWN
        if not is_own and (strength == "assumption" or (strength == "memory" and name in also)):
            yield figure(name, getattr(entry, name), used_for, strength, entry.sources[name])


def figure(name: str, value: float, used_for: str, strength: str, source: str) -> Assumed:
    """A figure of the data files in words."""
    words, unit = WORDS[name]
    return Assumed(words, f"{value:g} {unit}".strip(), used_for, strength, source)
