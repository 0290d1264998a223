"""The ``linesim`` command: its commands, and what holds for all of them."""

from __future__ import annotations

import os
import sys
from typing import Annotated, Any, ClassVar

import typer

from linesim import __version__
from linesim.cli.guard import end_as_with_ctrl_c
from linesim.cli.lazy import Entry, LazyGroup
from linesim.errors import without_password
from linesim.starting import SAFE, collect_seldom

__all__ = ["app", "main"]

_LINE, _WHEN, _HOW = "The line", "When to change the cutters", "How to cut"


class _Commands(LazyGroup):
    """All commands, in the order in which a reader of the help meets them.

    What is said of a wrong option shows no password that was typed with it.
    """

    entries: ClassVar = {
        "check": Entry(
            _LINE, "Check a scenario and show its desk figures: speeds, forces, lives, loads, the constraint."
        ),
        "run": Entry(_LINE, "Run a scenario once: output, machine states, ledger, cutter changes, findings."),
        "workbook": Entry(
            _LINE,
            "Write a workbook or a routing sheet to fill in, a scenario as a workbook, or a workbook as a file.",
        ),
        "engine": Entry(
            _LINE,
            "Tell what the parts mean in the engine: compression, pistons, bearing lines, valve seats, gasket faces.",
        ),
        "records": Entry(
            _LINE, "Read the shop's own records: rows that serve, rows set aside, coefficients with their intervals."
        ),
        "prove": Entry(
            _LINE,
            "Prove the fit of the shop's records: part is held back, foretold from the rest, and set against what "
            "happened.",
        ),
        "watch": Entry(
            _LINE,
            "Watch new records week by week: which figure has moved, since when, and whether the advice still holds.",
        ),
        "schema": Entry(_LINE, "Print the JSON Schema of scenario files, so that an editor checks and completes them."),
        "advise": Entry(
            _WHEN,
            "Say what to change first: the changes to today's practice that bring most a month, one by one and "
            "together.",
        ),
        "brief": Entry(
            _WHEN, "Brief whoever decides, on one page: what to change, what it brings and costs, the first week."
        ),
        "compare": Entry(
            _WHEN,
            "Compare tool-change policies: replications with common random numbers, intervals, paired differences.",
        ),
        "frontier": Entry(
            _WHEN,
            "Set output against quality loss for many rules and intervals: what is dominated, the frontier, the knee.",
        ),
        "intervals": Entry(
            _WHEN,
            "Look for the best intervals of all cutter sets together, each with the range in which it hardly matters.",
        ),
        "sets": Entry(
            _WHEN,
            "How many sets of each cutter, tool grinders and setters, so that waiting costs less than having them.",
        ),
        "cards": Entry(
            _WHEN, "Write a tool-change card for each operation: what the setter changes when, what he looks for."
        ),
        "approvals": Entry(
            _WHEN, "Propose the cards of a policy, approve them, list what holds, tell an old card from a new one."
        ),
        "handover": Entry(
            _WHEN, "Hand over to other systems: ISO 22400-2 indicators, change intervals, data of the cutters."
        ),
        "toolroom": Entry(
            _WHEN, "Plan the tool room by week: regrinds, grinder hours, sets in circulation, orders and when, cost."
        ),
        "trial": Entry(
            _WHEN,
            "Foretell a trial of one set's interval: what to expect, when to stop, when it is seen; then answer it.",
        ),
        "shift": Entry(
            _WHEN,
            "Foretell the coming shift from how the line stands now: what is due when, who and what is needed.",
        ),
        "worth": Entry(
            _WHEN, "Price one minute an hour less stopped at each operation: the value of a bottleneck minute."
        ),
        "drivers": Entry(
            _WHEN, "What drives the result: which of the inputs that a shop knows least to measure first."
        ),
        "regret": Entry(
            _WHEN,
            "Say how far a policy stays right where lives are other than assumed, what each loses, what to measure "
            "first.",
        ),
        "routing": Entry(
            _HOW,
            "Set variants of a routing against each other: quality, minutes, money, the line, what would change it.",
        ),
        "history": Entry(
            _HOW, "Tell the life history of a feature: how much of its error each cut and source has brought."
        ),
        "stock": Entry(
            _HOW, "Plan the stock: how much to leave for each cut, and the least number of cuts that meets the drawing."
        ),
        "speed": Entry(_HOW, "Find the economic speed and feed of a cut, on paper and in the line."),
        "practice": Entry(
            _HOW,
            "Hold what every practitioner knows against a works: how often each is so by the physics, and why not.",
        ),
        "dashboard": Entry(
            "In the browser", "Open the dashboard in a browser; on this machine alone unless --host says otherwise."
        ),
        "manual": Entry("How it works", "Read the manual: what there is, or one topic of it."),
        "licences": Entry(
            "How it works", "List the packages that linesim needs, with the licence of each as it states it."
        ),
        "runs": Entry(
            "The store",
            "Studies and runs in the store: list, show, export, name, prune, check, rescue, write the scenario back.",
        ),
        "rerun": Entry(
            "The store",
            "Ask the question of a report again, and say whether its figures are the same.",
        ),
        "lesson": Entry("Training", "Run a shift yourself: lessons on the live floor."),
    }

    def invoke(self, ctx: Any) -> Any:
        """Call the command that was named."""
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
    pretty_exceptions_enable=False,
)


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
    collect_seldom()
    end_as_with_ctrl_c()
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show µ or ± gets another sign in its place, not an error.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    app()
