"""Names that a room offers, fetched from its modules when they are asked for: who needs one of them loads one."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any

__all__ = ["offering"]


def offering(room: str, offered: Mapping[str, tuple[str, ...]]) -> tuple[Callable[[str], Any], Callable[[], list[str]]]:
    """Return ``__getattr__`` and ``__dir__`` of a package that fetches its names.

    Parameters
    ----------
    room : str
        Name of the package; keeps what was fetched.
    offered : mapping of str to tuple of str
        Names that it offers, by the module below it in which they are.

    Returns
    -------
    tuple of callable
        The first raises AttributeError for a name that is not offered; the second gives all of them in their order.
    """
    module_of = {name: module for module, names in offered.items() for name in names}

    def fetch(name: str) -> Any:
        if name not in module_of:
            raise AttributeError(f"module {room!r} has no attribute {name!r}")
        value = getattr(import_module(f"{room}.{module_of[name]}"), name)
        setattr(sys.modules[room], name, value)
        return value

    return fetch, lambda: sorted(module_of)
