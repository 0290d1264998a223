"""Names that a room offers, fetched from its modules when they are asked for: who needs one of them loads one."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from importlib import import_module
from typing import Any

__all__ = ["fetched"]


def fetched(room: str, offered: Mapping[str, tuple[str, ...]], name: str) -> Any:
    """Return what a room offers by a name, for the ``__getattr__`` of its package.

    Parameters
    ----------
    room : str
        Name of the package; keeps what was fetched.
    offered : mapping of str to tuple of str
        Names that it offers, by the module below it in which they are.
    name : str
        Which is asked for.

    Raises
    ------
    AttributeError
        It offers nothing of this name.
    """
    for module, names in offered.items():
        if name in names:
            value = getattr(import_module(f"{room}.{module}"), name)
            setattr(sys.modules[room], name, value)
            return value
    raise AttributeError(f"module {room!r} has no attribute {name!r}")
