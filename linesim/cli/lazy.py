"""A group of commands, each of which is loaded when it is called, so that help and completion stay quick."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from importlib import import_module
from typing import Any, ClassVar, NamedTuple

import typer
from typer.core import TyperCommand, TyperGroup

from linesim.errors import nearest, quoted
from linesim.starting import loading

__all__ = ["Entry", "LazyGroup"]


class Entry(NamedTuple):
    """A command in the list.

    Attributes
    ----------
    panel : str
        Under which it stands in the help.
    help : str
        What it does, in one sentence: the first line of its own help.
    module : str
        Where it is, in this room; unless given, the module of its name.
    """

    panel: str
    help: str
    module: str = ""


class LazyGroup(TyperGroup):
    """Lists its commands without loading them."""

    entries: ClassVar[Mapping[str, Entry]] = {}

    def list_commands(self, ctx: Any) -> list[str]:
        """Names of all commands, in the order of the list."""
        del ctx
        return list(self.entries)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """What the help says of a command; it cannot be called."""
        del ctx
        entry = self.entries.get(cmd_name)
        if entry is None:
            return None
        return TyperCommand(cmd_name, help=entry.help, rich_help_panel=entry.panel)

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Load the command that is called.

        Raises
        ------
        UsageError
            There is none of that name.
        """
        if args and args[0] not in self.entries:
            near = nearest(args[0], self.entries)
            hint = f"; did you mean {quoted(near)}?" if near else ""
            ctx.fail(f"there is no command {quoted(args[0])}{hint}")
        name, shown, rest = super().resolve_command(ctx, args)
        return name, shown and self.loaded(str(name)), rest

    def loaded(self, name: str) -> Any:
        """The command itself."""
        place = f"linesim.cli.{self.entries[name].module or name}"
        if place not in sys.modules:
            with loading():
                import_module(place)
        answer = getattr(sys.modules[place], name)
        if not isinstance(answer, typer.Typer):
            alone = typer.Typer(add_completion=False, pretty_exceptions_enable=False)
            alone.command(name)(answer)
            answer = alone
        return typer.main.get_command(answer)
