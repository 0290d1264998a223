"""Philox 4x64-10, a counter-based random generator: four words from a counter and a key, and nothing remembered.

Source: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel random numbers: as easy as 1, 2, 3",
Proc. SC11 (2011). Equal bit for bit to ``numpy.random.Philox``, which adds one to its counter before each block:
our block for counter c is the first block of numpy's generator when that is set to counter c - 1 (256 bits, with
wrap-around).
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from typing import Any, cast

import numpy as np

from linesim.law import IS_COMPILED, law

_ALL_BITS = 0xFFFFFFFFFFFFFFFF


def _plain_word(value: int) -> int:
    """64-bit word of a whole number, wrapping around, as a Python int."""
    return int(value) & _ALL_BITS


# A compiled word wraps around by itself and the mask below does nothing; in plain Python the mask does the wrapping.
_word = cast("Callable[[int], int]", np.uint64) if IS_COMPILED else _plain_word

_MASK = _word(_ALL_BITS)
_HALF = _word(32)
_LOWER_HALF = _word(0xFFFFFFFF)
_MULTIPLIER_0 = _word(0xD2E7470EE14C6C93)
_MULTIPLIER_1 = _word(0xCA5A826395121157)
_BUMP_0 = _word(0x9E3779B97F4A7C15)
_BUMP_1 = _word(0xBB67AE8584CAA73B)


def _plain_product(a: int, b: int) -> tuple[int, int]:
    """Upper and lower 64 bits of the 128-bit product of two words."""
    product = a * b
    return product >> 64, product & _ALL_BITS


def _compiled_product() -> Callable[[int, int], tuple[int, int]]:
    """As `_plain_product`, by the one instruction of a processor that gives both; numba has no name for that."""
    numba, extending = importlib.import_module("numba"), importlib.import_module("numba.extending")
    ir, word = importlib.import_module("llvmlite.ir"), numba.types.uint64

    def product(typing_context: Any, a: Any, b: Any) -> tuple[Any, Any]:  # noqa: ARG001
        def code(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            double, single = ir.IntType(128), ir.IntType(64)
            left, right = (builder.zext(argument, double) for argument in arguments)
            both = builder.mul(left, right)
            halves = [builder.trunc(builder.lshr(both, double(64)), single), builder.trunc(both, single)]
            return context.make_tuple(builder, signature.return_type, halves)

        return numba.types.UniTuple(word, 2)(word, word), code

    return cast("Callable[[int, int], tuple[int, int]]", extending.intrinsic(product))


_product = _compiled_product() if IS_COMPILED else _plain_product


@law
def philox(
    counter0: int, counter1: int, counter2: int, counter3: int, key0: int, key1: int
) -> tuple[int, int, int, int]:
    """Four random words for one counter and one key: Philox 4x64 with ten rounds.

    Parameters
    ----------
    counter0, counter1, counter2, counter3 : int
        Words of the counter, lowest first; Python ints below 2**63, or ``numpy.uint64``.
    key0, key1 : int
        Words of the key.

    Returns
    -------
    tuple of four int
        Each from 0 to 2**64 - 1.

    Notes
    -----
    Source: Salmon et al. 2011 (see the module); constants as there and in numpy.

    >>> philox(0, 0, 0, 0, 0, 0)[0] == 0x16554D9ECA36314C
    True
    """
    a, b, c, d = _word(counter0), _word(counter1), _word(counter2), _word(counter3)
    k0, k1 = _word(key0), _word(key1)
    for _ in range(10):
        high0, low0 = _product(_MULTIPLIER_0, a)
        high1, low1 = _product(_MULTIPLIER_1, c)
        a, b, c, d = high1 ^ b ^ k0, low1, high0 ^ d ^ k1, low0
        k0, k1 = (k0 + _BUMP_0) & _MASK, (k1 + _BUMP_1) & _MASK
    return a, b, c, d


@law
def two_units(word: int) -> tuple[float, float]:
    """Two numbers strictly between 0 and 1, from the upper and the lower 32 bits of a word: each (k + 1/2) / 2**32."""
    return ((word >> _HALF) + 0.5) * 2.3283064365386963e-10, ((word & _LOWER_HALF) + 0.5) * 2.3283064365386963e-10
