"""How the functions of the compiled engine are compiled; all of them are called by compiled code alone.

``@inlined`` is for what is small, or called from one place only; ``@compiled`` for the rest. Neither gets the wrappers
that Python would need to call it, which halves the time of the first use. Division by zero gives infinity, as the
plan has been checked and nothing in the engine divides by what could be zero.
"""

from __future__ import annotations

from linesim.law import law_with

__all__ = ["compiled", "inlined", "rung"]

compiled = law_with(no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy")
inlined = law_with(no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy", forceinline=True)

rung = law_with(no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy", forceinline=True, cache=False)
"""As `inlined` for a function that is made by a function: it is kept on disk as part of its callers alone."""
