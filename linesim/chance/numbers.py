"""Random numbers: uniform and normal ones, each a pure function of seed, replication, purpose, spot, index and draw.

At each address of seed, replication, purpose, spot and index there is a stream of numbers. A block of Philox holds
eight of them, 32 bits each, so that a number has a resolution of 2**-32 (2.3e-10), and a normal one by inversion lies
within 6.34 standard deviations to either side, beyond which lie 2.3e-10 of all. A draw is four of them: draws 2k and
2k + 1 share block k. Whoever goes on from one to the next, as from place to place of a feature, makes each block once
(`block_of`, `four_of`, `number_of`); everybody else asks for four numbers or for one (`uniforms`, `uniform_at`).
"""

from __future__ import annotations

from enum import IntEnum

from linesim.law import law
from linesim.normal import normal_from_uniform
from linesim.philox import philox, two_units

__all__ = ["Purpose", "block_of", "four_of", "normals", "number_of", "uniform_at", "uniforms"]


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
    SKIN_HIT = 38
    GAUGE_WALK = 39


Block = tuple[int, int, int, int]
"""A block of Philox: four words of 64 bits."""


@law
def block_of(seed: int, replication: int, purpose: int, spot: int, index: int, block: int) -> Block:
    """A block of the stream at an address; arguments as for `uniforms`, ``block`` half the draw, rounded down."""
    return philox(index, spot, purpose, block, seed, replication)


@law
def four_of(words: Block, draw: int) -> tuple[float, float, float, float]:
    """The four uniform numbers of a draw, from the block to which it belongs."""
    former, latter = words[0], words[1]
    if draw & 1:
        former, latter = words[2], words[3]
    a, b = two_units(former)
    c, d = two_units(latter)
    return a, b, c, d


@law
def number_of(words: Block, number: int) -> float:
    """The uniform number that stands at a place of a stream, from the block to which it belongs (``number`` // 8)."""
    word = words[(number & 7) >> 1]
    upper, lower = two_units(word)
    return lower if number & 1 else upper


@law
def uniform_at(seed: int, replication: int, purpose: int, spot: int, index: int, number: int) -> float:
    """One number of the stream at an address, uniform on the open interval (0, 1).

    Parameters
    ----------
    seed, replication, purpose, spot, index : int
        As for `uniforms`.
    number : int
        Its place in the stream, 0 or more: number 4k is the first of draw k.

    Returns
    -------
    float
        (k + 1/2) / 2**32 with k from 0 to 2**32 - 1.

    >>> uniform_at(1, 0, 0, 0, 7, 6) == uniforms(1, 0, 0, 0, 7, 1)[2]
    True
    """
    return number_of(block_of(seed, replication, purpose, spot, index, number >> 3), number)


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
        Further fours for the same event, 0 or more.

    Returns
    -------
    tuple of four float
        Each (k + 1/2) / 2**32 with k from 0 to 2**32 - 1, so never 0 and never 1.

    >>> all(0.0 < u < 1.0 for u in uniforms(1, 0, 0, 0, 0, 0))
    True
    """
    return four_of(block_of(seed, replication, purpose, spot, index, draw >> 1), draw)


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
