"""Compiled functions that become one kernel: optimised once, whatever calls whatever, with the same results."""

from __future__ import annotations

import importlib
import math
import pickle
from typing import Any, cast

import numba
import numpy as np
import pytest

from linesim import law as laws
from linesim.cutting.economics import edge_cost_over_edges
from linesim.law import law, part_with
from linesim.linking import linking

pytestmark = pytest.mark.skipif(not laws.IS_COMPILED, reason="nothing is compiled in plain Python")


@part_with(error_model="numpy")
def _square(x: float) -> float:
    return x * x


@part_with(error_model="numpy")
def _of_both(x: float) -> float:
    return _square(x) + _square(x + 1.0) + _third(x)


@law
def _third(x: float) -> float:
    return _square(x) / 3.0


@part_with(error_model="numpy", inline="always")
def _woven(x: float) -> float:
    return _of_both(x) - x


@law
def _kernel(x: float) -> float:
    return _woven(x) + _square(x) if x > 0.0 else _of_both(x)


def _grown(x: float) -> float:
    return math.exp(x)


def _library(function: Any) -> Any:
    (overload,) = function.overloads.values()
    return overload.library


def test_a_kernel_gives_what_its_text_gives_whatever_is_called_twice_or_by_a_part_of_a_part() -> None:
    for x in (0.1, -2.3, 7.0):
        both = x * x + (x + 1.0) * (x + 1.0) + x * x / 3.0
        assert _kernel(x) == ((both - x) + x * x if x > 0.0 else both)
        assert _third(x) == x * x / 3.0


def test_parts_get_no_machine_code_of_their_own_and_kernels_do() -> None:
    assert _kernel(1.0) == 1.0 + 4.0 + 1.0 / 3.0 - 1.0 + 1.0
    cast("Any", _kernel).recompile()  # what an earlier run of this test left on disk has no parts
    engine = _library(_kernel)._codegen._engine
    for part in (_square, _of_both, _third.part):  # type: ignore[attr-defined]
        (overload,) = part.overloads.values()  # type: ignore[attr-defined]
        assert not engine.is_symbol_defined(overload.fndesc.llvm_func_name)
        assert _library(part).get_pointer_to_function(overload.fndesc.llvm_func_name) == 0
    (overload,) = _kernel.overloads.values()  # type: ignore[attr-defined]
    assert engine.is_symbol_defined(overload.fndesc.llvm_func_name)


def test_a_law_that_python_and_a_kernel_call_is_two_compiled_functions_and_one_to_a_reader() -> None:
    assert isinstance(_third, numba.core.dispatcher.Dispatcher)
    assert numba.typeof(_third).dispatcher is _third.part  # type: ignore[attr-defined]
    assert pickle.loads(pickle.dumps(edge_cost_over_edges)) is edge_cost_over_edges


@pytest.mark.parametrize("missing", ["numba.core.codegen", "numba.core.registry"])
def test_where_numba_is_not_as_expected_all_is_compiled_in_its_own_way(
    monkeypatch: pytest.MonkeyPatch, missing: str
) -> None:
    found = importlib.import_module

    def without(name: str, package: str | None = None) -> Any:
        if name == missing:
            raise ImportError(name)
        return found(name, package)

    monkeypatch.setattr(importlib, "import_module", without)
    assert linking() is None
    monkeypatch.setattr(laws, "_linking", None)
    monkeypatch.setattr(laws, "_folder", None)
    square = part_with(error_model="numpy")(_square.py_func)  # type: ignore[attr-defined]
    half = law(lambda x: square(x) / 2.0)
    assert half(3.0) == 4.5
    assert type(half) is numba.core.registry.CPUDispatcher


def test_first_calls_are_left_to_python_and_what_it_refuses_to_compiled_code() -> None:
    """e**1000 is an error to Python and infinite to compiled code; numbers of numpy's are never left to Python."""
    once: Any = law(_grown)
    once.calls_by_python = 2
    assert once(1.0) == math.e
    assert not once.overloads
    assert once(1000.0) == math.inf
    assert len(once.overloads) == 1
    at_once: Any = law(_grown)
    at_once.calls_by_python = 2
    assert type(at_once(np.float64(1.0))) is float
    assert len(at_once.overloads) == 1
    twice: Any = law(_grown)
    twice.calls_by_python = 2
    assert [len(twice.overloads) for _ in range(4) if twice(1.0)] == [0, 0, 1, 1]
