"""Random numbers: uniform and normal ones, each a pure function of seed, replication, purpose, spot, index and draw."""

from __future__ import annotations

from enum import IntEnum

from linesim.law import law
from linesim.normal import normal_from_uniform
from linesim.philox import open_unit, philox

__all__ = ["Purpose", "normals", "uniforms"]


class Purpose(IntEnum):
    """What a random number is for. Part of every draw: never renumber, only add, or old runs cannot be repeated."""

    CASTING = 0
    CUT = 1
    EDGE = 2
    CYCLE = 3
    ARRIVAL = 4
    CHANGE = 5
    CHECK = 6
    GAUGE = 7
    REGRIND = 8
    SUPPLY = 9
    FAILURE = 10
    REPAIR = 11
    CHIP = 12
    MOVE = 13
    DISTURB = 14
    YIELD = 15
    RECUT = 16
    OTHER = 17
    HEAT = 18
    SAVING = 19
    FIXTURE = 20
    STRENGTH = 21
    MENDING = 22
    FAULT = 23
    RIGHTING = 24
    MASTERING = 25
    KIND_LIFE = 26
    FIRST_PIECE = 27
    OVERHAUL = 28
    CARRY = 29
    PART_TYPE = 30
    CHANGEOVER = 31
    CARRYING = 32
    BRANCH = 33
    EXCHANGE = 34
    LOAD = 35
    PRESETTING = 36
    BREAK_PROBE = 37


@law
def uniforms(
    seed: int, replication: int, purpose: int, spot: int, index: int, draw: int
) -> tuple[float, float, float, float]:
    """Four independent numbers, uniform on the open interval (0, 1).

    Parameters
    ----------
    seed, replication : int
        Key of the run, 0 or more.
    purpose : int
        A member of `Purpose`.
    spot : int
        Which operation, machine, feature or set, 0 or more; see `addresses`.
    index : int
        Ordinal at that spot (serial number of the part, number of the edge ...), 0 or more.
    draw : int
        Further blocks of four for the same event, 0 or more.

    Returns
    -------
    tuple of four float
        Each (k + 1/2) / 2**52 with k from 0 to 2**52 - 1, so never 0 and never 1.

    >>> all(0.0 < u < 1.0 for u in uniforms(1, 0, 0, 0, 0, 0))
    True
    """
    a, b, c, d = philox(index, spot, purpose, draw, seed, replication)
    return open_unit(a), open_unit(b), open_unit(c), open_unit(d)


@law
def normals(
    seed: int, replication: int, purpose: int, spot: int, index: int, draw: int
) -> tuple[float, float, float, float]:
    """Four independent standard normal numbers; arguments as for `uniforms`.

    Returns
    -------
    tuple of four float
        By inversion, so the normals rise with the uniforms of the same arguments.

    >>> normals(1, 0, 0, 0, 7, 0) == normals(1, 0, 0, 0, 7, 0)
    True
    """
    a, b, c, d = uniforms(seed, replication, purpose, spot, index, draw)
    return normal_from_uniform(a), normal_from_uniform(b), normal_from_uniform(c), normal_from_uniform(d)
