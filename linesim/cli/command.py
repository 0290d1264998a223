"""What makes a function a command: records of options taken apart, and errors as text."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from typing import Any, get_type_hints

from linesim.cli.guard import guarded

__all__ = ["command"]


def command(function: Callable[..., None]) -> Callable[..., None]:
    """Make a function a command.

    Parameters
    ----------
    function : callable
        Its parameters are arguments and options; one whose type is a record stands for the options that the record
        holds, field by field.

    Returns
    -------
    callable
        Takes all options by name, and ends with an exit code and a text where the library raises.
    """
    hints = get_type_hints(function, include_extras=True)
    own, records = [], {}
    for parameter in inspect.signature(function).parameters.values():
        kind = hints[parameter.name]
        if isinstance(kind, type) and is_dataclass(kind):
            records[parameter.name] = kind
            of_fields = get_type_hints(kind, include_extras=True)
            own += [_parameter(each.name, of_fields[each.name], each.default) for each in fields(kind)]
        else:
            own.append(_parameter(parameter.name, kind, parameter.default))

    def run(**options: Any) -> None:
        left = dict(options)
        packed = {
            name: kind(**{each.name: left.pop(each.name) for each in fields(kind)}) for name, kind in records.items()
        }
        function(**left, **packed)

    run.__name__, run.__doc__, run.__module__ = function.__name__, function.__doc__, function.__module__
    run.__annotations__ = {parameter.name: parameter.annotation for parameter in own}
    guarded_run = guarded(run)
    guarded_run.__signature__ = inspect.Signature(own)  # type: ignore[attr-defined]
    return guarded_run


def _parameter(name: str, annotation: Any, default: Any) -> inspect.Parameter:
    """A parameter that is given by name; without a default it has to be given."""
    usual = inspect.Parameter.empty if default is MISSING else default
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=usual, annotation=annotation)
