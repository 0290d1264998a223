"""Options that several commands share, each in one wording."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = [
    "AsJson", "Called", "Cluster", "Csv", "Engine", "Force", "OnePolicy", "Page", "Rules", "ScenarioFile", "Seed",
    "StorePlace", "Workers",
]  # fmt: skip

ScenarioFile = Annotated[Path, typer.Argument(metavar="FILE", help="Scenario file (YAML).", show_default=False)]
OnePolicy = Annotated[
    str | None,
    typer.Option(
        "--policy", metavar="NAME", help="Policy of the scenario; today's practice unless given.", show_default=False
    ),
]
Seed = Annotated[
    int | None,
    typer.Option("--seed", metavar="N", help="Key of all chance; the scenario's unless given.", show_default=False),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Csv = Annotated[
    Path | None,
    typer.Option("--csv", metavar="DIR", help="Write each table into this folder; - prints the first one."),
]
Page = Annotated[
    Path | None,
    typer.Option("--html", metavar="FILE", help="Write the report as one HTML page.", show_default=False),
]
Force = Annotated[bool, typer.Option("--force", help="Overwrite files that linesim did not write.")]
Rules = Annotated[
    list[Path] | None,
    typer.Option("--rules", metavar="FILE.py", help="Python file with change rules of your own; it is run."),
]
Engine = Annotated[
    str,
    typer.Option("--engine", metavar="NAME", help="fast (compiled) or simpy (SimPy); both give the same result."),
]
Workers = Annotated[
    int | None,
    typer.Option("--workers", metavar="N", help="Processes to use; chosen by the work unless given."),
]
Cluster = Annotated[
    str | None,
    typer.Option("--cluster", metavar="PLACE", help="Dask scheduler: tcp://host:port, or its scheduler file."),
]
StorePlace = Annotated[
    str | None,
    typer.Option(
        "--store",
        metavar="PLACE",
        help="Where runs are kept: a file or postgresql:// URL, or none; your own data folder unless given.",
    ),
]
Called = Annotated[str, typer.Option("--name", metavar="NAME", help="What to call this study in the store.")]
