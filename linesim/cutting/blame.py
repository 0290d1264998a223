"""Who put a place past its limit: the largest term of the account of its error, to either side.

An error is a sum of terms: what the casting brought, and what each cut, each hidden fault and each disturbance added,
copied down by every cut after. Of all terms that leave metal on only the largest is remembered, with its suspect, and
of those that cut away too much likewise: at a place with metal left on the former is to blame, else the latter.
"""

from __future__ import annotations

from linesim.law import law

__all__ = ["stronger_term", "strongest_term"]


@law
def stronger_term(suspect: int, carried_um: float, cut: int, own_um: float, sign: float) -> tuple[int, float]:
    """The larger of two terms to one side, as `strongest_term` of a good machine has it.

    >>> stronger_term(3, 5.0, 4, 7.0, 1.0), stronger_term(3, -5.0, 4, 7.0, -1.0), stronger_term(3, 5.0, 4, 5.0, 1.0)
    ((4, 7.0), (3, -5.0), (4, 5.0))
    """
    return (cut, own_um) if sign * own_um >= sign * carried_um else (suspect, carried_um)


@law
def strongest_term(
    suspect: int, carried_um: float, cut: int, own_um: float, fault: int, fault_um: float, sign: float
) -> tuple[int, float]:
    """The largest term to one side after a cut, and who is to blame for it.

    Parameters
    ----------
    suspect, carried_um : int, float
        Who was to blame before the cut, and for how much of it the cut leaves, µm.
    cut, own_um : int, float
        The cut, and what it added by itself (wear, offset, chips, chance), µm.
    fault, fault_um : int, float
        The hidden fault of its machine as a suspect, and what that added, µm; 0 for a good machine.
    sign : float
        1 for metal left on, -1 for metal cut away.

    Returns
    -------
    tuple of int, float
        Of equal terms a cut's own comes first, as it came last.

    >>> strongest_term(3, 5.0, 4, 7.0, 9, 0.0, 1.0), strongest_term(3, -5.0, 4, 7.0, 9, -6.0, -1.0)
    ((4, 7.0), (9, -6.0))
    """
    suspect, carried_um = stronger_term(suspect, carried_um, cut, own_um, sign)
    if sign * fault_um > sign * carried_um:
        suspect, carried_um = fault, fault_um
    return suspect, carried_um
