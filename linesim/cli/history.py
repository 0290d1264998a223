"""``linesim history``: operation by operation, where the error of a feature came from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson, Csv, Force, OnePolicy, ScenarioFile, Seed
from linesim.cli.output import Outlet, announce_compiling, command_line
from linesim.cli.progress import watched

__all__ = ["history"]

_TABLES = ("history", "totals", "arising", "surface")


@guarded
def history(
    file: ScenarioFile,
    feature: Annotated[str, typer.Option("--feature", metavar="NAME", help="The feature.", show_default=False)],
    line: Annotated[str | None, typer.Option(metavar="NAME", help="Its line; the first that has it.")] = None,
    policy: OnePolicy = None,
    replications: Annotated[int, typer.Option(metavar="N", help="Runs in which every part is followed.")] = 3,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of the intervals.")] = 0.95,
    html: Annotated[Path | None, typer.Option(metavar="FILE", help="Write a page with the picture.")] = None,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
) -> None:
    """Tell the life history of a feature: how much of its error each operation and source has brought."""
    from linesim.report.page.history_page import history_page  # noqa: PLC0415 - help stays quick
    from linesim.report.terminal.history import history_text  # noqa: PLC0415
    from linesim.routing import history_steps  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force, html)
    outlet.check(_TABLES)
    announce_compiling()
    found = watched(
        history_steps(works, feature, line, policy, replications, seed, confidence), "following the parts", not as_json
    )
    outlet.put(
        found.tables,
        found.provenance,
        found.as_dict,
        lambda: history_text(found),
        lambda: history_page(found, command_line()),
    )
