"""Records in memory that compiled code reaches by address, as a person reaches into numbered drawers.

A state of many arrays is slow to hand from function to function and slow to compile. So each kind of thing (machine,
part, buffer ...) is a class that only names its fields; its records lie one after another in a numpy array, and
compiled code is given one record, the world, which holds the addresses of all these arrays. ``drawer(Machine)`` makes
the function that opens one: ``machine_at(w.machines, 3).state``. Nothing is allocated and nothing is counted.

In plain Python (``LINESIM_PLAIN=1``) an address is looked up among the arrays that were made here.
"""

from __future__ import annotations

import importlib
import typing
from collections.abc import Callable
from functools import cache
from typing import Any, TypeVar, cast

import numpy as np
import numpy.typing as npt

from linesim.fast.short import Few, Flag, Short
from linesim.folding import Tier
from linesim.law import IS_COMPILED
from linesim.linking import TIERS
from linesim.plan.tables import Ints

__all__ = ["Real", "Whole", "address_of", "drawer", "drawer_of", "dtype_of", "records", "table_dtype", "teach"]

Record = TypeVar("Record")
AnyArray = npt.NDArray[Any]


LINE = 64
"""Bytes that the processor fetches in one go."""


class Real:
    """One number of a plain array of numbers."""

    value: float


class Whole:
    """One whole number of a plain array of whole numbers."""

    value: int


@cache
def dtype_of(record: type) -> np.dtype[Any]:
    """Layout of a record: its annotated fields in their order, in whole lines of memory if it is larger than one.

    >>> dtype_of(Real).itemsize
    8
    """
    hints = typing.get_type_hints(record, include_extras=True)
    numbers: dict[Any, type] = {float: np.float64, int: np.int64, Short: np.int32, Few: np.int16, Flag: np.int8}
    layout: Any = {"names": list(hints), "formats": [numbers[hint] for hint in hints.values()]}
    packed: np.dtype[Any] = np.dtype(layout, align=True)
    offsets = [offset for _, offset, *_ in (packed.fields or {}).values()]
    size = packed.itemsize if packed.itemsize <= LINE else -(-packed.itemsize // LINE) * LINE
    return np.dtype((np.record, np.dtype(layout | {"offsets": offsets, "itemsize": size})))


@cache
def table_dtype(table: type) -> np.dtype[Any]:
    """Layout of one row of a table of the plan."""
    hints = typing.get_type_hints(table)
    types = [(name, np.int64 if hint == Ints else np.float64) for name, hint in hints.items()]
    return np.dtype((np.record, np.dtype(types, align=True)))


_layouts: dict[Any, np.dtype[Any]] = {}
"""What each compiled drawer opens."""

_arrays: dict[int, AnyArray] = {}
"""Where compiled code is left out: the arrays by their addresses."""


def records(record: type, count: int) -> AnyArray:
    """Array of so many records (one at least, so that it has an address), all zero."""
    return np.zeros(max(count, 1), dtype=dtype_of(record))


def address_of(array: AnyArray) -> int:
    """Address at which an array begins; the array must live as long as the address is used."""
    address = int(array.ctypes.data)
    if not IS_COMPILED:
        _arrays[address] = array
    return address


def drawer(record: type[Record]) -> Callable[[int, int], Record]:
    """Function that opens one record of an array, given the array's address and the record's number."""
    return cast("Callable[[int, int], Record]", drawer_of(dtype_of(cast("type", record))))


def drawer_of(dtype: np.dtype[Any]) -> Callable[[int, int], Any]:
    """As `drawer`, for a layout."""
    if not IS_COMPILED:
        return _plain_drawer(dtype)
    at, _ = _compiled_drawer(dtype)
    _layouts[at] = dtype
    return at


def teach(tier: Tier) -> None:
    """Tell a tier all drawers that there are, and how it opens them; so that its kernels can be compiled."""
    if IS_COMPILED:
        for at, dtype in _layouts.items():
            own, record = _compiled_drawer(tier.dtype(dtype))
            tier.learn(at, own, record, dtype)
        TIERS.append(tier)


def _plain_drawer(dtype: np.dtype[Any]) -> Callable[[int, int], Any]:
    def at(address: int, number: int) -> Any:
        array = _arrays[address]
        flat = array.reshape(-1) if array.dtype == dtype else array.reshape(-1).view(dtype)
        return flat[number]

    return at


def _compiled_drawer(dtype: np.dtype[Any]) -> tuple[Callable[[int, int], Any], Any]:
    """The drawer, and the type of what it opens."""
    numba, extending = importlib.import_module("numba"), importlib.import_module("numba.extending")
    constant, word = importlib.import_module("llvmlite.ir").Constant, numba.types.int64
    record, size = numba.from_dtype(dtype), dtype.itemsize

    def at(typing_context: Any, address: Any, number: Any) -> tuple[Any, Any]:  # noqa: ARG001
        def code(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:  # noqa: ARG001
            first, position = arguments
            spot = builder.add(first, builder.mul(position, constant(first.type, size)))
            return builder.inttoptr(spot, context.get_value_type(record))

        return record(word, word), code

    return cast("Callable[[int, int], Any]", extending.intrinsic(at)), record
