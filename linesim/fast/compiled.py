"""How the functions of the compiled engine are compiled; all of them are called by compiled code alone.

``@inlined`` is for what is small, or called from one place only; ``@compiled`` for the rest. ``@woven`` is for the few
that hold most of the engine and are called from one place: their text becomes part of the caller's before anything is
compiled, as each level between would be optimised as a whole once more. Weaving in small functions costs more than it
saves. None gets the wrappers that Python would need to call it, nor is kept on disk but as part of the kernel that
calls it. Division by zero gives infinity, as the plan has been checked and nothing in the engine divides by what could
be zero.
"""

from __future__ import annotations

from linesim.law import law_with

__all__ = ["compiled", "inlined", "woven"]

_WITHIN = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True, "error_model": "numpy", "cache": False}

compiled = law_with(**_WITHIN)
inlined = law_with(**_WITHIN, forceinline=True)
woven = law_with(**_WITHIN, inline="always")
