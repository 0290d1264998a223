"""YAML by libyaml where it is there: the same as in Python alone, in a tenth of the time that every command waits."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import yaml

__all__ = ["DUMPER", "LOADER", "data_of", "read_plain"]

LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""Reads plain values, and nothing that could be run."""

DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
"""Writes plain values."""


def read_plain(text: str) -> Any:
    """Return the plain values that a text says.

    Parameters
    ----------
    text : str
        YAML of one document.

    Raises
    ------
    yaml.YAMLError
        It is no YAML, or asks for more than plain values.

    >>> read_plain("grade: {life: 0.3}")
    {'grade': {'life': 0.3}}
    """
    return yaml.load(text, Loader=LOADER)  # noqa: S506 - a safe loader, in C where there is one


def data_of(room: str, *path: str) -> Any:
    """Return what a data file of a room says.

    Parameters
    ----------
    room : str
        Name of the package, such as ``linesim.handbook``.
    *path : str
        Folders below it, and the name of the file.
    """
    return read_plain(files(room).joinpath(*path).read_text(encoding="utf-8"))
