"""Options that several commands share, each in one wording, and the records in which they come together."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from linesim.study import Crew, StudyOptions

__all__ = [
    "AsJson", "Book", "Confidence", "Csv", "Engine", "FeatureLine", "FeatureName", "Force", "Local", "Minutes",
    "OnePolicy", "Page", "Parquet", "Replications", "Rules", "ScenarioFile", "Seed", "StorePlace", "StudyAsked",
    "Write",
]  # fmt: skip

ScenarioFile = Annotated[
    Path, typer.Argument(metavar="FILE", help="Scenario file (YAML), or a workbook (.xlsx).", show_default=False)
]
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
Parquet = Annotated[
    Path | None, typer.Option("--parquet", metavar="DIR", help="Write each table into this folder as Parquet.")
]
Page = Annotated[
    Path | None,
    typer.Option("--html", metavar="FILE", help="Write the report as one HTML page.", show_default=False),
]
Book = Annotated[
    Path | None,
    typer.Option("--excel", metavar="FILE", help="Write the tables as an Excel workbook.", show_default=False),
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
Replications = Annotated[
    int | None,
    typer.Option(
        "--replications",
        metavar="N",
        help="Runs of everything that is run; unless given the scenario's number, or what suits the question.",
        show_default=False,
    ),
]
Confidence = Annotated[float, typer.Option("--confidence", metavar="SHARE", help="Confidence of the intervals.")]
Minutes = Annotated[
    float | None,
    typer.Option(
        "--minutes",
        metavar="N",
        help="Take no longer than so many minutes, the verdict included.",
        show_default=False,
    ),
]
Write = Annotated[
    Path | None,
    typer.Option("--write", metavar="FILE", help="Write a scenario that extends FILE with the answer."),
]


FeatureName = Annotated[str, typer.Option("--feature", metavar="NAME", help="The feature.", show_default=False)]
FeatureLine = Annotated[
    str | None, typer.Option("--line", metavar="NAME", help="Its line; the first that has it.", show_default=False)
]


@dataclass(frozen=True)
class Local:
    """How a study is carried out whose runs stay in this process."""

    replications: Replications = None
    seed: Seed = None
    confidence: Confidence = 0.95

    def options(self) -> StudyOptions:
        """The same, as studies take it."""
        return StudyOptions(self.replications, self.seed, self.confidence)


@dataclass(frozen=True)
class StudyAsked(Local):
    """How a study is carried out, whoever does its runs."""

    workers: Workers = None
    rules: Rules = None
    engine: Engine = "fast"
    store: StorePlace = None
    cluster: Cluster = None
    name: Called = ""

    def options(self, crew: Crew | None = None) -> StudyOptions:
        """The same, as studies take it."""
        return StudyOptions.of(
            replications=self.replications, seed=self.seed, confidence=self.confidence, engine=self.engine,
            rules=self.rules or (), crew=crew,
        )  # fmt: skip
