"""The ``linesim`` command: its commands, and what holds for all of them."""

from __future__ import annotations

import os
import sys
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from linesim import __version__
from linesim.cli.check import check
from linesim.cli.compare import compare
from linesim.cli.dashboard import dashboard
from linesim.cli.drivers import drivers
from linesim.cli.engine import engine
from linesim.cli.frontier import frontier
from linesim.cli.guard import end_as_with_ctrl_c
from linesim.cli.history import history
from linesim.cli.intervals import intervals
from linesim.cli.lesson import lesson
from linesim.cli.manual import manual
from linesim.cli.routing import routing
from linesim.cli.run import run
from linesim.cli.runs import runs
from linesim.cli.schema import schema
from linesim.cli.sets import sets
from linesim.cli.speed import speed
from linesim.cli.stock import stock
from linesim.cli.worth import worth
from linesim.errors import without_password
from linesim.starting import SAFE

__all__ = ["app", "main"]


class _Commands(TyperGroup):
    """The commands; what is said of a wrong option shows no password that was typed with it."""

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except Exception as error:
            if isinstance(getattr(error, "message", None), str):
                error.message = without_password(error.message)  # type: ignore[attr-defined]
            raise


app = typer.Typer(
    name="linesim",
    cls=_Commands,
    help="What every tool-change policy and every routing costs an engine-component line.",
    epilog="Exit codes: 0 fine, 1 a run found a problem, 2 the input is wrong, 130 stopped with Ctrl-C.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
_PANELS = {
    "The line": (check, run, engine, schema),
    "When to change the cutters": (compare, frontier, intervals, sets, worth, drivers),
    "How to cut": (routing, history, stock, speed),
    "In the browser": (dashboard,),
    "How it works": (manual,),
}
for panel, commands in _PANELS.items():
    for command in commands:
        app.command(rich_help_panel=panel)(command)
app.add_typer(runs, name="runs", rich_help_panel="What is kept")
for command in (run, compare, check, schema):
    app.command()(command)
app.add_typer(lesson, name="lesson", rich_help_panel="Training")


def _tell_version(is_asked: bool) -> None:
    if is_asked:
        typer.echo(f"linesim {__version__}")
        raise typer.Exit


@app.callback()
def _for_all(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_tell_version, is_eager=True, help="Show the version and end."),
    ] = False,
) -> None:
    del version


def main() -> None:
    """Run the command line."""
    os.environ.update(SAFE)
    end_as_with_ctrl_c()
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show µ or ± gets another sign in its place, not an error.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    app()
