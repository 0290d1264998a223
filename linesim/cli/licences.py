"""``linesim licences``: under which terms linesim stands, and everything that it needs."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson
from linesim.cli.output import put_json, show

__all__ = ["licences"]


@guarded
def licences(
    text: Annotated[bool, typer.Option("--text", help="Print linesim's own licence in full.")] = False,
    as_json: AsJson = False,
) -> None:
    """List the packages that linesim needs, with the licence of each as it states it."""
    from linesim.report.theme.grid import Column, grid  # noqa: PLC0415 - help stays quick
    from linesim.supply import own_licence, supplied  # noqa: PLC0415

    if text:
        typer.echo(own_licence(), nl=False)
        return
    rows = supplied()
    if as_json:
        put_json({"licence": "MIT", "packages": [row._asdict() for row in rows]})
        return
    columns = [Column("package", True), Column("version", True), Column("licence", True), Column("needed by", True)]
    show(
        grid("linesim stands under the MIT licence (--text prints it); it needs", columns, [tuple(row) for row in rows])
    )
