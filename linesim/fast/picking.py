"""Choosing one of two numbers without a jump, where no processor could guess which it will be."""

from __future__ import annotations

import importlib
from typing import Any

from linesim.law import IS_COMPILED

__all__ = ["picked"]


def _plainly(is_first: bool, first: int, second: int) -> int:
    return first if is_first else second


def _without_a_jump() -> Any:
    """As `_plainly`; the compiler is told that a guess would fail as often as not, so it works out both."""
    extending, boolean = importlib.import_module("numba.extending"), importlib.import_module("numba").types.boolean

    def pick(typing_context: Any, is_first: Any, first: Any, second: Any) -> tuple[Any, Any]:  # noqa: ARG001
        def code(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:  # noqa: ARG001
            chosen = builder.select(*arguments)
            chosen.set_metadata("unpredictable", builder.module.add_metadata([]))
            return chosen

        return first(boolean, first, first), code

    return extending.intrinsic(pick)


picked = _without_a_jump() if IS_COMPILED else _plainly
