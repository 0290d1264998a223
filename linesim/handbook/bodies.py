"""The part as a body, by family of its material, and what each process does to how true its places lie."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from linesim.handbook.entries import Entry
from linesim.handbook.reader import entries_in

__all__ = ["Body", "Corrects", "body_of", "corrects"]


@dataclass(frozen=True, slots=True)
class Body(Entry):
    """The part as a body.

    Attributes
    ----------
    stress_n_mm2 : float, N/mm2
        Residual stress that a layer taken off lets go.
    modulus_n_mm2 : float, N/mm2
        Young's modulus.
    expansion_um_m_k : float, µm/(m K)
        Expansion.
    specific_heat_j_kg_k : float, J/(kg K)
        Specific heat.
    heat_share : float
        Share of the heat of a cut that goes into the part.
    """

    stress_n_mm2: float
    modulus_n_mm2: float
    expansion_um_m_k: float
    specific_heat_j_kg_k: float
    heat_share: float


@dataclass(frozen=True, slots=True)
class Corrects(Entry):
    """What a process leaves of position, tilt and form, and the form that it adds.

    Attributes
    ----------
    position, tilt, form : float
        Share left; -1 for the copying factor of the cut.
    own_form_um : float, µm
        Added whatever it finds.
    """

    position: float
    tilt: float
    form: float
    own_form_um: float


@cache
def _bodies() -> dict[str, Body]:
    return entries_in(Body, "bodies", "bodies")


@cache
def _processes() -> dict[str, Corrects]:
    return entries_in(Corrects, "bodies", "processes", "process_sources")


def body_of(family: str) -> Body:
    """The body of a family of materials.

    >>> body_of("grey iron").expansion_um_m_k
    10.8
    """
    return _bodies()[family]


def corrects(process: str) -> Corrects:
    """What a process leaves of position, tilt and form: milling, boring, drilling, reaming, honing or grinding.

    >>> corrects("reaming").position
    1.0
    """
    return _processes()[process]
