"""How commands end: exit codes, and errors as a text on stderr without a traceback."""

from __future__ import annotations

import functools
import signal
from collections.abc import Callable, Mapping
from contextvars import ContextVar
from types import FrameType
from typing import Any, TypeVar, cast

import typer

from linesim.errors import LinesimError, RunError, without_password

__all__ = ["COMMAND", "FOUND_PROBLEM", "OPTIONS", "STOPPED", "WRONG_INPUT", "complain", "end_as_with_ctrl_c", "guarded"]

FOUND_PROBLEM = 1
WRONG_INPUT = 2
STOPPED = 130
"""128 + 2, as shells count a process ended by an interrupt; the same for the other ways of asking it to end."""

_TOO_LITTLE_MEMORY = (
    "There is not memory enough for this on this machine. Ask for fewer castings, shorter runs or a shorter trace, or "
    "use a larger machine; what was kept before is safe."
)

OPTIONS: ContextVar[Mapping[str, Any]] = ContextVar("OPTIONS")
"""Everything that the command under way was given, by the names of its options."""

COMMAND: ContextVar[str] = ContextVar("COMMAND")
"""Name of the command under way."""

Command = TypeVar("Command", bound=Callable[..., None])


def guarded(command: Command) -> Command:
    """Let a command end with an exit code and a text where the library raises.

    Parameters
    ----------
    command : callable
        A command; its signature stays readable.

    Returns
    -------
    callable
    """

    @functools.wraps(command)
    def run(*arguments: Any, **options: Any) -> None:
        OPTIONS.set(options)
        COMMAND.set(command.__name__)
        try:
            command(*arguments, **options)
        except LinesimError as error:
            complain(str(error))
            raise typer.Exit(FOUND_PROBLEM if isinstance(error, RunError) else WRONG_INPUT) from None
        except BrokenPipeError:  # whoever reads has seen enough; the shell knows how that ends
            raise
        except OSError as error:
            complain(f"{error.filename or 'file'}: {error.strerror or error}")
            raise typer.Exit(WRONG_INPUT) from None
        except MemoryError:
            complain(_TOO_LITTLE_MEMORY)
            raise typer.Exit(FOUND_PROBLEM) from None
        except KeyboardInterrupt as stop:
            complain(str(stop) or "Stopped; nothing was kept.")
            raise typer.Exit(STOPPED) from None

    return cast("Command", run)


def end_as_with_ctrl_c() -> None:
    """Let a request to end (SIGTERM) and a closed terminal (SIGHUP) do what Ctrl-C does; what is ignored stays so."""
    for number in _ENDINGS:
        if signal.getsignal(number) is signal.SIG_DFL:
            signal.signal(number, _end)


_ENDINGS = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]


def _end(number: int, frame: FrameType | None) -> None:  # noqa: ARG001 - so Python calls it
    for each in _ENDINGS:  # once is enough; a second one must not cut short the keeping of what was done
        signal.signal(each, signal.SIG_IGN)
    raise KeyboardInterrupt


def complain(text: str) -> None:
    """Write a text to stderr, without signs that a terminal would obey, and without passwords."""
    plain = without_password(text)
    signs = (sign if sign.isprintable() or sign == "\n" else "\N{REPLACEMENT CHARACTER}" for sign in plain)
    typer.echo("".join(signs), err=True)
