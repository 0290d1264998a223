"""How the functions of the compiled engine are compiled; all of them are called by compiled code alone.

``@inlined`` is for what is small, or called from one place only; ``@compiled`` for the rest. ``@woven`` is for the few
that hold most of the engine and are called from one place: their text becomes part of the caller's before anything is
compiled. Weaving in small functions costs more than it saves. All are parts (`linesim.linking`): none gets the wrappers
that Python would need to call it, nor is kept on disk but within the kernel that calls it, with which it is optimised.
Division by zero gives infinity, as the plan has been checked and nothing in the engine divides by what could be zero.
"""

from __future__ import annotations

from linesim.law import part_with

__all__ = ["compiled", "inlined", "woven"]

compiled = part_with(error_model="numpy")
inlined = part_with(error_model="numpy", forceinline=True)
woven = part_with(error_model="numpy", inline="always")
