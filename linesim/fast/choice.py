"""Which engine runs a plan: the one that is asked for, or the SimPy floor with a word on why.

This module does not load the compiled engine until somebody asks for it.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Literal

from linesim.errors import StudyError
from linesim.fast.first_use import AT_HAND, FIRST_USE, is_kept, say
from linesim.law import IS_COMPILED, kernel_folder, law_with
from linesim.plan.plan import Plan

__all__ = ["ENGINES", "Choice", "choose_engine", "engine_named", "prepare", "say"]

Engine = Literal["simpy", "fast"]

ENGINES: tuple[Engine, ...] = ("fast", "simpy")
"""Names of the engines that can run a plan; they give the same result."""

_NO_COMPILER = "numba is missing, broken or switched off, so the SimPy floor ran this; it gives the same, only slower"


_USUAL = "common"
"""The tier of most lines, see `linesim.fast.tiers`."""


@dataclass(frozen=True)
class Choice:
    """An engine, and why it is another one than was asked for.

    Attributes
    ----------
    engine : {"simpy", "fast"}
    why : str
        Empty if it is the one that was asked for.
    """

    engine: Engine
    why: str = ""


def engine_named(name: str) -> Engine:
    """The engine of this name.

    Raises
    ------
    StudyError
        There is no such engine.
    """
    for engine in ENGINES:
        if name == engine:
            return engine
    known = " and ".join(f'"{each}"' for each in ENGINES)
    raise StudyError(f'there is no engine "{name}"; there are {known}')


def choose_engine(plan: Plan, wanted: str, tell: Callable[[str], None] = say) -> Choice:
    """The engine that will run a plan.

    Parameters
    ----------
    plan : Plan
        What is to be run.
    wanted : str
        One of `ENGINES`.
    tell : callable
        Told what goes on when the engine has to be compiled first.

    Returns
    -------
    Choice
        The SimPy floor where the plan has a rule of the user's own in Python, or where nothing can be compiled.

    Raises
    ------
    StudyError
        There is no such engine.
    """
    if engine_named(wanted) == "simpy":
        return Choice("simpy")
    if plan.own_rules:
        name = plan.own_rules[0].name
        return Choice(
            "simpy", f'the rule "{name}" is Python of your own, which only the SimPy floor can ask, so that ran this'
        )
    trouble = prepare(tell, plan)
    return Choice("simpy", trouble) if trouble else Choice("fast")


def prepare(tell: Callable[[str], None] = say, plan: Plan | None = None) -> str:
    """Have the compiled engine ready; compile it if that has not been done yet.

    Parameters
    ----------
    tell : callable
        Told that it is being compiled, how long that took and whether it will have to be done again.
    plan : Plan, optional
        What it is to run: only what that takes is compiled. What most lines take if not given.

    Returns
    -------
    str
        Empty, or why it cannot be had.
    """
    if not IS_COMPILED:
        return _NO_COMPILER
    tier = _USUAL if plan is None else _tier(plan)
    if tier in AT_HAND or is_kept(tier):
        return _compile(tier)
    tell(FIRST_USE)
    began = time.perf_counter()
    trouble = _compile(tier)
    took_s = time.perf_counter() - began
    folder = kernel_folder()
    where = f"kept in {folder}" if folder is not None else "it cannot be kept, as no folder can be written to"
    tell(f"Not compiled: {trouble}." if trouble else f"Compiled in {took_s:.0f} s; {where}.")
    return trouble


def _tier(plan: Plan) -> str:
    from linesim.fast.run import tier_of_plan  # noqa: PLC0415 - what cannot be compiled shall not be loaded

    return tier_of_plan(plan)


@cache
def _compile(tier: str) -> str:
    """Load the kernels from the folder where they are kept, or compile them; empty, or what is wrong with the compiler.

    A fault in a kernel is no fault of the compiler, and is raised.
    """
    from linesim.fast.warming import warm_up  # noqa: PLC0415 - what cannot be compiled shall not be loaded

    try:
        warm_up(tier)
    except OSError as error:  # a kernel cannot be written, read or loaded
        return _trouble(error)
    except Exception:  # a compiler fails in many ways; whether it is the compiler, a trial shows
        fault = _fault_of_compiler()
        if fault is None:
            raise
        return _trouble(fault)
    AT_HAND.add(tier)
    return ""


def _trouble(error: Exception) -> str:
    words = f"{type(error).__name__}: {error}".splitlines()[0][:200]
    return f"the fast engine could not be compiled ({words}), so the SimPy floor ran this; the result is the same"


def _fault_of_compiler() -> Exception | None:
    """What goes wrong when the smallest of all functions is compiled; None if nothing does."""
    try:
        law_with(cache=False)(_half)(1.0)
    except Exception as error:  # noqa: BLE001 - whatever it is, the compiler does not work
        return error
    return None


def _half(number: float) -> float:
    return 0.5 * number
